// What can be said to `throwbench circuit`, and the colours that it shares with `throwbench wiring`.

import { UsageError } from './command.js';

export const CIRCUIT_OPTIONS = {
  profile: { type: 'string' },
  run: { type: 'string' },
  circuit: { type: 'string' },
  position: { type: 'string' },
  station: { type: 'string' },
  fault: { type: 'string' },
  colour: { type: 'string', multiple: true },
  svg: { type: 'string' },
  json: { type: 'boolean', default: false },
} as const;

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
