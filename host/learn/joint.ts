// Limit of all readings taken together: a unit may stay within each single limit and still be like no good one, when its
// start peak is high and its running current low where all others have both high.

import { itemAt } from '../arrays/index.js';
import type { LearnedTogether } from '../profile/index.js';
import { jointLimitSquared, standardised } from './joint-region.js';
import { type Column, sidesOf } from './run.js';
import { byUnit, scaleOf } from './scale.js';
import { shrunkCorrelation } from './shrinkage.js';
import { spreadParts } from './spread-parts.js';
import type { Matrix } from './symmetric.js';
import type { Stated } from './tolerance.js';

/** Fewer units say so little of how readings hang together that the limit catches nothing. Seen in drawn workshops. */
export const LEAST_FOR_JOINT = 5;

/** A correlation of one sample, where it is taken for a population's: its own root must be taken. Part towards none. */
const LEAST_SHRUNK = 0.02;

const meanOf = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length;

const totalOf = (column: Column): number =>
  spreadParts([...byUnit(scaleOf(column), column.starts).values()]).total;

/**
 * Limited on both sides, and read finer than good units spread: else the distance would be made of what the rig misreads.
 */
export function isOfJoint(column: Column): boolean {
  if (sidesOf(column.what) !== 'both') return false;
  const { spread } = scaleOf(column);
  const uncertain = column.starts.map(
    ({ value, expandedUncertainty }) => expandedUncertainty / (spread === 'plain' ? 1 : Math.abs(value)),
  );
  return meanOf(uncertain) <= totalOf(column);
}

export const mayBeJoint = (columns: readonly Column[], units: number): boolean =>
  columns.length >= 2 && units >= LEAST_FOR_JOINT;

/** @param columns with two limits each, all of the same units, at least `LEAST_FOR_JOINT` */
export function jointLimits(columns: readonly Column[], stated: Stated): LearnedTogether {
  const byColumn = columns.map((column) => byUnit(scaleOf(column), column.starts));
  const tags = [...itemAt(byColumn, 0).keys()];
  const { standard } = standardised(
    tags.map((tag) => byColumn.map((units) => meanOf(units.get(tag) ?? [Number.NaN]))),
  );
  const { part, correlation } = shrunkCorrelation(standard);
  const upper = Math.sqrt(
    jointLimitSquared({ units: tags.length, stated, populations: populationsLike(correlation, part) }),
  );
  return {
    upper,
    ...stated,
    shrunk: part,
    method:
      "Hotelling's T squared, correlations of unit means shrunk towards none (Ledoit and Wolf 2004), its limit by " +
      'drawn sets of as many units (Krishnamoorthy and Mondal 2006)',
    readings: columns.map(({ key }, k) => ({
      reading: key,
      spread: totalOf(itemAt(columns, k)),
      correlation: itemAt(correlation, k).slice(0, k + 1),
    })),
  };
}

/**
 * How the readings of the population may hang together: not at all, or nearly as the units showed it. Which of them asks
 * for the wider limit depends on the number of units; what lies between asks for less.
 */
function populationsLike(correlation: Matrix, part: number): Matrix[] {
  const drawnTo = (keeps: number): Matrix =>
    correlation.map((row, i) => row.map((value, j) => (i === j ? 1 : keeps * value)));
  const asShown = part < 1 ? (1 - Math.max(part / 2, LEAST_SHRUNK)) / (1 - part) : 1;
  return [drawnTo(0), drawnTo(Math.max(1, asShown))];
}
