// One run judged: measured, checked against the expectation, told as a verdict, and diagnosed when it did not pass.
// Works from the capture alone; a stored capture gives the verdict that the live one gave.

import { type Capture, sampledChannels, withoutChannels } from '../capture/index.js';
import { type Band, familyOf, motorOf } from '../circuit/index.js';
import { type DiagnosisLibrary, diagnose, diagnosisLibrary } from '../diagnose/index.js';
import { silentBecause } from '../learn/index.js';
import {
  blinds,
  largestOf,
  type Measured,
  type MeasureOptions,
  type MeasureResult,
  measure,
} from '../measure/index.js';
import { hasLimits, notOnBench, type ResolvedUnit, ripplesOf } from '../profile/index.js';
import { findingsForHand, forHand } from './by-hand.js';
import { isFailed } from './check.js';
import type { CheckContext } from './checks/context.js';
import { gatherChecks } from './checks/index.js';
import { learnedIsSilent } from './checks/learned.js';
import { withoutUntried } from './checks/limited.js';
import { isMotorParameters, motorParameterCheck } from './checks/motor-parameters.js';
import { NOTHING_THROWN, supplyHolds } from './checks/run.js';
import { isUnsettled, OF_A_LEVEL } from './checks/settled.js';
import { SWITCH_NOT_TESTED } from './checks/stand-in.js';
import { isTurns, standingIn } from './checks/turns.js';
import { coilStageCase, isCoilStage } from './coil-stage.js';
import type { Expectation, UnitExpectation } from './expectation.js';
import type { MotorGrade } from './grade.js';
import { headlineOf, saysOf } from './headline.js';
import { withinPlan } from './held-throws.js';
import { captureDoubts, type Doubt, forDoubt, rigDoubts, zeroDoubts } from './in-doubt.js';
import { levelDoubts } from './levels-far.js';
import { askingForMore, markNotMade } from './not-made.js';
import { asUsual, beyondUsual, usualWords } from './other-than-usual.js';
import { ownMotor } from './own-motor.js';
import { withProtector } from './protector-finding.js';
import { type RelayLibrary, RelayLibraryWork, relayCase } from './relay/index.js';
import { forPassing, forRig } from './rig-in-question.js';
import { forScales, rescaled, suspectedFactor } from './scales-suspected.js';
import { forSubject } from './subject.js';
import { askedOf, whereItStood, withoutStanding } from './travel.js';
import { forUnseenSupply } from './unseen-supply.js';
import type { Check, Finding, Judgement, Verdict } from './verdict.js';
import { verdictOf } from './verdict-rule.js';
import { wayDoubts, wayTold } from './way.js';
import { whatItDoes } from './what-it-does.js';
import { graded, gradeWords, isGraded, isNothingButSheet, withoutSheet } from './without-sheet.js';

export interface JudgeRequest {
  unit: ResolvedUnit;
  capture: Capture;
  expectation: Expectation;
  /** First stop reason of the rig, when the plan did not run to its end. */
  stop?: string | undefined;
  /** Of the same profile; asked for when the run does not pass, by default made once per expectation and kept with it. */
  library?: () => CauseLibrary;
  /** What the capture itself does not tell; stands over what the profile says. */
  measuring?: MeasureOptions;
}

/** One run of one kind of subject, asked and ready to be told. */
export interface Case {
  checks: Check[];
  measured: Measured;
  /** The same without throws that show nothing of what the unit does; absent where there are none. */
  does?: Measured;
  /** What the capture itself shows to be wrong with how it was taken. */
  doubts?: readonly Doubt[];
  /** Looked for only when the run did not pass. */
  findings(): Finding[];
  /** Of a motor without a sheet, by checks as they stand. */
  grade?(checks: readonly Check[]): MotorGrade;
}

export type CauseLibrary = DiagnosisLibrary | RelayLibrary;

/** What every cause on the profile's list reads, simulated. */
export const causeLibrary = (unit: ResolvedUnit): CauseLibrary =>
  unit.unit.subject === 'relay' ? new RelayLibraryWork(unit).finish() : diagnosisLibrary(unit);

const libraries = new WeakMap<Expectation, CauseLibrary>();

