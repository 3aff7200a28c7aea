// What the bench screen, the plain lines and the closing table know of a tray: a pure reduction of its events.
// Samples stay out of it (see trace-store.ts); nothing here knows how anything is drawn.

import type { BenchEvent, HandPrompt, PlannedStep, ToldCheck } from '../bench/index.js';
import type { Position } from '../capture/index.js';
import type { Finding, Judgement, Verdict } from '../judge/index.js';
import type { Disposition } from '../records/index.js';
import type { RigIdentity } from '../rig/index.js';
import { retold } from '../tell/index.js';

export interface UnitView {
  tag: string;
  profileTitle: string;
  circuitTitle: string;
  steps: readonly PlannedStep[];
  state: 'waiting' | 'on-bench' | 'told' | 'skipped';
  /** From 1; of the run that is shown. */
  attempt: number;
  /** What a person decided after the verdict. */
  disposition?: Disposition | undefined;
  /** From where on the board cuts its outputs by itself. */
  tripA?: number | undefined;
  /** A person throws its switch: nothing can be drawn along the plan's own times. */
  isByHand?: boolean;
  /** Set once told; an aborted unit is told `cannot-tell`. */
  verdict?: Verdict;
  aborted: boolean;
  /** The verdict's reason, or why the run was aborted. */
  sentence: string;
  /** What to do after a stop or after trouble with the rig. */
  advice?: string | undefined;
  /** Code of what the advice is of, where it is no stop of this run. */
  adviceOf?: string;
  stopReason?: string;
  checks: readonly ToldCheck[];
  findings: readonly Finding[];
  /** What the sentence begins with; absent of what was read from a record. */
  says?: Judgement['says'];
  /** Of a unit that passed: what it does. */
  does?: Judgement['does'];
  /** Of a motor without a sheet. */
  grade?: Judgement['grade'];
  /** Which way its output went when it was thrown forward. */
  way?: Judgement['way'];
  /** Under which the record stands in the store. */
  runId?: string;
  durationS?: number;
}

export interface BenchView {
  rig?: RigIdentity;
  cautions: readonly string[];
  /** How the unit of that tag is clipped on: the last that was otherwise than the one before it. */
  hookUp?: { tag: string; lines: readonly string[] };
  units: readonly UnitView[];
  /** Index of the unit on the bench, or of the last one told; -1 before the first. */
  current: number;
  position: Position;
  feed: PlannedStep['feed'];
  /** Step under way; -1 before the first and after the last. */
  stepIndex: number;
  /** Board time at which each step of this run so far began. */
  stepStartsS: readonly number[];
  /** What the person is asked to do with the unit's own switch; absent when nothing is. */
  prompt?: HandPrompt | undefined;
  /** The plan has run and outputs are off; the verdict is not told yet. */
  isJudging: boolean;
  finished?: { passed: number; failed: number; cannotTell: number };
}

export const EMPTY_VIEW: BenchView = {
  cautions: [],
  units: [],
  current: -1,
  position: 'rest',
  feed: 'off',
  stepIndex: -1,
  stepStartsS: [],
  isJudging: false,
};

const OUTPUTS_OFF = {
  position: 'rest',
  feed: 'off',
  stepIndex: -1,
  isJudging: false,
  prompt: undefined,
} as const;

/** Asked of whoever sits there, whoever throws. */
const BETWEEN_THROWS: ReadonlySet<HandPrompt['code']> = new Set(['ask', 'way']);

