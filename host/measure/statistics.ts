// Mean, deviation and serial correlation of samples, by running updates that stay exact on large offsets.
// Missing samples (NaN) are left out. Held to the NIST StRD univariate sets in the tests.

import { sampleAt } from '../arrays/index.js';
import { select } from './select.js';

export interface Summary {
  count: number;
  mean: number;
  /** Sample standard deviation (n - 1); 0 for one sample. */
  deviation: number;
  /** Lag-1 autocorrelation as NIST StRD defines it; 0 when it has no meaning. */
  lag1: number;
}

/** Neither lost nor beyond the end. */
const isThere = (value: number | undefined): value is number => value !== undefined && !Number.isNaN(value);

/**
 * Summary of `values[from..to)`, of which only what is there counts; count 0 gives NaN for the mean.
 * Two passes: the second removes what rounding left in the first (Chan, Golub, LeVeque 1983, corrected two-pass).
 */
export function summarise(values: ArrayLike<number>, from = 0, to = values.length): Summary {
  let count = 0;
  let mean = 0;
  for (let i = from; i < to; i++) {
    const value = values[i];
    if (!isThere(value)) continue;
    count++;
    mean += (value - mean) / count;
  }
  if (count === 0) return { count: 0, mean: Number.NaN, deviation: 0, lag1: 0 };
  let residue = 0;
  for (let i = from; i < to; i++) {
    const value = values[i];
    if (isThere(value)) residue += value - mean;
  }
  mean += residue / count;
  let squares = 0;
  let drift = 0;
  let products = 0;
  let previous = Number.NaN;
  for (let i = from; i < to; i++) {
    const value = values[i];
    const offset = value === undefined ? Number.NaN : value - mean;
    if (!Number.isNaN(offset)) {
      squares += offset * offset;
      drift += offset;
      if (!Number.isNaN(previous)) products += offset * previous;
    }
    previous = offset;
  }
  const corrected = Math.max(0, squares - (drift * drift) / count);
  return {
    count,
    mean,
    deviation: count > 1 ? Math.sqrt(corrected / (count - 1)) : 0,
    lag1: corrected > 0 && count > 2 ? products / corrected : 0,
  };
}

/** Plain mean of `values[from..to)`; NaN when one is missing or there is none. */
export function meanOver(values: Float64Array, from: number, to: number): number {
  let sum = 0;
  for (let i = from; i < to; i++) sum += sampleAt(values, i);
  return sum / (to - from);
}

/** Mean of each `width` samples in a row of [from, to), the first at index 0; NaN where one is missing. */
export function windowMeans(values: Float64Array, from: number, to: number, width: number): Float64Array {
  const means = new Float64Array(Math.max(0, to - from - width + 1));
  for (let i = 0; i < means.length; i++) means[i] = meanOver(values, from + i, from + i + width);
  return means;
}

/** Largest magnitude; missing ones do not count. */
export function largestOf(values: Iterable<number>): number {
  let largest = 0;
  for (const value of values) if (Math.abs(value) > largest) largest = Math.abs(value);
  return largest;
}

/** Longest lag looked at, and samples that are enough to see it. Choice of this program, no source. */
const LONGEST_LAG = 40;
const ENOUGH = 20000;
/** Below this a correlation has gone. Choice of this program, no source. */
const NO_LONGER_CORRELATED = 0.05;
/** A process that never forgets would leave no independent sample at all. */
const MOST_CORRELATED = 0.999;

/**
 * How many independent samples would tell the mean as well: n / (1 + 2 sum r_k) over the lags k until the correlation
 * r_k has gone; n (1 - r) / (1 + r), which is the same for a first-order process, when it does not go in time. At least 2.
 */
export function independentCount(values: Float64Array, { count, mean, deviation, lag1 }: Summary): number {
  if (!(lag1 > 0)) return Math.max(2, count);
  const offsets = new Float64Array(Math.min(ENOUGH, values.length));
  for (let i = 0; i < offsets.length; i++) offsets[i] = sampleAt(values, i) - mean;
  let sum = lag1;
  for (let first = 2; first <= LONGEST_LAG; first += 4) {
    for (const product of fourMeanProducts(offsets, first).slice(0, LONGEST_LAG + 1 - first)) {
      const r = product / deviation ** 2;
      if (r < NO_LONGER_CORRELATED) return Math.max(2, count / (1 + 2 * sum));
      sum += r;
    }
  }
  const r = Math.min(MOST_CORRELATED, lag1);
  return Math.max(2, (count * (1 - r)) / (1 + r));
}