function libraryFor({ unit, expectation, library }: JudgeRequest): CauseLibrary {
  const found = library?.() ?? libraries.get(expectation) ?? causeLibrary(unit);
  libraries.set(expectation, found);
  return found;
}

/** Verdict, checks, findings and readings of one run. */
export function judge(request: JudgeRequest): Judgement {
  const { expectation, unit } = request;
  const library = (): CauseLibrary => libraryFor(request);
  const caseOf = (): Case => {
    if (expectation.kind === 'relay') return relayCase(request, library);
    return isCoilStage(unit, request.capture)
      ? coilStageCase(request)
      : unitCase(request, expectation, library);
  };
  const asked = caseOf();
  const counts = unit.unit.rules.conditionalPassCounts;
  const missing = notOnBench(unit.style);
  const isAllThere = missing.length === 0;
  const way = wayTold(unit);
  const doubts = [...wayDoubts(way), ...rigDoubts(unit.rig), ...(asked.doubts ?? [])];
  const told = (found: Check[], findings: Finding[]): Judgement => {
    const checks = forDoubt(found, doubts);
    const verdict = verdictOf(checks, counts);
    const grade = asked.grade?.(checks);
    const does = asked.does ?? asked.measured;
    const headline = headlineOf(verdict, checks, { findings, measured: does });
    return {
      verdict,
      sentence: [
        ...(grade && verdict !== 'fail' ? [gradeWords(grade)] : []),
        grade ? headline : `${headline}${usualWords(checks)}`,
        ...(grade && verdict === 'fail' ? [gradeWords(grade)] : []),
        ...(isAllThere ? [] : [SWITCH_NOT_TESTED]),
      ].join(' '),
      says: saysOf(verdict, checks, findings),
      ...(verdict === 'pass' ? { does: whatItDoes(does, checks) } : {}),
      checks,
      findings,
      measured: asked.measured,
      ...(grade ? { grade } : {}),
      ...(isAllThere ? {} : { notOnBench: missing }),
      ...(way === undefined ? {} : { way }),
    };
  };
  const asFound = verdictOf(asked.checks, counts);
  if (asFound === 'pass') return told(asked.checks, []);
  if (expectation.kind !== 'relay') {
    const factor = suspectedFactor(unit, expectation, asked.measured);
    if (factor !== undefined && isBetterRescaled(request, expectation, factor, asFound))
      return told(forScales(asked.checks, factor), []);
  }
  const findings = asked.findings();
  const fails = asFound === 'fail';
  return told(fails ? forPassing(forRig(asked.checks, findings), findings) : asked.checks, findings);
}

/** Whether what failed fails no more, or what could not be told passes, once one factor is taken off the currents, or off the voltages. */
const isBetterRescaled = (
  request: JudgeRequest,
  expected: UnitExpectation,
  factor: number,
  asFound: Verdict,
): boolean =>
  rescaled(request.capture, factor).some((capture) => {
    const { checks } = unitCase({ ...request, capture }, expected, () => libraryFor(request));
    const verdict = verdictOf(checks, request.unit.unit.rules.conditionalPassCounts);
    return verdict === 'pass' || (asFound === 'fail' && verdict !== 'fail');
  });

