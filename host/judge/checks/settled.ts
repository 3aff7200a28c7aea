// Whether a throw came to a running level at all: a load that comes and goes, or a throw let go while the motor was still
// running up, has none, and what was read of it is no running current.

import { type Measured, type QuantityName, type RunStretch, readingOf } from '../../measure/index.js';

/** Warm brushes and grease move a level by up to 5 % a second (common practice); so much more is no level. Choice of this program, no source. */
const MOST_PERCENT_PER_S = 30;

/** What such a throw says nothing by. */
export const OF_A_LEVEL: readonly QuantityName[] = [
  'runningCurrentA',
  'motorCurrentA',
  'feedCurrentA',
  'runningPeakA',
  'settleS',
  'speedRpm',
];

/** Whether the current of a throw surely still moved more than any warm-up does when it was let go. */
export function isUnsettled(measured: Readonly<Measured>, of: RunStretch): boolean {
  const drift = readingOf(measured, 'runningDriftPercentPerS', of);
  return drift !== undefined && Math.abs(drift.value) - drift.expandedUncertainty > MOST_PERCENT_PER_S;
}
