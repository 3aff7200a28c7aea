// A drive with limit switches stops by itself at the end of its travel, while it is still thrown.

import type { Check } from '../verdict.js';
import { throwId, throwWords } from '../words.js';
import {
  type CheckContext,
  expectedLimits,
  modelOrigin,
  numberCheck,
  quantityIn,
  segmentOf,
  whyMissing,
} from './context.js';

export function limitChecks(context: CheckContext): Check[] {
  return context.expectation.throws.flatMap(({ name }) => {
    const feature = `${name}StopsAfterS`;
    const limits = expectedLimits(context, feature);
    if (!limits) return [];
    const words = throwWords(name);
    const quantity = context.supplyHolds ? quantityIn(context, feature) : undefined;
    const check = numberCheck({
      id: throwId('limit-stop', name),
      subject: `${words}: reaches its limit and stops after`,
      quantity,
      lower: Math.max(0, limits.lower),
      upper: limits.upper,
      origin: modelOrigin(context),
      missing: whyMissing(context, name),
    });
    const ran = quantityIn(context, `${name}RunningCurrentA`);
    const segment = segmentOf(context, name);
    if (quantity || !context.supplyHolds || !ran || !segment || segment.brief || segment.lost.motorCurrentA)
      return [check];
    return [
      {
        ...check,
        outcome: 'fail',
        sentence: `${words}: the current never stops while thrown; a drive with limit switches must stop by itself (after ${limits.lower.toFixed(2)} to ${limits.upper.toFixed(2)} s).`,
      },
    ];
  });
}