function unitCase(request: JudgeRequest, expected: UnitExpectation, libraryOf: () => CauseLibrary): Case {
  const { unit, stop, capture: whole } = request;
  // What a hold for the protector adds is the protector's check alone.
  const planned = withinPlan(unit, whole);
  const read = measure(planned, {
    rig: unit.rig,
    nominalVoltageV: unit.motor.nominalVoltageV,
    ...ripplesOf(unit.motor),
    ...(hasLimits(unit.style) ? { stopsItself: true } : {}),
    // Any speed is a good one where nobody has the motor's numbers.
    ...(familyOf(unit) ? {} : { expectedRpm: speedsOf(expected) }),
    ...request.measuring,
  });
  const unread = read.doubts?.filter(({ kind }) => kind === 'ac-coupled').flatMap(({ channels }) => channels);
  const capture = unread ? withoutChannels(planned, unread) : (read.followed ?? planned);
  // A lower bound neither passes nor accuses: what rests on it is not tested.
  // Nor does a level that was no level: the current was still on its way when it was let go.
  const levels = { ...read, measured: withoutUnsettled(withoutBounds(read.measured)) };
  const stood = whereItStood(unit, levels);
  const seen = withoutStanding(levels, stood);
  const holds = supplyHolds(unit, seen);
  const silent = unit.learned && silentBecause(unit.learned, seen.measured, unit.unit.temperatureC);
  const learned = silent === undefined ? unit.learned : undefined;
  const context: CheckContext = {
    bounds: Object.fromEntries(Object.entries(read.measured).filter(([, { atLeast }]) => atLeast)),
    ...{
      unit,
      expectation: askedOf(withThrowsAsSeen(expected, seen), stood),
      seen,
      stood,
      capture,
      whole,
      stop,
      learned,
      supplyHolds: holds,
    },
  };
  const isTaught = learned !== undefined;
  const gathered = forUnseenSupply(
    context,
    withoutUntried(forHand(context, forSubject(context, gatherChecks(context)))),
  );
  const asked = [...asUsual(gathered, isTaught), ...(silent === undefined ? [] : [learnedIsSilent(silent)])];
  // Looked at last and only when nothing else failed: the fit costs more than all other checks together.
  const told = hasFailed(asked) ? asked : [...asked, ...asUsual(motorParameterCheck(context), isTaught)];
  // A known good one of its make is what a motor without a sheet wants.
  const isOfGrade = isGraded(unit) && !isTaught;
  const checks = markNotMade(isOfGrade ? withoutSheet(told) : told, seen);
  const isStated = whole.feed !== undefined || request.measuring?.instrument?.motorCurrentA !== undefined;
  const isLone = whole.channels.motorCurrentA !== undefined && whole.channels.feedCurrentA === undefined;
  const doubts = [
    ...captureDoubts(read.doubts),
    ...levelDoubts(read, whole, { nominalSupplyV: expected.nominalSupplyV, motor: unit.motor }),
    ...(isLone && !isStated ? zeroDoubts(checks, largestOf(whole.channels.motorCurrentA ?? [])) : []),
  ];
  const findings = (): Finding[] => {
    // Whatever speaks of the unit is in doubt: nobody is accused by it.
    if (
      blinds(
        doubts,
        sampledChannels(whole.channels).map(([channel]) => channel),
      )
    )
      return [];
    if (read.doubts?.some(({ mutesCauses }) => mutesCauses)) return [];
    // What was not thrown accuses nobody.
    if (checks.some(({ kind }) => kind === NOTHING_THROWN)) return [];
    // Nothing to look for where only the sheet is missing.
    if (isOfGrade && isNothingButSheet(checks)) return [];
    const library = withoutProven(libraryOf(), unit);
    const spread = spreadOf(expected);
    const isOther = checks.some(({ otherThanUsual }) => otherThanUsual);
    const found = withProtector(checks, motorOf(unit.style).id, () =>
      diagnose({
        ...{ library, seen, stop, spread, bounds: context.bounds, ...healthyLogOf(checks, unit.learned) },
        own: ownMotor(context, isOther),
        beyond: isOther ? beyondUsual(checks) : undefined,
        turns: !checks.some(isTurns),
        standing: standingIn(checks),
        onRig: whole.feed !== undefined,
      }),
    );
    return askingForMore(context, checks, findingsForHand(context, found));
  };
  const grade = isOfGrade ? graded(unit, seen, capture) : undefined;
  return {
    ...{ checks, doubts, measured: read.measured, findings },
    ...(stood?.isLimitedIdle ? { does: withoutStanding(read, stood).measured } : {}),
    ...(grade ? { grade } : {}),
  };
}

/** The throws asked for, named as they were seen: where nothing tells their direction, no sentence does. */
function withThrowsAsSeen(expected: UnitExpectation, { segments }: MeasureResult): UnitExpectation {
  if (!segments.some(({ of: { isWayUntold } }) => isWayUntold)) return expected;
  const throws = expected.throws.map((one) => {
    const seen = segments.find(({ of }) => of.id === one.of.id);
    return seen === undefined ? one : { ...one, of: seen.of };
  });
  return { ...expected, throws };
}

