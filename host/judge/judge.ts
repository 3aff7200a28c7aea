// One run judged: measured, checked against the expectation, told as a verdict, and diagnosed when it did not pass.
// Works from the capture alone; a stored capture gives the verdict that the live one gave.

import type { Capture } from '../capture/index.js';
import { motorOf } from '../circuit/index.js';
import { type DiagnosisLibrary, diagnose, diagnosisLibrary } from '../diagnose/index.js';
import { type MeasureOptions, measure } from '../measure/index.js';
import { type ResolvedUnit, ripplesOf } from '../profile/index.js';
import type { BandPieces } from './band.js';
import { findingsForHand, forHand } from './by-hand.js';
import type { CheckContext } from './checks/context.js';
import { currentChecks } from './checks/currents.js';
import { driveChecks } from './checks/drive.js';
import { envelopeChecks } from './checks/envelope.js';
import { forHeldRotor } from './checks/held-rotor.js';
import { limitedChecks, withoutUntried } from './checks/limited.js';
import { limitChecks } from './checks/limits.js';
import { motorParameterCheck } from './checks/motor-parameters.js';
import { releaseChecks } from './checks/release.js';
import { restChecks } from './checks/rest.js';
import { forReversal } from './checks/reversal.js';
import { rippleChecks } from './checks/ripple.js';
import { runChecks, supplyHolds } from './checks/run.js';
import { styleCheck } from './checks/style.js';
import { togetherCheck } from './checks/together.js';
import type { Expectation } from './expectation.js';
import { withinPlan } from './held-throws.js';
import { fitOf } from './motor-spread.js';
import { withProtector } from './protector-finding.js';
import { judgeRelay, relayPatternsFor } from './relay/index.js';
import { forSubject } from './subject.js';
import type { Check, Judgement } from './verdict.js';
import { reasonOf, verdictOf } from './verdict-rule.js';

export interface JudgeRequest {
  unit: ResolvedUnit;
  capture: Capture;
  expectation: Expectation;
  /** First stop reason of the rig, when the plan did not run to its end. */
  stop?: string | undefined;
  /** Asked for when the run does not pass; by default hypotheses are simulated once per expectation and kept with it. */
  library?: () => DiagnosisLibrary;
  /** What the capture itself does not tell; stands over what the profile says. */
  measuring?: MeasureOptions;
}

const libraries = new WeakMap<Expectation, DiagnosisLibrary>();

/** The profile's hypotheses, simulated on first use; call it early to keep the first verdict quick. */
export function libraryFor(unit: ResolvedUnit, expected: Expectation): DiagnosisLibrary {
  let library = libraries.get(expected);
  if (!library) {
    library = diagnosisLibrary(unit);
    libraries.set(expected, library);
  }
  return library;
}

/** Simulates what a run of this profile will be held against, while nobody waits for it. */
export function prepareFindings(unit: ResolvedUnit, expected: Expectation): void {
  if (unit.unit.subject === 'relay') relayPatternsFor(unit, expected);
  else libraryFor(unit, expected);
}

/** Verdict, checks, findings and readings of one run. */
export function judge(request: JudgeRequest): Judgement {
  if (request.unit.unit.subject === 'relay') return judgeRelay(request);
  const { unit, expectation: expected, stop } = request;
  // What a hold for the protector adds is the protector's check alone.
  const capture = withinPlan(unit, request.capture);
  const seen = measure(capture, {
    rig: unit.rig,
    nominalVoltageV: unit.motor.nominalVoltageV,
    ...ripplesOf(unit.motor),
    expectedRpm: speedsOf(expected),
    ...request.measuring,
  });
  const context: CheckContext = {
    unit,
    expectation: expected,
    seen,
    stop,
    supplyHolds: supplyHolds(unit, seen),
  };
  const asked = forSubject(context, [
    ...runChecks(context),
    ...limitedChecks(context),
    ...restChecks(context),
    ...driveChecks(context),
    ...currentChecks(context),
    ...limitChecks(context),
    ...togetherCheck(context),
    ...releaseChecks(context),
    ...styleCheck(context),
    ...rippleChecks(context),
    ...envelopeChecks(context, capture),
  ]);
  const seenEnough = withoutUntried(
    forHeldRotor(context, forReversal(context, forHand(context, asked)), request.capture),
  );
  // Looked at last and only when nothing else failed: the fit costs more than all other checks together.
  const checks =
    expected.motor && !seenEnough.some(({ required, outcome }) => required && outcome === 'fail')
      ? [...seenEnough, ...motorParameterCheck(context, expected.motor, fitOf(unit, capture))]
      : seenEnough;
  const verdict = verdictOf(checks, unit.unit.rules.conditionalPassCounts);
  const findings =
    verdict === 'pass'
      ? []
      : findingsForHand(
          context,
          withProtector(checks, motorOf(unit.style).id, () =>
            diagnose({
              library: request.library?.() ?? libraryFor(unit, expected),
              seen,
              stop,
              spread: spreadOf(expected),
              ...healthyLogOf(checks),
            }),
          ),
        );
  return { verdict, sentence: reasonOf(verdict, checks), checks, findings, measured: seen.measured };
}

/** A required check that fails is rarer than this among good units, as a natural logarithm. Choice of this program, no source. */
const FAILS_THOUGH_GOOD = Math.log(1e-3);

/**
 * What checks leave to "nothing is wrong": little where one failed, and for a motor that is none of the good ones the
 * normal density beyond the limit.
 */
function healthyLogOf(checks: readonly Check[]): { healthyLog?: number } {
  if (!checks.some(({ required, outcome }) => required && outcome === 'fail')) return {};
  const motor = checks.find(({ id }) => id === 'motor-parameters');
  const off =
    motor?.outcome === 'fail' && motor.value !== undefined && motor.upper !== undefined
      ? -(motor.value ** 2 - motor.upper ** 2) / 2
      : 0;
  return { healthyLog: Math.min(FAILS_THOUGH_GOOD, off) };
}

/** Of a good motor, by throw; empty where no ripple tells a speed. */
const speedsOf = ({ throws, features }: Expectation): Record<string, number> =>
  Object.fromEntries(
    throws.flatMap(({ name }) => {
      const speed = features[`${name}SpeedRpm`];
      return speed ? [[name, speed.nominal]] : [];
    }),
  );

/** Relative spread of each feature among good units. */
function spreadOf(expected: Expectation): Record<string, number> {
  return Object.fromEntries(
    Object.entries(expected.features)
      .filter(([, { nominal }]) => Math.abs(nominal) > 1e-6)
      .map(([name, { conditioned, nominal }]) => [
        name,
        Math.min(0.5, conditioned.deviation / Math.abs(nominal)),
      ]),
  );
}

/** Lowest and highest of the draws over the plan, for drawing behind the traces; time 0 is the start of the capture, its lead-in included. */
export const boundOf = (expected: Expectation): BandPieces => expected.band;
