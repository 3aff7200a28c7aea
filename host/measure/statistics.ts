// Mean, deviation and serial correlation of samples, by running updates that stay exact on large offsets.
// Missing samples (NaN) are left out. Held to the NIST StRD univariate sets in the tests.

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
  const size = Math.min(values.length, ENOUGH);
  let sum = lag1;
  for (let lag = 2; lag <= LONGEST_LAG; lag++) {
    let products = 0;
    let pairs = 0;
    for (let i = lag; i < size; i++) {
      const product = (values[i]! - mean) * (values[i - lag]! - mean);
      if (Number.isNaN(product)) continue;
      products += product;
      pairs++;
    }
    const r = pairs > 0 ? products / pairs / deviation ** 2 : 0;
    if (r < NO_LONGER_CORRELATED) return Math.max(2, count / (1 + 2 * sum));
    sum += r;
  }
  const r = Math.min(0.999, lag1);
  return Math.max(2, (count * (1 - r)) / (1 + r));
}

/** Median of the finite values of `values[from..to)`; NaN when there is none. */
export function median(values: ArrayLike<number>, from = 0, to = values.length): number {
  return quantile(values, 0.5, from, to);
}

/** Quantile by linear interpolation between order statistics; NaN when nothing is finite. */
export function quantile(values: ArrayLike<number>, part: number, from = 0, to = values.length): number {
  const sorted = new Float64Array(Math.max(0, to - from));
  let count = 0;
  for (let i = from; i < to; i++) {
    const value = values[i]!;
    if (Number.isFinite(value)) sorted[count++] = value;
  }
  if (count === 0) return Number.NaN;
  const finite = sorted.subarray(0, count).sort();
  const at = part * (count - 1);
  const low = Math.floor(at);
  const high = Math.min(count - 1, low + 1);
  return finite[low]! + (at - low) * (finite[high]! - finite[low]!);
}

/**
 * Noise of one sample, from second differences, so that slow movement does not count.
 * 1.4826 and sqrt(6) turn the median absolute second difference of white noise into its deviation.
 */
export function noiseOf(values: ArrayLike<number>, from: number, to: number): number {
  const differences: number[] = [];
  for (let i = from + 1; i + 1 < to; i++) {
    const second = values[i - 1]! - 2 * values[i]! + values[i + 1]!;
    if (!Number.isNaN(second)) differences.push(Math.abs(second));
  }
  if (differences.length < 5) return 0;
  return (1.4826 * median(differences)) / Math.sqrt(6);
}
