// Commutation ripple, one by one through a turn of the shaft: a segment that does not carry, or one that strikes too
// deep, comes back with every turn. Asked where the motor's profile tells its segments.

import type { Check } from '../verdict.js';
import { throwId, throwWords } from '../words.js';
import { type CheckContext, quantityIn } from './context.js';

export function rippleChecks(context: CheckContext): Check[] {
  const { ripple } = context.unit.motor;
  if (!ripple || context.unit.unit.subject === 'harness') return [];
  return context.expectation.throws.map(({ name }): Check => {
    const words = throwWords(name);
    const base = { id: throwId('ripple', name), origin: 'generic' as const };
    const missing = quantityIn(context, `${name}RipplesMissingPerTurn`);
    const deep = quantityIn(context, `${name}RipplesDeepPerTurn`);
    if (!missing || !deep) {
      // Ripple within the noise tells nothing, and nobody can ask it to: the verdict does not wait for it.
      return {
        ...base,
        required: false,
        outcome: 'not-tested',
        sentence: `${words}: commutation ripple not tested, it does not stand clear of the noise.`,
      };
    }
    const uneven = missing.value + deep.value;
    const told = [
      ...(missing.value > 0 ? [`${missing.value} missing`] : []),
      ...(deep.value > 0 ? [`${deep.value} too deep`] : []),
    ].join(', ');
    return {
      ...base,
      required: true,
      sentence:
        uneven === 0
          ? `${words}: all ripples of a turn are even.`
          : `${words}: of the ripples of a turn ${told}, at every turn: a segment or coil of the armature.`,
      value: uneven,
      unit: '1',
      expandedUncertainty: 0,
      upper: 0,
      outcome: uneven === 0 ? 'pass' : 'fail',
    };
  });
}
