// Start, running current and run-up time taken together: a motor may stay within each limit and still be no good motor.

import { coverageFactor95 } from '../../measure/index.js';
import { fixed } from '../../tell/index.js';
import { checkOf, closeWords } from '../check.js';
import { outcomeOf } from '../decision.js';
import { carriedTo } from '../feature-band.js';
import { jointDistance, jointLimit } from '../joint.js';
import type { Check, CheckKind } from '../verdict.js';
import { type CheckContext, expectedOf, isUnseenSupply, modelOrigin, seenOf } from './context.js';

/** A good motor exceeds the limit once in a thousand, and fails only when it does so by the reading's uncertainty. */
const PART = 0.999;
/** What model and measuring leave open in each reading (ripple, start angle, fit), as a part of it. */
const OPEN_PART = 0.01;

const SIGNATURE: CheckKind = {
  id: 'motor-signature',
  of: 'motor',
  rank: 170,
  isOfTurning: true,
  isOfStart: true,
  usual: 'start and run taken together',
};

/** How such a motor stands to a normal one. */
function howFar(outcome: Check['outcome']): string {
  if (outcome === 'fail') return 'far from';
  return outcome === 'pass' ? 'those of' : 'on the edge of';
}

export function togetherCheck(context: CheckContext): Check[] {
  const { together } = context.expectation;
  if (!together) return [];
  const { of, what, spread } = together;
  const origin = modelOrigin(context);
  const subject = 'Start, running current and run-up time';
  const values: number[] = [];
  const relative: number[] = [];
  for (const name of what) {
    const read = seenOf(context, name, of);
    const band = expectedOf(context, name, of);
    const carried = band && carriedTo(band, context.seen.measured);
    if (band?.curve && read && isUnseenSupply(context)) {
      const sentence = `${subject}, taken together: not tested, the supply was not sampled.`;
      return [checkOf(SIGNATURE, { origin, outcome: 'not-tested', sentence })];
    }
    if (!context.supplyHolds || !read || carried === undefined || !(carried > 0)) {
      const sentence = `${subject}, taken together: not tested, one of them was not measured.`;
      return [checkOf(SIGNATURE, { origin, outcome: 'not-tested', sentence })];
    }
    values.push(carried);
    relative.push(Math.hypot(read.standardUncertainty / read.value, OPEN_PART));
  }
  const { distance, standardUncertainty } = jointDistance(spread, values, relative);
  const upper = jointLimit(spread, PART);
  const expandedUncertainty = coverageFactor95(Number.POSITIVE_INFINITY) * standardUncertainty;
  const outcome = outcomeOf(distance, expandedUncertainty, undefined, upper);
  return [
    checkOf(SIGNATURE, {
      origin,
      sentence: `Taken together, start, running current and run-up time are ${howFar(outcome)} a normal motor (distance ${fixed(distance, 1)} ± ${fixed(expandedUncertainty, 1)}, at most ${fixed(upper, 1)}${closeWords(outcome)}).`,
      ...{ value: distance, unit: '1', expandedUncertainty, upper, outcome },
    }),
  ];
}