/** Mean product of all pairs `first` to `first` + 3 apart; four sums side by side do not wait for one another. */
function fourMeanProducts(offsets: Float64Array, first: number): number[] {
  let [a, b, c, d] = [0, 0, 0, 0];
  let [before, second, third] = [0, 0, 0];
  const size = offsets.length;
  const late = offsets.subarray(first);
  for (let i = 0; i < late.length; i++) {
    const offset = late[i];
    const far = offsets[i];
    if (offset === undefined || far === undefined) break;
    a += offset * far;
    b += offset * before;
    c += offset * second;
    d += offset * third;
    third = second;
    second = before;
    before = far;
  }
  return [a, b, c, d].map((sum, k) =>
    Number.isNaN(sum) ? meanProduct(offsets, first + k) : size > first + k ? sum / (size - first - k) : 0,
  );
}

/** Of all pairs `lag` apart that are both there; 0 when there is none. */
function meanProduct(offsets: Float64Array, lag: number): number {
  let products = 0;
  let pairs = 0;
  for (let i = lag; i < offsets.length; i++) {
    const product = sampleAt(offsets, i) * sampleAt(offsets, i - lag);
    if (Number.isNaN(product)) continue;
    products += product;
    pairs++;
  }
  return pairs > 0 ? products / pairs : 0;
}

/** Median of the finite values of `values[from..to)`; NaN when there is none. */
export function median(values: ArrayLike<number>, from = 0, to = values.length): number {
  return quantile(values, 0.5, from, to);
}

/** Quantile by linear interpolation between order statistics; NaN when nothing is finite. */
export function quantile(values: ArrayLike<number>, part: number, from = 0, to = values.length): number {
  const finite = new Float64Array(Math.max(0, to - from));
  let count = 0;
  for (let i = from; i < to; i++) {
    const value = values[i];
    if (isThere(value) && Number.isFinite(value)) finite[count++] = value;
  }
  if (count === 0) return Number.NaN;
  const at = part * (count - 1);
  const rank = Math.floor(at);
  const low = select(finite, count, rank);
  if (rank + 1 >= count || at === rank) return low;
  let high = Number.POSITIVE_INFINITY;
  for (let i = rank + 1; i < count; i++) {
    const value = sampleAt(finite, i);
    if (value < high) high = value;
  }
  return low + (at - rank) * (high - low);
}

/** Deviation of a normal distribution over its median absolute deviation; a second difference of white noise has sqrt(6) of it. */
export const DEVIATION_OF_MEDIAN = 1.4826;
/** Fewer second differences tell no noise. Choice of this program, no source. */
const LEAST_DIFFERENCES = 5;

/** Noise of one sample, from second differences, so that slow movement does not count; 0 where it cannot be told. */
export function noiseOf(values: Float64Array, from: number, to: number): number {
  const differences = new Float64Array(Math.max(0, to - from));
  let count = 0;
  let [before, here] = [Number.NaN, Number.NaN];
  for (let i = from; i < to; i++) {
    const after = sampleAt(values, i);
    const second = before - 2 * here + after;
    if (!Number.isNaN(second)) differences[count++] = Math.abs(second);
    before = here;
    here = after;
  }
  if (count < LEAST_DIFFERENCES) return 0;
  return (DEVIATION_OF_MEDIAN * median(differences, 0, count)) / Math.sqrt(6);
}

/** Of the largest reading: changes below it are the rounding of a conversion, not a step of the converter. */
const NO_STEP = 1e-9;

/** Smallest change between readings: the step of their converter, where noise is less than that. */
export function leastStep(values: Float64Array): number {
  let largest = 0;
  for (const value of values) if (Math.abs(value) > largest) largest = Math.abs(value);
  let least = Number.POSITIVE_INFINITY;
  for (let i = 1; i < values.length; i++) {
    const change = Math.abs(sampleAt(values, i) - sampleAt(values, i - 1));
    if (change > NO_STEP * largest && change < least) least = change;
  }
  return least;
}
