// Half width that covers 95 % of a normal deviation together with one rectangular error. Where limits such as a clock's
// rule the budget, twice the deviation would lie beyond what can happen at all (GUM G.1.4 to G.1.6: convolution).

import { gammaP } from '../distributions.js';

const COVERAGE = 0.95;
/** Simpson intervals over the rectangle and halvings; good to 1e-4 of the width. */
const INTERVALS = 40;
const HALVINGS = 30;

/** Standard normal distribution function. */
function phi(z: number): number {
  const half = gammaP(0.5, (z * z) / 2) / 2;
  return z < 0 ? 0.5 - half : 0.5 + half;
}

/** @param deviation of the normal part, above 0; `limit` is the rectangle's half width, above 0. */
export function coveringHalfWidth(deviation: number, limit: number): number {
  const covered = (halfWidth: number): number => {
    let sum = 0;
    for (let n = 0; n <= INTERVALS; n++) {
      const x = limit * (n / INTERVALS);
      const weight = n === 0 || n === INTERVALS ? 1 : n % 2 === 1 ? 4 : 2;
      sum += weight * (phi((halfWidth - x) / deviation) - phi((-halfWidth - x) / deviation));
    }
    return sum / (3 * INTERVALS);
  };
  let low = 0;
  let high = limit + 2 * deviation;
  for (let n = 0; n < HALVINGS; n++) {
    const middle = (low + high) / 2;
    if (covered(middle) < COVERAGE) low = middle;
    else high = middle;
  }
  return high;
}
