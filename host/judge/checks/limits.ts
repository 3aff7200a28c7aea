// A drive with limit switches stops by itself at the end of its travel, while it is still thrown.

import { atStart } from '../../measure/index.js';
import { amount, fixed } from '../../tell/index.js';
import { numberCheck } from '../check.js';
import type { Check, CheckKind } from '../verdict.js';
import { type CheckContext, expectedLimits, seenOf, segmentOf, whyMissing } from './context.js';

const NEVER_STOPS: CheckKind = { id: 'limit-stop', of: 'unit', rank: 180 };
const LIMIT_STOP: CheckKind = { ...NEVER_STOPS, usual: 'time to the limit' };

export function limitChecks(context: CheckContext): Check[] {
  return context.expectation.throws.flatMap(({ of }): Check[] => {
    const limits = expectedLimits(context, 'stopsAfterS', of);
    if (!limits) return [];
    const quantity = context.supplyHolds ? seenOf(context, 'stopsAfterS', of) : undefined;
    const check = numberCheck(LIMIT_STOP, {
      throw: of,
      subject: `${atStart(of)}: reaches its limit and stops after`,
      named: `${atStart(of)}: time to its limit`,
      quantity,
      lower: Math.max(0, limits.lower),
      upper: limits.upper,
      origin: limits.origin,
      goodUnits: limits.goodUnits,
      missing: whyMissing(context, of),
    });
    const ran = seenOf(context, 'runningCurrentA', of);
    const segment = segmentOf(context, of);
    if (quantity || !context.supplyHolds || !ran || !segment || segment.brief || segment.lost.motorCurrentA)
      return [check];
    return [
      {
        ...check,
        kind: NEVER_STOPS,
        outcome: 'fail',
        sentence: `${atStart(of)}: the current never stops while thrown; a drive with limit switches must stop by itself (after ${fixed(limits.lower, 2)} to ${amount(limits.upper, 's', 2)}).`,
      },
    ];
  });
}
