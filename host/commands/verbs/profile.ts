// `throwbench profile`: what profiles there are, what one says, whether a file is one, and a new one by questions.

import { JSON_OPTION } from '../bench-named.js';
import { refuseMore, UsageError } from '../command.js';
import type { Declaration } from '../declaration.js';
import { declared, partNamed } from '../declared.js';
import { KIND_NAMES, KIND_WORDS, kindNamed } from '../profile/kinds.js';

/** What comes with a tray, or is asked for by name. */
const NOT_UNASKED = new Set(['case']);

const KIND = { name: 'KIND', words: `one of ${Object.values(KIND_WORDS).join(', ')}` } as const;

const DECLARATION = {
  parts: {
    list: {
      words: `what there is: ${Object.values(KIND_WORDS).join(', ')}; of one KIND, or all. list faults P: the faults that a
        unit can have, and its motor's conditions`,
      calls: ['profile list [KIND] [--json]', 'profile list faults P [--json]'],
      takes: [
        { ...KIND, offer: [...Object.values(KIND_WORDS), 'faults'] },
        { name: 'P', words: 'with faults: the unit, an id or a YAML file', offer: 'unit' },
      ],
      examples: ['profile list motors', 'profile list faults window-lift-switch'],
    },
    show: {
      words: 'one profile with its numbers, their units and where they come from',
      calls: ['profile show [KIND] P [--json]'],
      takes: [{ name: 'P', words: 'an id or a YAML file', offer: 'unit' }],
      examples: ['profile show window-lift-switch', 'profile show motor window-lift'],
    },
    check: {
      words: 'whether files, or all YAML files of a folder, are profiles, with all that they refer to',
      calls: ['profile check FILE… [--json]'],
      takes: [{ name: 'FILE', words: 'a YAML file or a folder', offer: 'file', repeats: true }],
      examples: ['profile check my-profiles'],
    },
    new: {
      words: 'asks what is on your bench and writes a commented motor and unit; in a pipe a line an answer',
      calls: ['profile new [parts] [--folder DIR]'],
      takes: [{ name: 'parts', words: 'a list of parts in place of motor and unit', offer: ['parts'] }],
      examples: ['profile new', 'profile new parts'],
    },
    schema: {
      words: 'JSON Schema of a KIND, for editors and other programs',
      calls: ['profile schema KIND'],
      takes: [{ ...KIND, offer: KIND_NAMES }],
      examples: ['profile schema motor'],
    },
  },
  options: {
    folder: {
      type: 'string',
      value: 'DIR',
      words: 'where new puts them (the folder that THROWBENCH_PROFILES names, else my-profiles)',
      offer: 'folder',
      only: ['new'],
    },
    json: { ...JSON_OPTION, only: ['list', 'show', 'check'] },
  },
  examples: [
    'profile list motors',
    'profile show window-lift-switch',
    'profile list faults window-lift-switch',
    'profile new',
    'profile check my-profiles',
  ],
  exit: '0 done and good, 2 usage or a faulty file',
} as const satisfies Declaration;

export const command = declared(DECLARATION, async ({ values, positionals }, io) => {
  const [word, first, ...more] = positionals;
  if (word === undefined) throw new UsageError('profile list, show, check, new or schema?');
  const part = partNamed<keyof typeof DECLARATION.parts>('profile', DECLARATION, word, values);
  const { json } = values;
  switch (part) {
    case 'list': {
      const { list, listFaults } = await import('../profile/list.js');
      if (first === 'faults' || first === 'fault') {
        const [unit, ...others] = more;
        if (unit === undefined) throw new UsageError('profile list faults needs a unit: its id or YAML file');
        refuseMore(others);
        return listFaults(io, unit, json);
      }
      refuseMore(more);
      return list(
        io,
        first === undefined ? KIND_NAMES.filter((one) => !NOT_UNASKED.has(one)) : [kindOf(first)],
        json,
      );
    }
    case 'show': {
      if (first === undefined) throw new UsageError('profile show needs an id or a YAML file');
      const [second, ...others] = more;
      refuseMore(others);
      const { show } = await import('../profile/show.js');
      return second === undefined ? show(io, first, undefined, json) : show(io, second, kindOf(first), json);
    }
    case 'check': {
      if (first === undefined) throw new UsageError('profile check needs one YAML file or more');
      return (await import('../profile/check.js')).check(io, [first, ...more], json);
    }
    case 'new': {
      if (first === 'parts') {
        refuseMore(more);
        return (await import('../profile/new-parts.js')).writeNewParts(io, values.folder);
      }
      refuseMore(positionals.slice(1));
      return (await import('../profile/new.js')).writeNew(io, values.folder);
    }
    case 'schema': {
      if (first === undefined) throw new UsageError(`profile schema needs a kind: ${KIND_NAMES.join(', ')}`);
      refuseMore(more);
      const { jsonSchemaOf, SCHEMAS } = await import('../../profile/index.js');
      const { jsonText } = await import('../command.js');
      io.stdout(jsonText(jsonSchemaOf(SCHEMAS[kindOf(first)])));
      return 0;
    }
  }
});

function kindOf(word: string) {
  const kind = kindNamed(word);
  if (kind !== undefined) return kind;
  const known = [...Object.values(KIND_WORDS), 'faults'];
  throw new UsageError(`unknown kind ${JSON.stringify(word)}`, { word, known });
}
