// Mean, deviation and serial correlation of samples, by running updates that stay exact on large offsets.
// Missing samples (NaN) are left out. Held to the NIST StRD univariate sets in the tests.

import { select } from './select.js';

export interface Summary {
  count: number;
  mean: number;
  /** Sample standard deviation (n - 1); 0 for one sample. */
  deviation: number;
  /** Lag-1 autocorrelation as NIST StRD defines it; 0 when it has no meaning. */
  lag1: number;
}

/**
 * Summary of `values[from..to)`; count 0 gives NaN for the mean.
 * Two passes: the second removes what rounding left in the first (Chan, Golub, LeVeque 1983, corrected two-pass).
 */
export function summarise(values: ArrayLike<number>, from = 0, to = values.length): Summary {
  let count = 0;
  let mean = 0;
  for (let i = from; i < to; i++) {
    const value = values[i]!;
    if (Number.isNaN(value)) continue;
    count++;
    mean += (value - mean) / count;
  }
  if (count === 0) return { count: 0, mean: Number.NaN, deviation: 0, lag1: 0 };
  let residue = 0;
  for (let i = from; i < to; i++) {
    const value = values[i]!;
    if (!Number.isNaN(value)) residue += value - mean;
  }
  mean += residue / count;
  let squares = 0;
  let drift = 0;
  let products = 0;
  let previous = Number.NaN;
  for (let i = from; i < to; i++) {
    const offset = values[i]! - mean;
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

/** Longest lag looked at, and samples that are enough to see it. */
const LONGEST_LAG = 40;
const ENOUGH = 20000;
const NO_LONGER_CORRELATED = 0.05;

/**
 * How many independent samples would tell the mean as well: n / (1 + 2 sum r_k) over the lags k until the correlation
 * r_k has gone; n (1 - r) / (1 + r), which is the same for a first-order process, when it does not go in time. At least 2.
 */
export function independentCount(values: Float64Array, { count, mean, deviation, lag1 }: Summary): number {
  if (!(lag1 > 0)) return Math.max(2, count);
  const offsets = values.slice(0, ENOUGH);
  for (let i = 0; i < offsets.length; i++) offsets[i]! -= mean;
  let sum = lag1;
  for (let first = 2; first <= LONGEST_LAG; first += 4) {
    for (const product of fourMeanProducts(offsets, first).slice(0, LONGEST_LAG + 1 - first)) {
      const r = product / deviation ** 2;
      if (r < NO_LONGER_CORRELATED) return Math.max(2, count / (1 + 2 * sum));
      sum += r;
    }
  }
  const r = Math.min(0.999, lag1);
  return Math.max(2, (count * (1 - r)) / (1 + r));
}

/** Mean product of all pairs `first` to `first` + 3 apart; four sums side by side do not wait for one another. */
function fourMeanProducts(offsets: Float64Array, first: number): number[] {
  let [a, b, c, d] = [0, 0, 0, 0];
  const size = offsets.length;
  for (let i = first; i < Math.min(first + 3, size); i++) {
    a += offsets[i]! * offsets[i - first]!;
    if (i > first) b += offsets[i]! * offsets[i - first - 1]!;
    if (i > first + 1) c += offsets[i]! * offsets[i - first - 2]!;
  }
  for (let i = first + 3; i < size; i++) {
    const offset = offsets[i]!;
    const from = i - first;
    a += offset * offsets[from]!;
    b += offset * offsets[from - 1]!;
    c += offset * offsets[from - 2]!;
    d += offset * offsets[from - 3]!;
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
    const product = offsets[i]! * offsets[i - lag]!;
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
    const value = values[i]!;
    if (Number.isFinite(value)) finite[count++] = value;
  }
  if (count === 0) return Number.NaN;
  const at = part * (count - 1);
  const rank = Math.floor(at);
  const low = select(finite, count, rank);
  if (rank + 1 >= count || at === rank) return low;
  let high = Number.POSITIVE_INFINITY;
  for (let i = rank + 1; i < count; i++) if (finite[i]! < high) high = finite[i]!;
  return low + (at - rank) * (high - low);
}

/**
 * Noise of one sample, from second differences, so that slow movement does not count.
 * 1.4826 and sqrt(6) turn the median absolute second difference of white noise into its deviation.
 */
export function noiseOf(values: ArrayLike<number>, from: number, to: number): number {
  const differences = new Float64Array(Math.max(0, to - from));
  let count = 0;
  for (let i = from + 1; i + 1 < to; i++) {
    const second = values[i - 1]! - 2 * values[i]! + values[i + 1]!;
    if (!Number.isNaN(second)) differences[count++] = Math.abs(second);
  }
  if (count < 5) return 0;
  return (1.4826 * median(differences, 0, count)) / Math.sqrt(6);
}
