// A switch thrown by hand may open and close again while the motor starts: the shaft then turns before the contact holds,
// and the peak that is read is no start from rest.

import { sampleAt } from '../arrays/index.js';
import { indexAt, type Trace } from './trace.js';

/** What a relay's contact does is over by then (bounce of 1 to 5 ms, common catalogue figure), and leaves the peak as it is. */
const OVER_S = 0.008;
/** What still goes on at the end of this is no bounce but a chopper or a loose joint. Choice of this program, no source. */
const WITHIN_S = 0.06;
const LONGEST_S = 0.045;
/** Of the highest current before: it has gone, and it has come back. Choices of this program, no source. */
const GONE_PART = 0.4;
const BACK_PART = 0.6;

/**
 * How long after `contact` the current comes back for the last time, s; undefined where it does not once a relay's bounce is
 * over, and for a rig, whose contacts are the unit's or its own and no hand's.
 * @param current its sign already taken out
 */
export function bouncesAtStart(
  trace: Trace,
  current: Float64Array,
  contact: number,
  to: number,
): number | undefined {
  if (trace.source.feed !== undefined) return undefined;
  const startS = sampleAt(trace.timeS, contact);
  const end = indexAt(trace, startS + WITHIN_S, contact, to);
  let [highestA, lastS, hasGone]: [number, number, boolean] = [0, 0, false];
  for (let i = contact; i < end; i++) {
    const currentA = sampleAt(current, i);
    if (hasGone && currentA > BACK_PART * highestA) {
      lastS = sampleAt(trace.timeS, i) - startS;
      hasGone = false;
    }
    if (currentA > highestA) highestA = currentA;
    else if (currentA < GONE_PART * highestA) hasGone = true;
  }
  return lastS > OVER_S && lastS < LONGEST_S ? lastS : undefined;
}
