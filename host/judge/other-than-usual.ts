// Generic numbers are common practice, not a specification: a motor outside them is another one than usual, and no fault
// by that alone. Whatever a motor of any kind must not do fails as ever.

import type { MotorMoves } from '../circuit/index.js';
import { listed } from '../tell/index.js';
import type { Check } from './verdict.js';

const WHAT_IT_TAKES =
  "Other than the usual motor, which is no fault by itself: a known good one or its maker's figures would tell.";

const isUsual = ({ kind, origin }: Check): boolean => kind.usual !== undefined && origin === 'generic';

/** Fewer readings within learned limits do not make a motor one of the good ones. Choice of this program, no source. */
const LEAST_ALIKE = 4;

/** Whether known good units of this very motor speak for it: then the usual one of its family need not. */
function isLikeGoodUnits(checks: readonly Check[]): boolean {
  const taught = checks.filter(
    ({ origin, kind, outcome }) => origin === 'learned' && kind.of === 'motor' && outcome !== 'not-tested',
  );
  const holds = ({ outcome }: Check): boolean => outcome === 'pass' || outcome === 'conditional-pass';
  // Each alone within its limits, and yet together as in no good unit: no good one speaks for it.
  const together = checks.filter(({ kind }) => kind.isOfAllReadings);
  return taught.length >= LEAST_ALIKE && [...taught, ...together].every(holds);
}

const LIKE_GOOD_UNITS = 'Other than the usual motor, and like the known good units: it counts for nothing.';

/**
 * `checks` without a failure that only generic limits give, of throws that drive the motor as they should.
 * @param isTaught known good units of this very motor have limits in `checks`
 */
export function asUsual(checks: readonly Check[], isTaught = false): Check[] {
  const isAlike = isTaught && isLikeGoodUnits(checks);
  const undriven = new Set(
    checks
      .filter(({ kind, outcome }) => kind.isOfDrive && outcome === 'fail')
      .map((check) => check.throw?.id),
  );
  const isDriven = (check: Check): boolean =>
    check.throw === undefined ? undriven.size === 0 : !undriven.has(check.throw.id);
  const isOther = (check: Check): boolean =>
    isUsual(check) && isDriven(check) && !(check.kind.isDeadAtZero && isNothing(check));
  return checks.map((check) =>
    isOther(check) && (check.outcome === 'fail' || check.outcome === 'conditional-fail')
      ? {
          ...check,
          outcome: 'conditional-fail',
          otherThanUsual: true,
          ...(isAlike ? { required: false } : {}),
          sentence: `${check.sentence} ${isAlike ? LIKE_GOOD_UNITS : WHAT_IT_TAKES}`,
        }
      : check,
  );
}

/** A current that cannot be told from none is no other motor's. */
const isNothing = ({ value = Number.POSITIVE_INFINITY, expandedUncertainty = 0 }: Check): boolean =>
  value <= 2 * expandedUncertainty;

/** Behind a verdict: what it held to generic limits. Empty where it did so with nothing. */
export function usualWords(checks: readonly Check[]): string {
  const asked = checks.filter((check) => isUsual(check) && check.required && check.outcome !== 'not-tested');
  const words = [...new Set(asked.map(({ kind }) => kind.usual ?? ''))];
  return words.length > 0 ? ` Generic limits, unproven: ${listed(words)}.` : '';
}

/** Which way the motor's own numbers lie outside the usual ones, by the checks that say so. */
export const beyondUsual = (checks: readonly Check[]): MotorMoves =>
  Object.assign(
    {},
    ...checks.map(({ kind, otherThanUsual, value, lower, upper }): MotorMoves | undefined => {
      if (!otherThanUsual) return undefined;
      if (kind.shows) return kind.shows;
      if (value === undefined) return undefined;
      if (upper !== undefined && value > upper) return kind.above;
      return lower !== undefined && value < lower ? kind.below : undefined;
    }),
  );
