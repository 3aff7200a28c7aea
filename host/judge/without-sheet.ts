// Of a motor without a sheet nothing passes by an absolute value: what only tells that a current is one of some known family's
// is left out, what fails on any motor stays, and what is left to say is a grade.

import type { Capture } from '../capture/index.js';
import { isOnMechanism } from '../circuit/index.js';
import { type MeasureResult, type MotorFit, QUANTITIES, type QuantityName } from '../measure/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { GRADE_WORDS, listed, quantitiesJson, reading } from '../tell/index.js';
import { checkOf } from './check.js';
import { withoutReversedStarts } from './checks/reversal.js';
import { gradeOf, type MotorGrade } from './grade.js';
import type { GradeReason } from './grade-readings.js';
import { fitOf } from './motor-spread.js';
import type { Check, CheckKind } from './verdict.js';

const SHEET: CheckKind = { id: 'motor-sheet', of: 'motor', rank: 190 };

/** Whether the unit's motor is graded in place of being held to numbers. */
export const isGraded = ({ motor, unit, load }: ResolvedUnit): boolean =>
  motor.sheet === 'none' && load === undefined && unit.subject !== 'harness' && unit.subject !== 'relay';

/** `checks` without any pass by an absolute value, and with what keeps the verdict from one. */
export const withoutSheet = (checks: readonly Check[]): Check[] => [
  ...checks.filter(
    ({ kind, origin, outcome }) =>
      kind.usual === undefined ||
      origin !== 'generic' ||
      outcome === 'fail' ||
      outcome === 'conditional-fail',
  ),
  checkOf(SHEET, {
    sentence: 'Nobody has numbers of this motor: it is graded, and a pass takes a sheet or a known good one.',
    outcome: 'not-tested',
  }),
];

/** Whether all that keeps the verdict from a pass is that nobody has numbers. */
export const isNothingButSheet = (checks: readonly Check[]): boolean =>
  checks.every(
    ({ kind, required, outcome }) =>
      !required || kind.id === SHEET.id || outcome === 'pass' || outcome === 'conditional-pass',
  );

/** What is told of a fitted motor, as far as its run tells it. */
const FITTED: readonly QuantityName[] = [
  'resistanceOhm',
  'backEmfVsPerRad',
  'coulombCurrentA',
  'frictionAtRunA',
  'mechanicalTimeConstantS',
];

/** Grade of the motor of a run whose checks are known. */
export function graded(
  unit: ResolvedUnit,
  seen: MeasureResult,
  capture: Capture,
): (checks: readonly Check[]) => MotorGrade {
  let fit: MotorFit | undefined;
  return (checks) => {
    fit ??= fitOf(unit, capture);
    const describes = fit.describes === 'yes';
    const resistanceOhm = describes ? fit.model.resistanceOhm?.value : undefined;
    const told = gradeOf(
      {
        measured: withoutReversedStarts({ seen }),
        motor: unit.motor,
        isOnMechanism: isOnMechanism(unit),
        otherThanUsual: checks.some(({ otherThanUsual }) => otherThanUsual),
        ...(resistanceOhm === undefined ? {} : { resistanceOhm }),
      },
      checks,
    );
    const motor = describes ? quantitiesJson(fit.model) : {};
    return { ...told, reasons: [...told.reasons, fitted(fit)], motor };
  };
}

function fitted({ describes, model, notes }: MotorFit): GradeReason {
  const about = 'motor';
  if (describes !== 'yes') {
    const sentence =
      describes === 'no'
        ? 'No plain motor describes the run: something in it is not as in a healthy one, or its load moves.'
        : `The motor could not be fitted${notes[0] === undefined ? '.' : `: ${notes[0]}`}`;
    return { about, grade: 'not-told', sentence };
  }
  const numbers = FITTED.flatMap((name) => {
    const found = model[name];
    return found === undefined
      ? []
      : [`${QUANTITIES[name].words} ${reading(found.value, found.expandedUncertainty, found.unit)}`];
  });
  const speed = model.backEmfVsPerRad
    ? ''
    : ' Speed and back-EMF constant take the segments of the commutator.';
  return { about, grade: 'good', sentence: `Fitted to the run: ${listed(numbers)}.${speed}` };
}

const MOST_LIKE = 2;

/** In front of the verdict: the grade, what keeps it from a better one, and what the motor is like. */
export function gradeWords({ grade, reasons, resembles }: MotorGrade): string {
  const told = reasons.filter((reason) => reason.about !== 'fault' && reason.grade === grade);
  const because = grade === 'good' ? '' : (told[0]?.sentence ?? '');
  const like =
    resembles.length === 0 ? '' : ` It is like a ${listed(resembles.slice(0, MOST_LIKE), 'or')} motor.`;
  return `Grade ${GRADE_WORDS[grade]}.${because === '' ? '' : ` ${because}`}${like}`;
}
