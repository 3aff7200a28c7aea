// What a population of good units looks like that is not one normal one: two groups, or trailing off to one side. Named as
// soon as so many units can tell; below that nothing is said.

import { seededRandom } from '../circuit/index.js';
import { normalProbability } from '../measure/index.js';
import { LEAST_FOR_SHAPE, shapeOf } from './normal-shape.js';

export type Shape =
  | { kind: 'unknown' | 'normal' | 'other' }
  /** Places of the values in either group. */
  | { kind: 'two groups'; low: number[]; high: number[] }
  | { kind: 'skewed'; towards: 'high' | 'low' };

/** Fewer are no group but units that stand apart, which odd-one.ts tells. Choice of this program, no source. */
const LEAST_IN_GROUP = 3;
/** Normal populations drawn for one number of units; their order gives the chance of a split. */
const DRAWS = 4000;
/** Within groups that are none of skewed units' making. Common practice, no source. */
const STILL_SKEWED = 0.05;

const meanOf = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length;
const squares = (values: readonly number[]): number => {
  const mean = meanOf(values);
  return values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
};

/**
 * Skewness as a standard normal deviate: R. B. D'Agostino, Biometrika 57 (1970) 679; as in D'Agostino, Belanger and
 * D'Agostino Jr., The American Statistician 44 (1990) 316. Eight values at the least.
 */
export function skewnessDeviate(values: readonly number[]): number {
  const n = values.length;
  const mean = meanOf(values);
  const moment = (power: number): number => values.reduce((sum, v) => sum + (v - mean) ** power, 0) / n;
  const skewness = moment(3) / moment(2) ** 1.5;
  return deviateOf(skewness, n);
}

/** @param skewness third moment over the second to the power of 3/2 */
export function deviateOf(skewness: number, n: number): number {
  const y = skewness * Math.sqrt(((n + 1) * (n + 3)) / (6 * (n - 2)));
  const kurtosis = (3 * (n ** 2 + 27 * n - 70) * (n + 1) * (n + 3)) / ((n - 2) * (n + 5) * (n + 7) * (n + 9));
  const w2 = -1 + Math.sqrt(2 * (kurtosis - 1));
  const delta = 1 / Math.sqrt(0.5 * Math.log(w2));
  const alpha = Math.sqrt(2 / (w2 - 1));
  return delta * Math.asinh(y / alpha);
}

/** The best split in two: spread that is left within the groups, as a part of all; and how many lie in the lower one. */
export interface Split {
  within: number;
  low: number;
}

/** After L. Engelman and J. A. Hartigan, J. Am. Stat. Assoc. 64 (1969) 1647; no group of fewer than three. @param sorted rising */
export function bestSplit(sorted: readonly number[]): Split {
  const n = sorted.length;
  const mean = meanOf(sorted);
  const whole = squares(sorted);
  let best: Split = { within: 1, low: 0 };
  let sum = 0;
  sorted.forEach((value, i) => {
    sum += value - mean;
    const low = i + 1;
    if (low < LEAST_IN_GROUP || n - low < LEAST_IN_GROUP) return;
    const between = sum ** 2 / low + sum ** 2 / (n - low);
    const within = 1 - between / whole;
    if (within < best.within) best = { within, low };
  });
  return best;
}

const drawnSplits = new Map<number, number[]>();

/** Chance that one normal population splits so clearly, from drawn ones: the published points are of splits without a least group. */
export function splitChance({ within }: Split, n: number): number {
  const drawn =
    drawnSplits.get(n) ??
    (() => {
      const random = seededRandom(1969 + n);
      const all = Array.from({ length: DRAWS }, () => {
        const values = Array.from({ length: n }, () => random.normal()).sort((a, b) => a - b);
        return bestSplit(values).within;
      }).sort((a, b) => a - b);
      drawnSplits.set(n, all);
      return all;
    })();
  return (drawn.filter((each) => each <= within).length + 1) / (DRAWS + 1);
}

/**
 * @param values of units, one each
 * @param wrongly part of normal populations that may be called skewed, and of those that may be called two groups
 */
export function namedShape(values: readonly number[], wrongly: number): Shape {
  const n = values.length;
  if (n < LEAST_FOR_SHAPE || !(squares(values) > 0)) return { kind: 'unknown' };
  const order = values.map((_, i) => i).sort((a, b) => (values[a] ?? 0) - (values[b] ?? 0));
  const sorted = order.map((i) => values[i] ?? 0);
  const split = bestSplit(sorted);
  const deviate = skewnessDeviate(values);
  const isSkewed = beyond(deviate) < wrongly;
  if (splitChance(split, n) < wrongly) {
    const [low, high] = [sorted.slice(0, split.low), sorted.slice(split.low)];
    // What trails off to one side splits too, and its halves trail off again.
    const centred = [low, high].flatMap((group) => group.map((value) => value - meanOf(group)));
    if (!isSkewed || beyond(skewnessDeviate(centred)) >= STILL_SKEWED)
      return { kind: 'two groups', low: order.slice(0, split.low), high: order.slice(split.low) };
  }
  if (isSkewed) return { kind: 'skewed', towards: deviate > 0 ? 'high' : 'low' };
  return { kind: shapeOf(values) === 'normal' ? 'normal' : 'other' };
}

/** Chance of a deviate so far out, to either side. */
const beyond = (deviate: number): number => 2 * (1 - normalProbability(Math.abs(deviate)));
