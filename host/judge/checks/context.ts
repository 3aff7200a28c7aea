// What every check sees: the readings, what was expected, and how the run ended.

import type { MeasureResult, Quantity, Segment } from '../../measure/index.js';
import type { ResolvedUnit } from '../../profile/index.js';
import { outcomeOf } from '../decision.js';
import type { Expectation } from '../expectation.js';
import { type FeatureBand, limitsOf } from '../feature-band.js';
import type { Check } from '../verdict.js';
import { limitsText, reading } from '../words.js';

export interface CheckContext {
  unit: ResolvedUnit;
  expectation: Expectation;
  seen: MeasureResult;
  /** First stop reason of the rig; absent when the plan ran to its end. */
  stop: string | undefined;
  /** False when the supply itself was out of range: what depends on it proves nothing. */
  supplyHolds: boolean;
}

export const quantityIn = (context: CheckContext, name: string): Quantity | undefined =>
  context.seen.measured[name];

export const expectedOf = (context: CheckContext, name: string): FeatureBand | undefined =>
  context.expectation.features[name];

export const segmentOf = (context: CheckContext, name: string): Segment | undefined =>
  context.seen.segments.find((segment) => segment.name === name);

/** Limits of `name`, moved with the measured supply. */
export function expectedLimits(context: CheckContext, name: string): ReturnType<typeof limitsOf> | undefined {
  const expected = expectedOf(context, name);
  return expected && limitsOf(expected, context.seen.measured);
}

export interface NumberCheck {
  id: string;
  /** Start of the sentence: what was read. The reading and its limits follow. */
  subject: string;
  quantity: Quantity | undefined;
  lower?: number | undefined;
  upper?: number | undefined;
  required?: boolean;
  origin: Check['origin'];
  /** Why nothing was measured, when nothing was. */
  missing: string;
  /** Added to the sentence when the outcome is not a pass. */
  hint?: string | undefined;
}

/** A check of one number against its limits, by the decision rule. */
export function numberCheck(spec: NumberCheck): Check {
  const { id, subject, quantity, lower, upper, origin } = spec;
  const required = spec.required ?? true;
  if (!quantity)
    return { id, sentence: `${subject}: ${spec.missing}.`, outcome: 'not-tested', required, origin };
  const outcome = outcomeOf(quantity.value, quantity.expandedUncertainty, lower, upper);
  const told = `${subject} ${reading(quantity.value, quantity.expandedUncertainty, quantity.unit)}`;
  const limits = limitsText(lower, upper, quantity.expandedUncertainty, quantity.unit);
  const close = outcome.startsWith('conditional') ? ', too close to the limit to be sure' : '';
  const hint = spec.hint && outcome !== 'pass' && outcome !== 'conditional-pass' ? ` ${spec.hint}` : '';
  return {
    id,
    sentence: `${told}${limits ? ` (${limits}${close})` : ''}.${hint}`,
    value: quantity.value,
    unit: quantity.unit,
    expandedUncertainty: quantity.expandedUncertainty,
    ...(lower === undefined ? {} : { lower }),
    ...(upper === undefined ? {} : { upper }),
    outcome,
    required,
    origin,
  };
}

/** A limit that comes from the model is as good as the motor's numbers that it was made of: their origin is its own. */
export const modelOrigin = (context: CheckContext): Check['origin'] => context.unit.motor.origin;

/** Why a throw gave no number. */
export function whyMissing(context: CheckContext, name: string): string {
  const segment = segmentOf(context, name);
  if (!segment) return 'not tested, this throw was not made';
  if (!context.supplyHolds) return 'not tested, the supply did not hold';
  if (segment.brief) return 'not tested, the throw was cut short';
  if (Object.keys(segment.lost).length > 0) return 'not tested, samples were lost';
  return 'not measured';
}
