// What can be said to `throwbench simulate`.

import { PROFILE_OPTION } from './bench-named.js';

export const SIMULATE_OPTIONS = {
  profile: PROFILE_OPTION,
  fault: {
    type: 'string',
    multiple: true,
    value: 'ID',
    words: "with this fault of the profile's circuit; may be given several times",
    offer: 'fault',
  },
  faults: { type: 'boolean', words: "list the faults that the profile's circuit can have, and stop" },
  draws: {
    type: 'string',
    value: 'N',
    words: "behind the traces the band of N good units, drawn from the profile's tolerances",
  },
  supply: { type: 'string', value: 'V', words: 'open-circuit voltage of the supply' },
  temperature: { type: 'string', value: 'C', words: 'of motor, coils and wires' },
  'held-rotor': { type: 'boolean', words: 'the shaft cannot turn' },
  station: {
    type: 'string',
    value: 'NAME',
    words: 'throw from another place of the circuit, such as a second switch',
  },
  csv: { type: 'string', value: 'FILE', words: 'write the capture', offer: 'file' },
  svg: { type: 'string', value: 'FILE', words: 'draw it as a picture', offer: 'file' },
  scenario: {
    type: 'string',
    multiple: true,
    value: 'FILE',
    words: `a circuit that the file states completely; needs --csv. Several files run in one go: --csv then names the
      folder that takes a CSV of each`,
    offer: 'file',
  },
  json: { type: 'boolean', words: 'readings as JSON in place of the drawing' },
} as const;
