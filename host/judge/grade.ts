// A motor that nobody has numbers of is graded by what can be told without them: against itself, way against way and start
// against start. Good asks for all that every healthy motor does; never is it a pass.

import { amount, fixed, type QuantityNumbers } from '../tell/index.js';
import { isFailed } from './check.js';
import {
  type Grade,
  type GradeReason,
  type GradeSource,
  meanOf,
  part,
  spreadOf,
  valuesOf,
} from './grade-readings.js';
import { resembled } from './resembling.js';
import type { Check } from './verdict.js';

/** Starts of a healthy motor repeat within a tenth over the angles that it starts from (common practice). */
const START_SPREAD = [0.1, 0.25] as const;
/** Brush timing makes good motors differ by a tenth between directions, what they move by more (common practice). */
const WAYS_DIFFER = [0.1, 0.25] as const;
/** A published lift takes 3.5 A down and 8 A up. On what it moves only the start tells. */
const LOADED_WAYS_DIFFER = [0.6, 0.8] as const;
/** Commutation swings the current by a few per cent to a fifth (common practice). */
const RIPPLE_PART = [0.2, 0.4] as const;

export interface MotorGrade {
  grade: Grade;
  reasons: GradeReason[];
  /** Titles of known families that its currents fit, the nearest first. */
  resembles: string[];
  /** The motor as it was fitted to the run; empty where no fit describes it. */
  motor?: Record<string, QuantityNumbers>;
}

/** Grade of the run's motor with its reasons; `checks` as they were judged. */
export function gradeOf(source: GradeSource, checks: readonly Check[]): MotorGrade {
  const reasons = [
    ...failed(checks),
    starts(source),
    ways(source),
    brushes(checks),
    ripple(source, checks),
    ...kinds(checks),
    own(source),
  ];
  const has = (grade: Grade): boolean => reasons.some((reason) => reason.grade === grade);
  // What every healthy motor shows must have been seen; the ripple may drown in the noise of any.
  const isTold = reasons.every(({ grade, about }) => grade !== 'not-told' || !NEEDED.includes(about));
  const grade = has('poor') ? 'poor' : !isTold ? 'not-told' : has('fair') ? 'fair' : 'good';
  return { grade, reasons, resembles: resembled(source) };
}

const NEEDED: readonly GradeReason['about'][] = ['starts', 'directions', 'brushes', 'release', 'leakage'];

/** Of a spread: at most the first is good, at most the second fair. */
const byParts = (value: number, [good, fair]: readonly [number, number]): Grade =>
  value <= good ? 'good' : value <= fair ? 'fair' : 'poor';

/** What fails on any motor. */
const failed = (checks: readonly Check[]): GradeReason[] =>
  checks.filter(isFailed).map(({ sentence }) => ({ about: 'fault', grade: 'poor', sentence }));

function starts(source: GradeSource): GradeReason {
  const about = 'starts';
  const repeated = (['forward', 'reverse'] as const).flatMap((way) => {
    const values = valuesOf(source, 'inrushPeakA', way);
    const spread = spreadOf(values);
    return spread === undefined ? [] : [{ way, spread, count: values.length }];
  });
  const [first] = repeated;
  if (first === undefined)
    return { about, grade: 'not-told', sentence: 'Starts were not repeated: three each way would tell.' };
  const worst = Math.max(...repeated.map(({ spread }) => spread));
  const least = Math.min(...repeated.map(({ count }) => count));
  const which = repeated.length === 2 ? 'each way' : first.way === 'forward' ? 'forward' : 'in reverse';
  return {
    about,
    grade: byParts(worst, START_SPREAD),
    sentence: `${least} starts ${which} repeat within ${amount(100 * worst, '%', 0)} (a healthy motor 10 %).`,
  };
}

