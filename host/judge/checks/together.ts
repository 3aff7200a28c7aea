// Start, running current and run-up time taken together: a motor may stay within each limit and still be no good motor.

import { coverageFactor95 } from '../../measure/index.js';
import { outcomeOf } from '../decision.js';
import { carriedTo } from '../feature-band.js';
import { jointDistance, jointLimit } from '../joint.js';
import type { Check } from '../verdict.js';
import { type CheckContext, modelOrigin, quantityIn } from './context.js';

/** A good motor exceeds the limit once in a thousand, and fails only when it does so by the reading's uncertainty. */
const PART = 0.999;
/** What model and measuring leave open in each reading (ripple, start angle, fit), as a part of it. */
const OPEN_PART = 0.01;

export function togetherCheck(context: CheckContext): Check[] {
  const { joint, features } = context.expectation;
  if (!joint) return [];
  const base = { id: 'motor-signature', required: true, origin: modelOrigin(context) };
  const subject = 'Start, running current and run-up time taken together';
  const values: number[] = [];
  const relative: number[] = [];
  for (const name of joint.names) {
    const quantity = quantityIn(context, name);
    const carried = carriedTo(features[name]!, name, context.seen.measured);
    if (!context.supplyHolds || !quantity || carried === undefined || !(carried > 0)) {
      return [
        { ...base, outcome: 'not-tested', sentence: `${subject}: not tested, one of them was not measured.` },
      ];
    }
    values.push(carried);
    relative.push(Math.hypot(quantity.standardUncertainty / quantity.value, OPEN_PART));
  }
  const { distance, standardUncertainty } = jointDistance(joint, values, relative);
  const upper = jointLimit(joint, PART);
  const expandedUncertainty = coverageFactor95(Number.POSITIVE_INFINITY) * standardUncertainty;
  const outcome = outcomeOf(distance, expandedUncertainty, undefined, upper);
  const near = outcome.startsWith('conditional') ? ', too close to the limit to be sure' : '';
  return [
    {
      ...base,
      sentence: `${subject} lie ${distance.toFixed(1)} ± ${expandedUncertainty.toFixed(1)} spreads from the usual good motor (at most ${upper.toFixed(1)}${near}).`,
      value: distance,
      unit: '1',
      expandedUncertainty,
      upper,
      outcome,
    },
  ];
}
