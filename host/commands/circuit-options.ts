// What can be said to `throwbench circuit`, and the colours that it shares with `throwbench wiring`.

import { JSON_OPTION, OTHER_CIRCUIT_OPTION, PROFILE_OPTION } from './bench-named.js';
import { UsageError } from './command.js';
import type { OptionsTold } from './declaration.js';

export const POSITIONS = ['rest', 'forward', 'reverse'] as const;

export const CIRCUIT_OPTIONS = {
  profile: PROFILE_OPTION,
  run: {
    type: 'string',
    value: 'RUN',
    words:
      "as a recorded run found it: the faulty place, measured against expected; RUN is its id, its unit's tag, or last",
    offer: 'run',
  },
  circuit: {
    ...OTHER_CIRCUIT_OPTION,
    words: "on another circuit than the profile's, or the path of a circuit's file",
  },
  position: {
    type: 'string',
    value: 'WORD',
    words: 'rest, forward (else taken) or reverse; with a fault what shows it best',
    offer: POSITIONS,
  },
  station: {
    type: 'string',
    value: 'NAME',
    words: 'thrown from another place of the circuit, such as a second switch',
  },
  fault: {
    type: 'string',
    value: 'ID',
    words: 'with this fault of the circuit; simulate --faults lists them',
    offer: 'fault',
  },
  colour: {
    type: 'string',
    multiple: true,
    value: 'WIRE=RD',
    words:
      "colour of a wire by the letters of IEC 60757, GNYE for green with yellow; may be given several times. The profile's own stand under wires",
  },
  svg: {
    type: 'string',
    value: 'FILE',
    words: 'write the picture; without it, it is drawn in the terminal',
    offer: 'file',
  },
  json: JSON_OPTION,
} as const satisfies OptionsTold;

/** `feed=RD` as wire and colour, not looked up yet. @throws UsageError where it is written otherwise */
export function coloursTold(told: readonly string[] = []): Record<string, string> {
  return Object.fromEntries(
    told.map((text) => {
      const [, wire, colour] = /^([^=]+)=(.+)$/.exec(text) ?? [];
      if (wire === undefined || colour === undefined)
        throw new UsageError(`--colour '${text}' should name a wire and its colour, such as feed=RD`);
      return [wire.trim(), colour.trim().toUpperCase()];
    }),
  );
}
