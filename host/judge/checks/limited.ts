// Before the full feed: whether a reading with the limited feed shows a short. The bench asks the same question of the
// same readings while it runs, and keeps the full feed away from a short.

import { feedPathOf, type LimitedReading, limitedReadings } from '../../measure/index.js';
import { outcomeOf } from '../decision.js';
import type { Check } from '../verdict.js';
import { limit, reading, throwWords } from '../words.js';
import type { CheckContext } from './context.js';

/** One check, of the stretch that leaves least; none for a capture that has nothing with the limited feed. */
export function limitedChecks(context: CheckContext): Check[] {
  const readings = limitedReadings(context.seen, feedPathOf(context.unit));
  if (readings.length === 0) return [];
  const base = { id: 'limited-feed-short', required: true, origin: 'generic' as const };
  const worst = readings.reduce((a, b) => (marginOf(b) < marginOf(a) ? b : a));
  const { leftOhm, leastOhm, feedCurrentA } = worst;
  if (!leftOhm) {
    if (!feedCurrentA)
      return [
        {
          ...base,
          required: false,
          outcome: 'not-tested',
          sentence: 'Short with the limited feed: not tested, feed current or leads were not read.',
        },
      ];
    return [{ ...base, outcome: 'pass', sentence: 'With the limited feed nothing is shorted.' }];
  }
  const u = leftOhm.expandedUncertainty;
  const told = `${reading(leftOhm.value, u, 'Ohm')} left in the circuit (at least ${limit(leastOhm, u, 'Ohm')})`;
  const words = wordsOf(worst);
  const fullFeed = context.seen.segments.some((segment) => !segment.limited);
  return [
    {
      ...base,
      sentence: worst.isShort
        ? `Short found with the limited feed, ${words}: ${told}${fullFeed ? '' : '; full feed was never applied'}.`
        : `With the limited feed nothing is shorted; least ${words}: ${told}.`,
      value: leftOhm.value,
      unit: 'Ohm',
      expandedUncertainty: u,
      lower: leastOhm,
      outcome: worst.isShort
        ? 'fail'
        : outcomeOf(leftOhm.value, u, leastOhm, undefined) === 'pass'
          ? 'pass'
          : 'conditional-pass',
    },
  ];
}

/** Of a run that a short kept from the full feed: without the thirty checks that could not be made for that reason. */
export function withoutUntried(checks: readonly Check[]): Check[] {
  const isShort = checks.some(({ id, outcome }) => id === 'limited-feed-short' && outcome === 'fail');
  return isShort
    ? checks.filter(({ id, outcome }) => outcome !== 'not-tested' || id === 'plan-complete')
    : [...checks];
}

const marginOf = ({ leftOhm, leastOhm }: LimitedReading): number =>
  leftOhm ? leftOhm.value - leastOhm : Number.POSITIVE_INFINITY;

/** `limitedForward2` -> `forward, throw 2`; `limitedRest` -> `at rest`. */
function wordsOf({ name }: LimitedReading): string {
  const plain = name.replace(/^limited/, '').toLowerCase();
  return plain.startsWith('rest') ? 'at rest' : throwWords(plain).toLowerCase();
}