function ways(source: GradeSource): GradeReason {
  const about = 'directions';
  const differ = (what: 'runningCurrentA' | 'inrushPeakA'): number | undefined =>
    part(meanOf(valuesOf(source, what, 'forward')), meanOf(valuesOf(source, what, 'reverse')));
  const [runs, begins] = [differ('runningCurrentA'), differ('inrushPeakA')];
  if (runs === undefined || begins === undefined)
    return { about, grade: 'not-told', sentence: 'Both directions must run to be compared.' };
  const [first, second] = [
    byParts(runs, source.isOnMechanism ? LOADED_WAYS_DIFFER : WAYS_DIFFER),
    byParts(begins, WAYS_DIFFER),
  ];
  const grade = [first, second].includes('poor')
    ? 'poor'
    : [first, second].includes('fair')
      ? 'fair'
      : 'good';
  return {
    about,
    grade,
    sentence: `Forward and reverse differ by ${amount(100 * runs, '%', 0)} running and ${amount(100 * begins, '%', 0)} starting.`,
  };
}

function brushes(checks: readonly Check[]): GradeReason {
  const about = 'brushes';
  const asked = checks.filter(({ kind, outcome }) => kind.id === 'dropouts' && outcome !== 'not-tested');
  if (asked.length === 0) return { about, grade: 'not-told', sentence: 'Brush contact could not be seen.' };
  const losses = asked.reduce((sum, { value = 0 }) => sum + value, 0);
  return {
    about,
    grade: losses === 0 ? 'good' : 'poor',
    sentence:
      losses === 0 ? 'The brushes never lose contact.' : `The current drops out ${fixed(losses, 0)} times.`,
  };
}

function ripple(source: GradeSource, checks: readonly Check[]): GradeReason {
  const about = 'ripple';
  const even = checks.filter(({ kind, outcome }) => kind.id === 'ripple' && outcome !== 'not-tested');
  if (even.length > 0) {
    const isEven = even.every(({ outcome }) => outcome === 'pass');
    const sentence = isEven ? 'All ripples of a turn are even.' : 'The ripples of a turn are uneven.';
    return { about, grade: isEven ? 'good' : 'poor', sentence };
  }
  const swing = meanOf(valuesOf(source, 'rippleAmplitudeA'));
  const running = meanOf(valuesOf(source, 'runningCurrentA'));
  if (swing === undefined || running === undefined || running === 0)
    return { about, grade: 'not-told', sentence: 'Commutation ripple does not stand clear of the noise.' };
  const share = swing / running;
  return {
    about,
    grade: byParts(share, RIPPLE_PART),
    sentence: `Commutation ripple is ${amount(100 * share, '%', 1)} of the running current; the segments of the commutator tell whether each is even.`,
  };
}

/** Release and leakage: as their own checks found them. */
const kinds = (checks: readonly Check[]): GradeReason[] =>
  (['release', 'leakage'] as const).map((about) => {
    const asked = checks.filter(({ kind, outcome }) => kind.id === about && outcome !== 'not-tested');
    const [worst] = [...asked].sort((a, b) => RANK.indexOf(a.outcome) - RANK.indexOf(b.outcome));
    if (worst === undefined) return { about, grade: 'not-told', sentence: NOT_SEEN[about] };
    const grade = worst.outcome === 'fail' ? 'poor' : worst.outcome === 'conditional-fail' ? 'fair' : 'good';
    return { about, grade, sentence: worst.sentence };
  });
const RANK: readonly Check['outcome'][] = [
  'fail',
  'conditional-fail',
  'conditional-pass',
  'pass',
  'not-tested',
];
const NOT_SEEN = { release: 'The release was not seen.', leakage: 'Leakage was not measured.' };

/** Outside every family that is known, whichever it is. */
function own({ otherThanUsual }: GradeSource): GradeReason {
  return otherThanUsual
    ? { about: 'usual', grade: 'fair', sentence: 'Its currents are those of no family known here.' }
    : { about: 'usual', grade: 'good', sentence: 'Its currents are those of a known family.' };
}