export function reduceBench(view: BenchView, event: BenchEvent): BenchView {
  switch (event.kind) {
    case 'caution':
      return { ...view, cautions: event.lines };
    case 'hook-up':
      return { ...view, hookUp: { tag: event.tag, lines: event.lines } };
    case 'rig-ready':
      return { ...view, rig: event.rig };
    case 'tray-started':
      return { ...view, units: event.units.map((unit) => waiting(unit.tag, unit.profileTitle)) };
    case 'unit-started': {
      const unit: UnitView = {
        ...waiting(event.tag, event.profileTitle),
        circuitTitle: event.circuitTitle,
        steps: event.steps,
        tripA: event.tripA,
        state: 'on-bench',
        attempt: event.attempt ?? 1,
      };
      const units = [...view.units];
      units[event.index] = unit;
      return { ...view, ...OUTPUTS_OFF, stepStartsS: [], units, current: event.index };
    }
    case 'unit-added': {
      const units = [...view.units];
      units[event.index] = waiting(event.tag, event.profileTitle);
      return { ...view, units };
    }
    case 'unit-skipped':
      return change(view, event.index, (unit) => (unit.state === 'waiting' ? { state: 'skipped' } : {}));
    case 'unit-recorded': {
      const { index, kind: _, ...told } = event;
      const [sentence, checks] = [retold(told.sentence), told.checks.map(toldCheck)];
      return change({ ...view, current: index }, index, { ...told, sentence, checks, state: 'told' });
    }
    case 'disposed':
      return change(view, event.index, { disposition: event.disposition });
    case 'step-started':
      return {
        ...view,
        prompt: undefined,
        position: event.step.position,
        feed: event.step.feed,
        stepIndex: event.index,
        stepStartsS: [...view.stepStartsS, event.atS],
      };
    case 'prompt':
      return change(
        { ...view, prompt: event.prompt.code === 'done' ? undefined : event.prompt },
        view.current,
        BETWEEN_THROWS.has(event.prompt.code) ? {} : { isByHand: true },
      );
    case 'outputs-off':
      return { ...view, ...OUTPUTS_OFF, isJudging: true };
    case 'stopped':
      return change({ ...view, ...OUTPUTS_OFF }, view.current, {
        stopReason: event.reason,
        advice: event.advice,
      });
    case 'trouble':
      return change(view, view.current, {
        ...{ sentence: retold(event.sentence), advice: event.advice, adviceOf: event.code },
      });
    case 'check':
      return change(view, view.current, (unit) => ({
        checks: [...unit.checks, toldCheck(event.check)],
      }));
    case 'stored':
      return change(view, view.current, { runId: event.runId });
    case 'judged':
      return change({ ...view, ...OUTPUTS_OFF }, event.index, (unit) => ({
        state: 'told',
        // What was advised of a stop before this run is done: it ran to its end.
        advice: unit.stopReason === undefined && unit.adviceOf === 'earlier-stop' ? undefined : unit.advice,
        verdict: event.judgement.verdict,
        sentence: retold(event.judgement.sentence),
        checks: event.judgement.checks.map(toldCheck),
        findings: event.judgement.findings,
        says: event.judgement.says,
        does: event.judgement.does,
        grade: event.judgement.grade,
        way: event.judgement.way,
        runId: event.runId,
        durationS: event.durationS,
      }));
    case 'unit-aborted':
      return change({ ...view, ...OUTPUTS_OFF }, event.index, {
        state: 'told',
        verdict: 'cannot-tell',
        aborted: true,
        sentence: retold(event.sentence),
        ...(event.runId === undefined ? {} : { runId: event.runId }),
      });
    case 'tray-finished': {
      const { passed, failed, cannotTell } = event;
      return { ...view, ...OUTPUTS_OFF, finished: { passed, failed, cannotTell } };
    }
    default:
      return view;
  }
}

const toldCheck = (check: ToldCheck): ToldCheck => ({ ...check, sentence: retold(check.sentence) });

const waiting = (tag: string, profileTitle: string): UnitView => ({
  tag,
  profileTitle,
  circuitTitle: '',
  steps: [],
  state: 'waiting',
  attempt: 1,
  aborted: false,
  sentence: '',
  checks: [],
  findings: [],
});

function change(
  view: BenchView,
  index: number,
  patch: Partial<UnitView> | ((unit: UnitView) => Partial<UnitView>),
): BenchView {
  const unit = view.units[index];
  if (unit === undefined) return view;
  const units = [...view.units];
  units[index] = { ...unit, ...(typeof patch === 'function' ? patch(unit) : patch) };
  return { ...view, units };
}

/** The worst word of a tray: fail before cannot tell before pass; a unit that was never told counts as cannot tell. */
export function trayVerdict(view: BenchView): Verdict {
  if (view.units.some((unit) => unit.verdict === 'fail')) return 'fail';
  const allPassed = view.units.length > 0 && view.units.every((unit) => unit.verdict === 'pass');
  return allPassed ? 'pass' : 'cannot-tell';
}

/** Units by what was told of them. */
export function trayCounts({ units }: BenchView) {
  const count = (verdict: Verdict | undefined): number =>
    units.filter((unit) => unit.verdict === verdict).length;
  return {
    passed: count('pass'),
    failed: count('fail'),
    cannotTell: count('cannot-tell'),
    notRun: count(undefined),
  };
}

/** `3 pass, 1 fail, 0 cannot tell`. */
export const countWords = ({ passed, failed, cannotTell }: NonNullable<BenchView['finished']>): string =>
  `${passed} pass, ${failed} fail, ${cannotTell} cannot tell`;

/** Where each planned step begins and ends: as it happened so far, as planned from there on. */
export function stepSpans(view: BenchView): { step: PlannedStep; fromS: number; toS: number }[] {
  const steps = view.units[view.current]?.steps ?? [];
  let atS = 0;
  return steps.map((step, i) => {
    const fromS = view.stepStartsS[i] ?? atS;
    atS = view.stepStartsS[i + 1] ?? fromS + step.durationS;
    return { step, fromS, toS: atS };
  });
}

/** The likeliest finding, if any. */
export function topFinding(unit: UnitView): Finding | undefined {
  return unit.findings.reduce<Finding | undefined>(
    (best, finding) => (best === undefined || finding.likelihood > best.likelihood ? finding : best),
    undefined,
  );
}