/** Without the rig's own parts where its self-test has ruled them out, and where no rig was there; without its clips once they were pressed. */
function withoutProven(library: CauseLibrary, { rig: { proven } }: ResolvedUnit): DiagnosisLibrary {
  if (library.kind !== 'unit') throw new RangeError('the library is of a relay');
  const isProven = (part: string): boolean => proven?.some((one) => one === part) ?? true;
  const arePressed = proven?.includes('clips') ?? false;
  const entries = library.entries.filter(
    ({ hypothesis: { rigPart, readsAsUnits } }) =>
      !((rigPart && isProven(rigPart)) || (readsAsUnits && arePressed)),
  );
  return entries.length === library.entries.length ? library : { ...library, entries };
}

const withoutBounds = (measured: Measured): Measured =>
  Object.fromEntries(Object.entries(measured).filter(([, { atLeast }]) => !atLeast));

const withoutUnsettled = (measured: Measured): Measured => {
  const unsettled = Object.values(measured).flatMap((reading) =>
    reading.of && isUnsettled(measured, reading.of) ? [reading.of.id] : [],
  );
  if (unsettled.length === 0) return measured;
  return Object.fromEntries(
    Object.entries(measured).filter(([, { what, of }]) =>
      of ? !(unsettled.includes(of.id) && OF_A_LEVEL.includes(what)) : what !== 'runningAsymmetryPercent',
    ),
  );
};

const hasFailed = (checks: readonly Check[]): boolean => checks.some(isFailed);

/** A required check that fails is rarer than this among good units, as a natural logarithm. Choice of this program, no source. */
const FAILS_THOUGH_GOOD = Math.log(1e-3);

/** A fault that shows and passes every check all the same is rarer than this. Choice of this program, no source. */
const NOTHING_WRONG = Math.log(20);
const isDoubted = (checks: readonly Check[]): boolean =>
  checks.some(({ required, outcome }) => required && outcome === 'conditional-fail');

/**
 * What checks leave to "nothing is wrong": little where one failed, and for a motor that is none of the good ones the
 * normal density beyond the limit.
 */
function healthyLogOf(
  checks: readonly Check[],
  learned: ResolvedUnit['learned'],
): {
  healthyLog?: number;
  idleLog?: number;
  onSoftLog?: number;
} {
  if (!hasFailed(checks))
    return isDoubted(checks) ? {} : { healthyLog: NOTHING_WRONG, onSoftLog: NOTHING_WRONG };
  // What only the supply failed says nothing against a good unit on a soft one.
  if (checks.every((check) => check.of === 'supply' || !isFailed(check)))
    return { healthyLog: FAILS_THOUGH_GOOD, ...(isDoubted(checks) ? {} : { onSoftLog: NOTHING_WRONG }) };
  // Limits that hold a stated part of good units leave the rest of them outside.
  if (learned && checks.every((check) => check.origin === 'learned' || !isFailed(check))) {
    const rare = Math.log(1 - learned.coverage);
    return { healthyLog: rare, idleLog: rare };
  }
  const motor = checks.find(isMotorParameters);
  const off =
    motor?.outcome === 'fail' && motor.value !== undefined && motor.upper !== undefined
      ? -(motor.value ** 2 - motor.upper ** 2) / 2
      : 0;
  // What leaves its course, and no reading shows it, speaks for no cause whose readings are a good unit's.
  return {
    healthyLog: Math.min(FAILS_THOUGH_GOOD, off),
    ...(checks.every((check) => !isFailed(check) || check.kind.isOfCourse)
      ? { idleLog: FAILS_THOUGH_GOOD }
      : {}),
  };
}

/** Of a good motor, by throw; empty where no ripple tells a speed. */
const speedsOf = ({ features }: UnitExpectation): ReadonlyMap<string, number> =>
  new Map(
    Object.values(features).flatMap(({ what, of, nominal }) =>
      what === 'speedRpm' && of ? [[of.id, nominal] as const] : [],
    ),
  );

/** Relative spread of each feature among good units. */
function spreadOf(expected: UnitExpectation): Record<string, number> {
  return Object.fromEntries(
    Object.entries(expected.features)
      .filter(([, { nominal }]) => Math.abs(nominal) > 1e-6)
      .map(([key, { conditioned, nominal }]) => [
        key,
        Math.min(0.5, conditioned.deviation / Math.abs(nominal)),
      ]),
  );
}

/** Lowest and highest of the draws over the plan, for drawing behind the traces; time 0 is the start of the capture, its lead-in included. */
export const boundOf = (expected: Expectation): Band => expected.band;
