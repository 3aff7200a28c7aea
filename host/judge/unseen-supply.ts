// A supply that nobody sampled may have moved between or in the throws: what goes with it in doubt fails nobody.

import { type CheckContext, isUnseenSupply } from './checks/context.js';
import type { Check } from './verdict.js';

const MAY_HAVE_MOVED = 'The supply was not sampled and may have moved meanwhile: sample it too, and repeat.';

/**
 * More than any supply makes of a current, %: from 14 V down to 9 V a motor on its mechanism draws about a third less (worked
 * out: friction holds its current up, and grows with its speed).
 */
const MOST_PERCENT = 50;

/** `checks` with a doubt in place of a failure that a moved supply would make. */
export function forUnseenSupply(context: CheckContext, checks: readonly Check[]): Check[] {
  if (!isUnseenSupply(context)) return [...checks];
  return checks.map((check) =>
    check.outcome === 'fail' && check.kind.goesWithSupply && !isBeyond(check)
      ? { ...check, outcome: 'conditional-fail', sentence: `${check.sentence} ${MAY_HAVE_MOVED}` }
      : check,
  );
}

const isBeyond = ({ unit, value = 0 }: Check): boolean => unit === '%' && Math.abs(value) > MOST_PERCENT;
