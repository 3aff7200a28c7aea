// Whether anything flows in a throw, and whether its leads stand apart as a driven motor's do.

import { type Measured, readingOf } from './reading.js';
import type { RunStretch } from './run-stretch.js';

/** Less is no motor's current. Choice of this program, no source. */
export const FLOWING_A = 0.1;
/** Of the supply: a motor with more between its leads is thrown as it should be (common practice, no source). */
export const DRIVEN_PART = 0.75;

/** What flows, A, the feed's where the motor's was not sampled; undefined where neither was. */
export const throwCurrentA = (measured: Measured, of: RunStretch): number | undefined => {
  const current = readingOf(measured, 'motorCurrentA', of) ?? readingOf(measured, 'feedCurrentA', of);
  return current && Math.abs(current.value);
};
