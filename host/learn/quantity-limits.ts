// Limits of one quantity from all good units that showed it.

import { stretchWords } from '../measure/index.js';
import type { LearnedQuantity } from '../profile/index.js';
import { LEAST_FOR_SHAPE, shapeOf } from './normal-shape.js';
import { type Column, sidesOf } from './run.js';
import { byUnit, scaleOf, unscaled } from './scale.js';
import { type SpreadParts, spreadParts } from './spread-parts.js';
import { oneSidedFactor, type Stated, twoSidedFactor, unitsWithoutShape } from './tolerance.js';

/** From two units no spread can be told that would not be chance. Choice of this program, no source. */
export const LEAST_UNITS = 3;

/**
 * Limits closer to the centre than this many expanded uncertainties of the reading would have every good unit too close to
 * them to be sure. Choice of this program, no source.
 */
const BEYOND_READING = 2;

const meanOf = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length;

export type QuantityLimits = { limits: LearnedQuantity } | { why: string };

/** @param stated what this quantity must hold by itself */
export function quantityLimits(column: Column, all: number, stated: Stated): QuantityLimits {
  const scale = scaleOf(column);
  const units = byUnit(scale, column.starts);
  // A reading that some good units do not show cannot be asked of every unit.
  if (units.size < all) return { why: `read on ${units.size} of ${all} units only` };
  const parts = spreadParts([...units.values()]);
  const shape = shapeOf([...units.values()].map(meanOf));
  if (shape === 'not normal') {
    const wanted = unitsWithoutShape(stated);
    return { why: `its units do not spread as one normal population; ${wanted} units would do without` };
  }
  if (!(parts.total > 0)) return { why: 'every unit reads the same: nothing is known of its spread' };
  const [lower, upper] = endsOf(column, parts, stated);
  const { supplyPower, atSupplyV, spread } = scale;
  const ends = [lower, upper].map((end) => (end === undefined ? undefined : unscaled(scale, end)));
  const known = ends.filter((end) => end !== undefined);
  const centre = unscaled(scale, parts.centre);
  const reach = BEYOND_READING * meanOf(column.starts.map(({ expandedUncertainty }) => expandedUncertainty));
  const [least, most] = [Math.min(...known, centre - reach), Math.max(...known, centre + reach)];
  const both = known.length === 2;
  return {
    limits: {
      words: wordsOf(column),
      unit: column.unit,
      centre,
      ...(both ? { lower: least } : {}),
      upper: most,
      betweenUnits: parts.between,
      ...(parts.within === undefined ? {} : { withinUnit: parts.within }),
      spread,
      shape: shape === 'normal' ? 'normal' : 'taken as normal',
      units: parts.units,
      starts: parts.starts,
      ...(supplyPower === undefined || atSupplyV === undefined ? {} : { supplyPower, atSupplyV }),
    },
  };
}

const wordsOf = ({ words, of }: Column): string =>
  of === undefined ? words : `${stretchWords(of)}: ${words}`;

function endsOf(
  { what }: Column,
  { centre, total, known }: SpreadParts,
  stated: Stated,
): [number | undefined, number] {
  if (sidesOf(what) === 'upper') return [undefined, centre + oneSidedFactor(known, stated) * total];
  const reach = twoSidedFactor(known, stated) * total;
  return [centre - reach, centre + reach];
}

/** Behind a table of limits: what so many units can show of a population's shape. */
export const shapeWords = (units: number): string =>
  units < LEAST_FOR_SHAPE
    ? `Taken as normal: ${units} units cannot show the shape of their spread, ${LEAST_FOR_SHAPE} begin to.`
    : 'Each limit is of readings that may spread as a normal population does (Anderson and Darling, 1 %).';
