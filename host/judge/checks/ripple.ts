// Commutation ripple, one by one through a turn of the shaft, and the speed that it tells: a segment that does not carry,
// or one that strikes too deep, comes back with every turn. Asked where the motor's profile tells its segments.

import { RIPPLE_SWING, wrongRipples } from '../../diagnose/index.js';
import type { Check } from '../verdict.js';
import { throwId, throwWords } from '../words.js';
import { type CheckContext, expectedLimits, modelOrigin, numberCheck, quantityIn } from './context.js';

export function rippleChecks(context: CheckContext): Check[] {
  const { unit, motor } = context.unit;
  if (!motor.ripple || unit.subject === 'harness') return [];
  return context.expectation.throws.flatMap(({ name }) => {
    const speed = quantityIn(context, `${name}SpeedRpm`);
    // Ripple within the noise tells nothing, and nobody can ask it to: the verdict does not wait for it.
    if (!speed) return [untold(name, 'commutation ripple')];
    const even = evenCheck(context, name);
    return [
      ...(even ? [even] : [untold(name, 'evenness of the ripples of a turn')]),
      ...speedCheck(context, name),
    ];
  });
}

const untold = (name: string, what: string): Check => ({
  id: throwId('ripple', name),
  required: false,
  origin: 'generic',
  outcome: 'not-tested',
  sentence: `${throwWords(name)}: ${what} not tested, it does not stand clear of the noise.`,
});

function evenCheck(context: CheckContext, name: string): Check | undefined {
  const missing = quantityIn(context, `${name}RipplesMissingPerTurn`);
  const deep = quantityIn(context, `${name}RipplesDeepPerTurn`);
  const ripple = quantityIn(context, `${name}RippleAmplitudeA`);
  const swing = quantityIn(context, `${name}ShaftRateAmplitudeA`);
  if (!missing || !deep || !ripple || !swing) return undefined;
  const words = throwWords(name);
  const base = { id: throwId('ripple', name), origin: 'generic' as const, required: true };
  const uneven = missing.value + deep.value;
  const swings = swing.value - swing.expandedUncertainty > RIPPLE_SWING * ripple.value;
  if (uneven === 0 && swings) {
    return numberCheck({
      ...base,
      subject: `${words}: once a turn the current swings by`,
      quantity: swing,
      upper: RIPPLE_SWING * ripple.value,
      missing: '',
      hint: 'A segment or coil of the armature carries less than the others.',
    });
  }
  return {
    ...base,
    sentence:
      uneven === 0
        ? `${words}: all ripples of a turn are even.`
        : `${words}: of the ripples of a turn ${wrongRipples(missing.value, deep.value)}, at every turn: a segment or coil of the armature.`,
    value: uneven,
    unit: '1',
    expandedUncertainty: 0,
    upper: 0,
    outcome: uneven === 0 ? 'pass' : 'fail',
  };
}

function speedCheck(context: CheckContext, name: string): Check[] {
  const limits = expectedLimits(context, `${name}SpeedRpm`);
  if (!limits) return [];
  return [
    numberCheck({
      id: throwId('ripple-speed', name),
      subject: `${throwWords(name)}: by its ripple the motor runs at`,
      quantity: context.supplyHolds ? quantityIn(context, `${name}SpeedRpm`) : undefined,
      lower: Math.max(0, limits.lower),
      upper: limits.upper,
      origin: modelOrigin(context),
      missing: 'not tested, the supply did not hold',
      hint: 'Too fast: weak magnets; too slow: load, or volts lost on the way.',
    }),
  ];
}
