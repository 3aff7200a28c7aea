// A drive with limit switches stops by itself at the end of its travel, while it is still thrown. Where it stood before the
// run is nobody's fault, and how far it goes only its own profile can tell.

import { atStart, type RunStretch } from '../../measure/index.js';
import { amount, fixed } from '../../tell/index.js';
import { checkOf, numberCheck, untested } from '../check.js';
import { isTravelTold } from '../travel.js';
import type { Check, CheckKind } from '../verdict.js';
import {
  type CheckContext,
  expectedLimits,
  type OwnedLimits,
  seenOf,
  segmentOf,
  whyMissing,
} from './context.js';

const NEVER_STOPS: CheckKind = { id: 'limit-stop', of: 'unit', rank: 180 };
const LIMIT_STOP: CheckKind = { ...NEVER_STOPS, usual: 'time to the limit' };
const STOOD: CheckKind = { id: 'stood-at-limit', of: 'unit', rank: 180 };

export function limitChecks(context: CheckContext): Check[] {
  return [
    ...stood(context),
    ...context.expectation.throws.flatMap(({ of }): Check[] => {
      const limits = expectedLimits(context, 'stopsAfterS', of);
      return limits ? [stops(context, of, limits)] : [];
    }),
  ];
}

/** It met its limit at once: what that throw would show, the one back from the other end has to. */
function stood({ stood: place }: CheckContext): Check[] {
  if (place?.atLimit === undefined) return [];
  const { atLimit, isThrownAgain } = place;
  const told = `${atStart(atLimit)}: the drive stood at that limit already, or just before it`;
  return [
    isThrownAgain
      ? checkOf(STOOD, {
          ...{ throw: atLimit, outcome: 'pass', required: false },
          sentence: `${told}; it is judged by the throw back from the other end.`,
        })
      : checkOf(STOOD, {
          ...{ throw: atLimit, outcome: 'not-tested' },
          sentence: `${told}, or its limit switch is open. Run it off the other way, and throw it ${atLimit.position} again.`,
        }),
  ];
}

function stops(context: CheckContext, of: RunStretch, limits: OwnedLimits): Check {
  const quantity = context.supplyHolds ? seenOf(context, 'stopsAfterS', of) : undefined;
  const segment = segmentOf(context, of);
  const isAnywhere = segment?.startsAnywhere === true;
  const check = numberCheck(LIMIT_STOP, {
    throw: of,
    subject: `${atStart(of)}: reaches its limit and stops after`,
    named: `${atStart(of)}: time to its limit`,
    quantity,
    // From a place that nobody knows it may be anything up to the whole way.
    ...(isAnywhere ? {} : { lower: Math.max(0, limits.lower - byWatchS(context, limits.lower)) }),
    upper: isAnywhere ? wholeWayS(context, of, limits) : limits.upper + byWatchS(context, limits.upper),
    origin: limits.origin,
    goodUnits: limits.goodUnits,
    missing: whyMissing(context, of),
  });
  const isUntold = !isTravelTold(context.unit);
  if (quantity)
    return isUntold && !isPass(check)
      ? untested(
          check,
          `${atStart(of)}: reaches its limit and stops after ${amount(quantity.value, 's', 2)}. ${UNTOLD}`,
        )
      : check;
  const ran = seenOf(context, 'runningCurrentA', of);
  if (!context.supplyHolds || !ran || !segment || segment.brief || segment.lost.motorCurrentA) return check;
  if (isUntold) return untested(check, `${atStart(of)}: its limit was not reached. ${UNTOLD}`);
  const upperS = check.upper ?? limits.upper;
  const heldS = segment.toS - (segment.contactS ?? segment.fromS);
  if (heldS <= upperS)
    return untested(
      check,
      `${atStart(of)}: let go after ${amount(heldS, 's', 2)}, or stopped there; a good one may take up to ${amount(upperS, 's', 2)} to its limit.`,
    );
  return {
    ...check,
    kind: NEVER_STOPS,
    outcome: 'fail',
    sentence: `${atStart(of)}: the current never stops while thrown; a drive with limit switches must stop by itself (after ${fixed(limits.lower, 2)} to ${amount(limits.upper, 's', 2)}).`,
  };
}

const UNTOLD =
  'How long its travel takes is not told: time it from end to end, and write travelS into its profile.';

const isPass = ({ outcome }: Check): boolean => outcome === 'pass' || outcome === 'conditional-pass';

/** A travel that a hand has timed: reaction at both ends, and the supply that it was timed on. Common practice, no source. */
const BY_WATCH = { atLeastS: 0.3, part: 0.08 };
const byWatchS = ({ unit }: CheckContext, timeS: number): number =>
  isTravelTold(unit) ? BY_WATCH.atLeastS + BY_WATCH.part * timeS : 0;

/** The longest that any throw that way may take; half as long again where each began in the middle. */
function wholeWayS(context: CheckContext, of: RunStretch, { upper }: OwnedLimits): number {
  const same = context.expectation.throws.filter((one) => one.of.position === of.position);
  const others = same.flatMap((one) => expectedLimits(context, 'stopsAfterS', one.of)?.upper ?? []);
  const wholeS = others.length > 1 ? Math.max(...others) : FROM_MIDDLE * upper;
  return wholeS + byWatchS(context, wholeS);
}

/** Choice of this program, no source. */
const FROM_MIDDLE = 1.5;
