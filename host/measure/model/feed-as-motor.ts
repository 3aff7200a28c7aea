// A capture without the motor's own current, in a style where all that the feed gives goes through the motor while it is
// thrown: the feed's current stands in, with the sign of the throw. What flows in a brake the feed does not see.

import { sampleAt } from '../../arrays/index.js';
import type { Capture } from '../../capture/index.js';
import type { Budgets } from '../budget.js';

/** More across the leads at rest than this is back-EMF of a motor that coasts, and no current flows. */
const COASTS_V = 0.4;

export const FEED_STANDS_IN =
  'The feed current stands in for the motor current while it is thrown: a brake’s current is not seen, so run-down says nothing and friction rests on the run-up and the running level.';

/** Missing (NaN) where the feed does not tell the motor's current; undefined when it cannot stand in at all. */
export function feedAsMotor(
  capture: Capture,
  budgets: Budgets,
): { capture: Capture; budgets: Budgets } | undefined {
  const { feedCurrentA, leadAVoltageV, leadBVoltageV } = capture.channels;
  if (!feedCurrentA || !leadAVoltageV || !leadBVoltageV || capture.positionKnown === false) return undefined;
  const motorCurrentA = feedCurrentA.map((value, k) => {
    const motorV = sampleAt(leadAVoltageV, k) - sampleAt(leadBVoltageV, k);
    // A driven motor's leads tell the way, should they be exchanged.
    if (capture.position[k] !== 'rest') return Math.sign(motorV) * value;
    return Math.abs(motorV) > COASTS_V ? 0 : Number.NaN;
  });
  const budget = budgets.feedCurrentA;
  return {
    capture: { ...capture, channels: { ...capture.channels, motorCurrentA } },
    budgets: budget ? { ...budgets, motorCurrentA: budget } : budgets,
  };
}
