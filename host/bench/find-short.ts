// Whether the full feed may follow: the same reading of the same samples that judging makes of the stored capture.

import type { Capture } from '../capture/index.js';
import { feedPathOf, type LimitedReading, limitedShort, measure } from '../measure/index.js';
import type { ResolvedUnit } from '../profile/index.js';

/** The limited stretch of a run so far that shows a short; undefined when none does. Pure. */
export function findShort(unit: ResolvedUnit, soFar: Capture): LimitedReading | undefined {
  const { nominalVoltageV } = unit.motor;
  return limitedShort(measure(soFar, { rig: unit.rig, nominalVoltageV, ripple: false }), feedPathOf(unit));
}
