// Commutation ripple, one by one through a turn of the shaft, and the speed that it tells: a segment that does not carry,
// or one that strikes too deep, comes back with every turn. Asked where the motor's profile tells its segments.

import { RIPPLE_SWING, wrongRipples } from '../../diagnose/index.js';
import { atStart, type RunStretch } from '../../measure/index.js';
import { checkOf, numberCheck } from '../check.js';
import type { Check, CheckKind } from '../verdict.js';
import { type CheckContext, expectedLimits, seenOf, segmentOf, whyMissing } from './context.js';

const EVEN: CheckKind = { id: 'ripple', of: 'motor', rank: 180, isOfTurning: true };
const SPEED: CheckKind = {
  id: 'ripple-speed',
  of: 'motor',
  rank: 180,
  isOfTurning: true,
  usual: 'speed',
};

export function rippleChecks(context: CheckContext): Check[] {
  const { unit, motor } = context.unit;
  // A motor without a sheet has as many segments as somebody counted.
  const isCounted =
    motor.sheet === 'none' && Object.values(context.seen.measured).some(({ what }) => what === 'speedRpm');
  if (!(motor.ripple || isCounted) || unit.subject === 'harness') return [];
  return context.expectation.throws.flatMap(({ of }) => {
    // Ripple within the noise tells nothing, and nobody can ask it to: the verdict does not wait for it.
    if (!seenOf(context, 'speedRpm', of)) return [untold(context, of, 'commutation ripple')];
    const even = evenCheck(context, of) ?? untold(context, of, 'evenness of the ripples of a turn');
    return [even, ...speedCheck(context, of)];
  });
}

const untold = (context: CheckContext, of: RunStretch, what: string): Check =>
  checkOf(EVEN, {
    throw: of,
    required: false,
    outcome: 'not-tested',
    sentence: `${atStart(of)}: ${what} ${
      segmentOf(context, of) ? 'not tested, it does not stand clear of the noise' : whyMissing(context, of)
    }.`,
  });

function evenCheck(context: CheckContext, of: RunStretch): Check | undefined {
  const missing = seenOf(context, 'ripplesMissingPerTurn', of);
  const deep = seenOf(context, 'ripplesDeepPerTurn', of);
  const ripple = seenOf(context, 'rippleAmplitudeA', of);
  const swing = seenOf(context, 'shaftRateAmplitudeA', of);
  if (!missing || !deep || !ripple || !swing) return undefined;
  const words = atStart(of);
  const uneven = missing.value + deep.value;
  if (uneven === 0 && swing.value - swing.expandedUncertainty > RIPPLE_SWING * ripple.value) {
    return numberCheck(EVEN, {
      throw: of,
      origin: 'generic',
      subject: `${words}: once a turn the current swings by`,
      quantity: swing,
      upper: RIPPLE_SWING * ripple.value,
      missing: '',
      hint: 'A segment or coil of the armature carries less than the others.',
    });
  }
  return checkOf(EVEN, {
    throw: of,
    sentence:
      uneven === 0
        ? `${words}: all ripples of a turn are even.`
        : `${words}: of the ripples of a turn ${wrongRipples(missing.value, deep.value)}, at every turn: a segment or coil of the armature.`,
    value: uneven,
    unit: '1',
    expandedUncertainty: 0,
    upper: 0,
    outcome: uneven === 0 ? 'pass' : 'fail',
  });
}

function speedCheck(context: CheckContext, of: RunStretch): Check[] {
  const limits = expectedLimits(context, 'speedRpm', of);
  if (!limits) return [];
  return [
    numberCheck(SPEED, {
      throw: of,
      subject: `${atStart(of)}: by its ripple the motor runs at`,
      named: `${atStart(of)}: speed by the ripple`,
      quantity: context.supplyHolds ? seenOf(context, 'speedRpm', of) : undefined,
      lower: Math.max(0, limits.lower),
      upper: limits.upper,
      origin: limits.origin,
      goodUnits: limits.goodUnits,
      missing: 'not tested, the supply did not hold',
      hint: 'Too fast: weak magnets; too slow: load, or volts lost on the way.',
    }),
  ];
}
