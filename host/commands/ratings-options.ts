// What can be said to `throwbench ratings`.

import { JSON_OPTION, OTHER_CIRCUIT_OPTION, PROFILE_OPTION } from './bench-named.js';

const amperes = (words: string) => ({ type: 'string', value: 'A', words }) as const;

export const RATINGS_OPTIONS = {
  profile: PROFILE_OPTION,
  circuit: OTHER_CIRCUIT_OPTION,
  compare: {
    type: 'string',
    value: 'ID',
    words: 'this circuit beside it: what the same motor asks of both',
    offer: 'circuit',
  },
  run: {
    type: 'string',
    value: 'RUN',
    words: 'currents as this run measured them; RUN is its id, or last',
    offer: 'run',
  },
  'running-a': amperes('the motor running; over --run and profile, as the next two'),
  'start-a': amperes('the motor at its start'),
  'held-a': amperes('the motor held'),
  motors: { type: 'string', value: 'N', words: 'motors on the same switch, or on the same relay contacts' },
  pairs: {
    type: 'string',
    value: 'N',
    words: 'relay pairs, each with its motor and feed fuse, whose coils share one small switch and fuse',
  },
  continuous: {
    type: 'boolean',
    default: false,
    words: 'it runs without end; else in short runs with pauses',
  },
  'switch-a': amperes('rating of the switch: of the small one where relays carry the motor'),
  'fuse-a': amperes('fuse of the feed'),
  'coil-fuse-a': amperes('fuse of the coils'),
  'make-a': amperes("rating of the relays' 87"),
  'break-a': amperes("rating of the relays' 87a"),
  'wire-mm2': { type: 'string', value: 'MM2', words: 'size of the wires, or such as "AWG 14"' },
  'wire-awg': { type: 'string', value: 'N', words: 'the same as a gauge' },
  'wire-length': {
    type: 'string',
    value: 'M',
    words: 'length of each wire: feed, leads, ground; stated ones and links apart',
  },
  drop: { type: 'string', value: 'PERCENT', words: 'most that all wires may drop out and back (3)' },
  supply: { type: 'string', value: 'V', words: 'supply' },
  'ambient-c': {
    type: 'string',
    value: 'C',
    words: 'warmest ambient of wires and fuses, °C or such as 104F',
  },
  parts: {
    type: 'string',
    value: 'FILE',
    words: 'one more file of parts to suggest from, or its id',
    offer: 'file',
  },
  json: JSON_OPTION,
} as const;
