// How a unit is clipped on, in the colours of its own wires. A style's line says behind the words for a wire which wire
// of the style it is, `lead A {lead-a}`; the unit's profile says what colour that wire has.

import type { CircuitStyle } from './circuit-style.js';
import type { UnitProfile } from './schema.js';
import { colourWords } from './wire-colours.js';

const MARK = / \{([a-z0-9-]+)\}/g;

/** Ids of the wires that a line speaks of. */
export const wiresIn = (line: string): string[] => [...line.matchAll(MARK)].map(([, wire = '']) => wire);

/** `lead A (BU blue) from 30 of K1`; without the colour where nobody told it. */
export function hookUpLines({
  style,
  unit = {},
}: {
  style: Pick<CircuitStyle, 'hookUp'>;
  unit?: Pick<UnitProfile, 'wires'>;
}): string[] {
  return style.hookUp.map((line) =>
    line.replace(MARK, (_, wire: string) => {
      const colour = unit.wires?.[wire]?.colour;
      return colour === undefined ? '' : ` (${colour} ${colourWords(colour)})`;
    }),
  );
}
