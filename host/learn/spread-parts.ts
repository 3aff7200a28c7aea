// Spread between units apart from the spread of one unit's starts: one-way random effects by unweighted means
// (Thomas and Hultquist 1978, as in Krishnamoorthy and Mathew, Statistical Tolerance Regions, 2009, chapter 5).

import type { Known } from './tolerance.js';

export interface SpreadParts {
  centre: number;
  /** Standard deviation from unit to unit; 0 where the starts of one unit explain all. */
  between: number;
  /** Of the starts of one unit; absent where no unit was started twice. */
  within?: number;
  /** Of one start of any unit: what a limit is held against. */
  total: number;
  units: number;
  starts: number;
  known: Known;
}

const meanOf = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;
const squaresOf = (values: readonly number[]): number => {
  const mean = meanOf(values);
  return values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
};

/** @param units the starts of each unit; at least two units, none empty. @throws RangeError */
export function spreadParts(units: readonly (readonly number[])[]): SpreadParts {
  if (units.length < 2) throw new RangeError(`a spread takes two units at least, not ${units.length}`);
  if (units.some((starts) => starts.length === 0)) throw new RangeError('a unit without a start');
  const count = units.length;
  const means = units.map(meanOf);
  const starts = units.reduce((sum, own) => sum + own.length, 0);
  const ofMeans = squaresOf(means) / (count - 1);
  /** Part of the starts' own spread that the means do not show. */
  const hidden = 1 - units.reduce((sum, own) => sum + 1 / own.length, 0) / count;
  const repeats = starts - count;
  const ofStarts = repeats === 0 ? 0 : units.reduce((sum, own) => sum + squaresOf(own), 0) / repeats;
  const variance = ofMeans + hidden * ofStarts;
  return {
    centre: meanOf(means),
    between: Math.sqrt(Math.max(0, ofMeans - (1 - hidden) * ofStarts)),
    ...(repeats === 0 ? {} : { within: Math.sqrt(ofStarts) }),
    total: Math.sqrt(variance),
    units: count,
    starts,
    // Satterthwaite's degrees are too many where the few units happen to lie close: limits from 3 units with 3 starts each
    // then held what they state in 7 of 10 drawn workshops. Those of the units alone err to the safe side.
    known: { freedom: count - 1, centreOf: count },
  };
}
