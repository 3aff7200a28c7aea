// How checks are made: of one number against its limits, or told in words. Their ids are made here and nowhere else.

import type { Quantity, RunStretch } from '../measure/index.js';
import { briefUnit, limitsText, type NumberOptions, reading, significant } from '../tell/index.js';
import { outcomeOf } from './decision.js';
import type { Check, CheckKind } from './verdict.js';

/** `inrush-forward`, `inrush-reverse-2`. */
function idOf({ id }: CheckKind, of: RunStretch | undefined): string {
  if (of === undefined) return id;
  return of.nth === 1 ? `${id}-${of.position}` : `${id}-${of.position}-${of.nth}`;
}

type Optional = 'id' | 'of' | 'kind' | 'throw' | 'required' | 'origin';
export type Told = Omit<Check, Optional> &
  Partial<Pick<Check, 'of' | 'required' | 'origin'>> & { throw?: RunStretch | undefined };

/** A check in words; of its kind's own subject, required and generic unless told otherwise. */
export function checkOf(kind: CheckKind, { throw: thrown, ...told }: Told): Check {
  return {
    id: idOf(kind, thrown),
    kind,
    of: kind.of,
    required: true,
    origin: 'generic',
    ...told,
    ...(thrown === undefined ? {} : { throw: thrown }),
  };
}

export interface NumberCheck extends NumberOptions {
  throw?: RunStretch;
  /** Start of the sentence: what was read. The reading and its limits follow. */
  subject: string;
  quantity: Quantity | undefined;
  lower?: number | undefined;
  upper?: number | undefined;
  required?: boolean;
  origin: Check['origin'];
  /** So many good units taught the limits. */
  goodUnits?: number | undefined;
  /** What was to be read, as a thing: `Forward: inrush peak`. Told with `missing`; the subject and a colon where it is absent. */
  named?: string;
  /** Why nothing was measured, when nothing was. */
  missing: string;
  /** Added to the sentence when the outcome is not a pass. */
  hint?: string | undefined;
}

/** A check of one number against its limits, by the decision rule. */
export function numberCheck(kind: CheckKind, spec: NumberCheck): Check {
  const { subject, quantity, lower, upper, origin, required = true, throw: thrown } = spec;
  if (!quantity)
    return checkOf(kind, {
      ...{
        throw: thrown,
        required,
        origin,
        outcome: 'not-tested',
        sentence: `${spec.named ?? `${subject.replace(/,$/, '')}:`} ${spec.missing}.`,
      },
    });
  const { value, unit, expandedUncertainty } = quantity;
  const held = outcomeOf(value, expandedUncertainty, lower, upper);
  // What is at least so much may be any more: it fails above a limit, and passes only where there is none.
  const outcome = quantity.isAtEnd && upper !== undefined && held !== 'fail' ? 'not-tested' : held;
  const told = `${subject} ${quantity.isAtEnd ? `at least ${significant(value, 2, briefUnit(unit))}` : reading(value, expandedUncertainty, unit, spec)}`;
  const limits = limitsText({ lower, upper }, expandedUncertainty, unit, spec);
  const by = spec.goodUnits === undefined ? '' : `, of ${spec.goodUnits} good units`;
  const hint = spec.hint && outcome !== 'pass' && outcome !== 'conditional-pass' ? ` ${spec.hint}` : '';
  return checkOf(kind, {
    throw: thrown,
    sentence: `${told}${limits ? ` (${limits}${by}${closeWords(outcome)})` : ''}.${hint}`,
    value,
    unit,
    expandedUncertainty,
    ...(lower === undefined ? {} : { lower }),
    ...(upper === undefined ? {} : { upper }),
    outcome,
    required,
    origin,
  });
}

/** Behind a limit that a reading is too close to. */
export const closeWords = (outcome: Check['outcome']): string =>
  outcome === 'conditional-pass' || outcome === 'conditional-fail'
    ? ', too close to the limit to be sure'
    : '';

/** Fails the unit: a check that nobody requires does not. */
export const isFailed = ({ required, outcome }: Pick<Check, 'required' | 'outcome'>): boolean =>
  required && outcome === 'fail';

/** `check` as one that was not tested, for a reason that stands in `sentence`. */
export const untested = (check: Check, sentence = check.sentence): Check => ({
  ...check,
  outcome: 'not-tested',
  sentence,
});
