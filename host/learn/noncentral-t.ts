// Quantile of Student's t with a shifted centre: the exact one-sided tolerance factor of a normal population rests on it.

import { normalProbability } from '../measure/index.js';

/** Steps of Simpson's rule over the spread; more change nothing in the eighth digit at the degrees asked for. */
const STEPS = 400;
/** Standard deviations of the spread that are summed over, either side. */
const REACH = 9;

/** Natural logarithm of the gamma function for x > 0 (Stirling's series, shifted; Abramowitz and Stegun 6.1.40). */
function logGamma(x: number): number {
  if (x < 10) return logGamma(x + 1) - Math.log(x);
  const i = 1 / (x * x);
  const series = (1 / 12 - i * (1 / 360 - i * (1 / 1260 - i / 1680))) / x;
  return (x - 0.5) * Math.log(x) - x + 0.5 * Math.log(2 * Math.PI) + series;
}

/**
 * Probability of noncentral t below `t`: the normal one of `t s - shift`, averaged over s, whose square times `freedom`
 * is chi-squared (the definition of noncentral t; Owen 1968).
 */
export function noncentralTProbability(t: number, freedom: number, shift: number): number {
  // ln of s is summed over: smooth, and without an end at zero.
  const front = Math.log(2) + (freedom / 2) * Math.log(freedom / 2) - logGamma(freedom / 2);
  const density = (logS: number): number =>
    Math.exp(front + freedom * logS - (freedom / 2) * Math.exp(2 * logS));
  const wide = REACH / Math.sqrt(2 * freedom);
  const [from, to] = [-wide * (1 + 4 / freedom), Math.min(wide, 0.5 * Math.log(1 + 80 / freedom) + wide / 4)];
  const step = (to - from) / STEPS;
  let sum = 0;
  for (let n = 0; n <= STEPS; n++) {
    const logS = from + n * step;
    const weight = n === 0 || n === STEPS ? 1 : n % 2 === 1 ? 4 : 2;
    sum += weight * density(logS) * normalProbability(t * Math.exp(logS) - shift);
  }
  return (sum * step) / 3;
}

/** The t below which noncentral t lies with `probability` (0 to 1), found by halving. */
export function noncentralTQuantile(probability: number, freedom: number, shift: number): number {
  let low = shift - 10;
  let high = Math.max(1, shift);
  while (noncentralTProbability(high, freedom, shift) < probability && high < 1e6) high *= 2;
  for (let n = 0; n < 100 && high - low > 1e-9 * Math.max(1, high); n++) {
    const middle = (low + high) / 2;
    if (noncentralTProbability(middle, freedom, shift) < probability) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
