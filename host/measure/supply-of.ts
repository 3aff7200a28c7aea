// Which supply reading a quantity of a throw moves with.

import type { QuantityName } from './quantities.js';
import { kindOf, type Measured, type Reading, readingOf } from './reading.js';
import { isThrow, REST, type RunStretch } from './run-stretch.js';

/** Currents, levels and times of a throw move with the supply read in the same throw; resistances and counts do not. */
export function supplyReadingFor(
  { what, of }: Pick<Reading, 'what' | 'of'>,
  measured: Readonly<Measured>,
): QuantityName | undefined {
  const { law } = kindOf({ what });
  if (law?.supply === undefined || of === undefined || !isThrow(of)) return undefined;
  const own = law.isAtInrush && readingOf(measured, 'inrushSupplyVoltageV', of);
  if (own) return 'inrushSupplyVoltageV';
  const isRead = readingOf(measured, 'supplyVoltageV', of) ?? readingOf(measured, 'supplyVoltageV', REST);
  return isRead ? 'supplyVoltageV' : undefined;
}

/** Of the throw that a reading is of, else at rest. */
export const supplyIn = (
  measured: Readonly<Measured>,
  by: QuantityName,
  of: RunStretch | undefined,
): number | undefined => (readingOf(measured, by, of) ?? readingOf(measured, 'supplyVoltageV', REST))?.value;
