// After each throw: the motor coasts or brakes, and to which rail, as its style says.

import type { ReleaseClass } from '../../measure/index.js';
import type { Check } from '../verdict.js';
import { reading, throwId, throwWords } from '../words.js';
import { type CheckContext, quantityIn, segmentOf, whyMissing } from './context.js';

const TOLD: Record<ReleaseClass, string> = {
  coast: 'coasts, both leads open',
  'brake-ground': 'brakes to ground',
  'brake-high': 'brakes to the feed',
  still: 'stops dead, without back-EMF or brake current',
  driven: 'goes on being driven',
};
const SHOULD: Record<ReleaseClass, string> = {
  coast: 'should coast',
  'brake-ground': 'should brake to ground',
  'brake-high': 'should brake to the feed',
  still: 'should stop dead',
  driven: 'should go on running',
};

export function releaseChecks(context: CheckContext): Check[] {
  return context.expectation.throws.flatMap(({ name, release: expected }) => {
    if (!expected) return [];
    const id = throwId('release', name);
    const words = throwWords(name);
    const release = segmentOf(context, name)?.release;
    const base = { id, required: true, origin: 'model' as const };
    if (!release) {
      return {
        ...base,
        outcome: 'not-tested' as const,
        sentence: `${words}: release ${whyMissing(context, name)}.`,
      };
    }
    const proof = quantityIn(context, `${name}ReleaseBackEmfV`) ?? quantityIn(context, `${name}BrakePeakA`);
    const shown = proof
      ? ` with ${proof.unit === 'V' ? 'a back-EMF of' : 'a brake current of'} ${reading(proof.value, proof.expandedUncertainty, proof.unit)}`
      : '';
    const right = release === expected;
    return {
      ...base,
      sentence: `${words}: released, the motor ${TOLD[release]}${shown}${right ? '' : `; it ${SHOULD[expected]}`}.`,
      ...(proof
        ? { value: proof.value, unit: proof.unit, expandedUncertainty: proof.expandedUncertainty }
        : {}),
      outcome: right ? ('pass' as const) : ('fail' as const),
    };
  });
}
