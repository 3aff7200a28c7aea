// `throwbench store`: the shop's server beside the stores of its benches.

import { JSON_OPTION } from '../bench-named.js';
import { refuseMore } from '../command.js';
import type { Declaration } from '../declaration.js';
import { declared, partNamed } from '../declared.js';

const DECLARATION = {
  parts: {
    state: {
      words: 'what the server has of each bench, and what waits here; so does store alone',
      calls: ['store [state] [--json]'],
      examples: ['store'],
    },
    setup: {
      words: `makes the tables on the server, or brings those of an older version up; called again it changes nothing.
        The database must be there`,
      calls: ['store setup [--json]'],
      examples: ['store setup'],
    },
    'catch-up': {
      words: 'sends what waits here now, and waits until all of it is there',
      calls: ['store catch-up [--json]'],
      examples: ['store catch-up'],
    },
    verify: {
      words: `works out every hash of every bench again from what the server holds, and holds signatures, samples and
        columns against them`,
      calls: ['store verify [--key FILE] [--json]'],
      examples: ['store verify'],
    },
  },
  options: {
    key: {
      type: 'string',
      value: 'FILE',
      words: "the shop's public key; else that of this bench",
      offer: 'file',
      only: ['verify'],
    },
    json: JSON_OPTION,
  },
  notes: `THROWBENCH_STORE names the server: postgres://bench@server/shop; without it, store of the settings does. Its password is better kept in PGPASSWORD or in
    the file .pgpass than there, and is shown nowhere. Each bench records into its own store first, and sends what it
    recorded by itself, beside its work: a server that is away delays nothing and loses nothing.`,
  examples: ['store setup', 'store', 'store catch-up', 'store verify'],
  exit: '0 done, or the proofs hold, 1 they do not hold, 2 usage or no server named, 3 the server cannot be reached or refuses',
} as const satisfies Declaration;

export const command = declared(DECLARATION, async ({ values, positionals }, io) => {
  const [first = 'state', ...more] = positionals;
  const part = partNamed<keyof typeof DECLARATION.parts>('store', DECLARATION, first, values);
  refuseMore(more);
  const { json, key } = values;
  const work = await import('../store.js');
  switch (part) {
    case 'setup':
      return work.setUp(io, json);
    case 'state':
      return work.showState(io, json);
    case 'catch-up':
      return work.catchUpNow(io, json);
    case 'verify':
      return work.verifyBenches(io, { key, json });
  }
});
