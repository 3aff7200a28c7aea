// What was commanded at each sample of a run.

import { firstAtOrAfter } from '../capture/index.js';

/** A sample that falls on a command shows what is commanded then, whatever rounding makes of its time. */
const SAME_INSTANT_S = 1e-9;

/** At each sample the last of `values` whose time in `fromS`, which does not fall, has come; the first one before all. */
export function heldFrom<T>(timeS: Float64Array, fromS: readonly number[], values: readonly T[]): T[] {
  const held = new Array<T>(timeS.length);
  const starts = fromS.map((atS) => firstAtOrAfter(timeS, atS - SAME_INSTANT_S));
  values.forEach((value, i) => {
    held.fill(value, i === 0 ? 0 : starts[i], starts[i + 1]);
  });
  return held;
}
