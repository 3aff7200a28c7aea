// Whether readings can be a normal population at all: Anderson and Darling's test, centre and spread estimated
// (M. A. Stephens 1974; D'Agostino and Stephens 1986, table 4.7; as in the NIST/SEMATECH e-Handbook 1.3.5.14).

import { normalProbability } from '../measure/index.js';

/** Below this many units any shape looks normal. Common practice, no source. */
export const LEAST_FOR_SHAPE = 8;
/** One normal population in a hundred exceeds it. */
const CRITICAL = 1.035;

/** The statistic with its correction for few readings. At least two values that differ. */
export function andersonDarling(values: readonly number[]): number {
  const count = values.length;
  const mean = values.reduce((sum, value) => sum + value, 0) / count;
  const deviation = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (count - 1));
  const below = values
    .map((value) => normalProbability((value - mean) / deviation))
    .map((p) => Math.min(1 - 1e-12, Math.max(1e-12, p)))
    .sort((a, b) => a - b);
  const sum = below.reduce((so, p, i) => {
    const mirrored = below[count - 1 - i] ?? p;
    return so + (2 * i + 1) * (Math.log(p) + Math.log(1 - mirrored));
  }, 0);
  return (-count - sum / count) * (1 + 0.75 / count + 2.25 / count ** 2);
}

/** `unknown`: too few to tell. */
export function shapeOf(values: readonly number[]): 'normal' | 'not normal' | 'unknown' {
  if (values.length < LEAST_FOR_SHAPE) return 'unknown';
  if (values.every((value) => value === values[0])) return 'unknown';
  return andersonDarling(values) <= CRITICAL ? 'normal' : 'not normal';
}
