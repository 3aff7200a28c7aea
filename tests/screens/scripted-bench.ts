// A scripted bench for tests of screens and plain output: events only, with waveforms drawn by rule. Nothing here
// is measured, simulated or judged.

import type {
  After,
  Before,
  BenchEvent,
  Ended,
  ExpectedBand,
  PlannedStep,
  Upcoming,
} from '../../host/bench/index.js';
import type { Check, Judgement } from '../../host/judge/index.js';

export const STEPS: PlannedStep[] = [
  { position: 'rest', durationS: 0.4, feed: 'limited' },
  { position: 'forward', durationS: 0.8, feed: 'full' },
  { position: 'rest', durationS: 0.6, feed: 'full' },
  { position: 'reverse', durationS: 0.8, feed: 'full' },
  { position: 'rest', durationS: 0.6, feed: 'full' },
];
const LEAD_IN_S = 0.2;
const END_S = LEAD_IN_S + STEPS.reduce((sum, step) => sum + step.durationS, 0);

export interface ScriptedUnit {
  tag: string;
  outcome: 'pass' | 'fail' | 'cannot-tell';
}

export const TRAY: ScriptedUnit[] = [
  { tag: 'V-0101', outcome: 'pass' },
  { tag: 'V-0102', outcome: 'fail' },
  { tag: 'V-0103', outcome: 'cannot-tell' },
  { tag: 'V-0104', outcome: 'pass' },
];

/** Inrush and decay to a running current, the sign given by the throw. */
function currentA(timeS: number, gain: number): number {
  for (const [startS, sign] of [
    [0.6, 1],
    [2.0, -1],
  ] as const) {
    const t = timeS - startS;
    if (t >= 0 && t < 0.8) return sign * gain * (3 + 19 * Math.exp(-t / 0.08)) * (1 - Math.exp(-t / 0.002));
    if (t >= 0.8 && t < 1.1) return -sign * gain * 12 * Math.exp(-(t - 0.8) / 0.05);
  }
  return 0;
}

const leadV = (timeS: number, startS: number): number =>
  timeS >= startS && timeS < startS + 0.8 ? 12.4 - 1.2 * Math.exp(-(timeS - startS) / 0.08) : 0;

export function scriptedBand(): ExpectedBand {
  const timeS = Float64Array.from({ length: Math.round(END_S * 1000) }, (_, i) => i / 1000);
  const around = (value: (timeS: number) => number, share: number, offset: number) => ({
    lower: timeS.map((t) => value(t) - Math.abs(value(t)) * share - offset),
    upper: timeS.map((t) => value(t) + Math.abs(value(t)) * share + offset),
  });
  const motor = around((t) => currentA(t, 1), 0.25, 0.5);
  const a = around((t) => leadV(t, 0.6), 0.05, 0.4);
  const b = around((t) => leadV(t, 2.0), 0.05, 0.4);
  return {
    timeS,
    lower: { motorCurrentA: motor.lower, leadAVoltageV: a.lower, leadBVoltageV: b.lower },
    upper: { motorCurrentA: motor.upper, leadAVoltageV: a.upper, leadBVoltageV: b.upper },
  };
}

export function scriptedSlice(fromS: number, toS: number, outcome: ScriptedUnit['outcome']) {
  const count = Math.round((toS - fromS) * 1000);
  const timeS = Float64Array.from({ length: count }, (_, i) => fromS + i / 1000);
  const gain = outcome === 'fail' ? 0.4 : 1;
  return {
    timeS,
    channels: {
      feedCurrentA: timeS.map((t) => Math.abs(currentA(t, gain))),
      motorCurrentA: timeS.map((t) => currentA(t, gain)),
      coilCurrentA: timeS.map((t) => (leadV(t, 0.6) + leadV(t, 2) > 0 ? 0.15 : 0)),
      leadAVoltageV: timeS.map((t) => leadV(t, 0.6)),
      leadBVoltageV: timeS.map((t) => leadV(t, 2.0)),
      supplyVoltageV: timeS.map(() => 12.6),
    },
  };
}

function check(id: string, sentence: string, outcome: Check['outcome']): Check {
  const kind = { id, of: 'unit', rank: 0 } as const;
  return { id, kind, of: 'unit', sentence, outcome, required: true, origin: 'model' };
}

export function scriptedJudgement(outcome: ScriptedUnit['outcome']): Judgement {
  const shared = [
    check('rest-leads', 'At rest both leads stand at 0.0 V, as a grounded rest should.', 'pass'),
    check('forward-polarity', 'Forward puts lead A 12.4 V above lead B.', 'pass'),
    check('reverse-polarity', 'Reverse puts lead B 12.4 V above lead A.', 'pass'),
    check('release-brake', 'After release the motor brakes within 0.2 s.', 'pass'),
  ];
  if (outcome === 'pass') {
    return {
      verdict: 'pass',
      sentence: 'Throws both ways and brakes to ground as it should.',
      checks: [...shared, check('forward-inrush', 'Forward inrush is 21.7 A; 17 to 27 A expected.', 'pass')],
      findings: [],
      measured: {},
    };
  }
  if (outcome === 'fail') {
    return {
      verdict: 'fail',
      sentence: 'Forward inrush is 8.7 A where at least 17 A is expected.',
      checks: [
        ...shared,
        check('forward-inrush', 'Forward inrush is 8.7 A; 17 to 27 A expected.', 'fail'),
        check('reverse-inrush', 'Reverse inrush is 8.8 A; 17 to 27 A expected.', 'conditional-fail'),
      ],
      findings: [
        {
          id: 'worn-brushes',
          likelihood: 0.82,
          sentence: 'Worn brushes: resistance in series with the armature both ways.',
          nextProbe: 'Measure lead to lead at four shaft angles, feed off; above 1.5 Ohm means brushes.',
        },
      ],
      measured: {},
    };
  }
  return {
    verdict: 'cannot-tell',
    sentence: 'Lead B was not seen for 0.3 s of the reverse throw.',
    checks: [...shared, check('reverse-inrush', 'Reverse inrush was not measured.', 'not-tested')],
    findings: [],
    measured: {},
  };
}

export interface ScriptOptions {
  units?: ScriptedUnit[];
  signal?: AbortSignal;
  attemptSignal?(): AbortSignal;
  beforeUnit?(next: Upcoming): Promise<Before>;
  afterUnit?(ended: Ended): Promise<After>;
  /** Plans that hold the rotor. */
  holdsRotor?: boolean;
  /** Real pauses between slices; none when absent. */
  sleep?(seconds: number): Promise<void>;
  /** The unit at this index meets this instead of a verdict. */
  trouble?: { index: number; sentence: string; advice: string };
}

const RIG = {
  rigId: 'RB-01',
  model: 'reference rig',
  firmwareVersion: '1.0.0',
  protocolVersion: '1',
  port: 'virtual',
};

/** The order of events that a tray gives. A stop ends the attempt in hand; an abort of `signal` the tray. */
export async function* scriptedTray(options: ScriptOptions = {}): AsyncGenerator<BenchEvent> {
  const units = options.units ?? TRAY;
  const told = new Map<number, ScriptedUnit['outcome']>();
  yield {
    kind: 'caution',
    lines: [
      'Clamp the motor; start and reversal kick the body. It can start either way.',
      'The stop switch must break the motor feed by itself. Space or Esc sends outputs off; do not rely on it alone.',
    ],
  };
  yield {
    kind: 'tray-started',
    units: units.map(({ tag }) => ({ tag, profileTitle: 'Roof vent, relay pair' })),
  };
  const attempts = new Map<number, number>();
  for (let index = 0; index < units.length && options.signal?.aborted !== true; ) {
    const { tag } = units[index]!;
    const attempt = (attempts.get(index) ?? 0) + 1;
    const { holdsRotor = false } = options;
    const word = (await options.beforeUnit?.({ index, tag, attempt, holdsRotor })) ?? 'go';
    if (word === 'end' || options.signal?.aborted) break;
    if (word === 'skip') {
      yield { kind: 'unit-skipped', index, tag };
      index += 1;
      continue;
    }
    let at = index;
    let isStopped = false;
    if (word === 'back') {
      at = index - 1;
      yield { kind: 'disposed', index: at, tag: units[at]!.tag, runId: `run-${at + 1}` };
    } else {
      attempts.set(index, attempt);
      const own = options.attemptSignal?.();
      const stopped = (): boolean => own?.aborted === true || options.signal?.aborted === true;
      const isJudged = yield* scriptedRun(units[index]!, { index, attempt, stopped }, options);
      told.set(index, isJudged ? units[index]!.outcome : 'cannot-tell');
      isStopped = own?.aborted === true;
    }
    if (options.signal?.aborted) break;
    const isJudged = !isStopped && options.trouble?.index !== at;
    const ended = { index: at, tag: units[at]!.tag, attempt, verdict: told.get(at)!, isJudged, isStopped };
    const after = (await options.afterUnit?.(ended)) ?? { goOn: 'next' };
    if (after.goOn === 'end') break;
    if (after.goOn === 'next' && after.disposition) {
      const { disposition } = after;
      yield { kind: 'disposed', index: at, tag: units[at]!.tag, runId: `run-${at + 1}`, disposition };
    }
    index = after.goOn === 'again' ? at : at + 1;
  }
  const count = { pass: 0, fail: 0, 'cannot-tell': 0 };
  for (const outcome of told.values()) count[outcome] += 1;
  yield { kind: 'tray-finished', passed: count.pass, failed: count.fail, cannotTell: count['cannot-tell'] };
}

/** Returns whether it was judged. */
async function* scriptedRun(
  { tag, outcome }: ScriptedUnit,
  { index, attempt, stopped }: { index: number; attempt: number; stopped(): boolean },
  options: ScriptOptions,
): AsyncGenerator<BenchEvent, boolean> {
  yield {
    kind: 'unit-started',
    index,
    tag,
    attempt,
    profileId: 'roof-vent',
    profileTitle: 'Roof vent, relay pair',
    circuitTitle: 'Relay pair thrown on the ground side, grounded rest',
    steps: STEPS,
  };
  const runId = `run-${index + 1}${attempt > 1 ? `-${attempt}` : ''}`;
  if (options.trouble?.index === index) {
    const { sentence, advice } = options.trouble;
    yield { kind: 'trouble', code: 'rig-silent', sentence, advice };
    yield { kind: 'unit-aborted', index, tag, sentence, runId: undefined };
    return false;
  }
  yield { kind: 'rig-ready', rig: RIG };
  yield { kind: 'expected', band: scriptedBand() };
  let atS = LEAD_IN_S;
  yield { kind: 'samples', slice: scriptedSlice(0, LEAD_IN_S, outcome) };
  for (const [stepIndex, step] of STEPS.entries()) {
    if (stopped()) break;
    yield { kind: 'step-started', index: stepIndex, step, atS };
    for (const endS = atS + step.durationS; atS < endS - 1e-9 && !stopped(); atS += 0.05) {
      await options.sleep?.(0.05);
      yield { kind: 'samples', slice: scriptedSlice(atS, atS + 0.05, outcome) };
    }
  }
  if (stopped()) {
    yield { kind: 'stopped', reason: 'host-request', advice: 'Start the unit again when it is safe.' };
    yield { kind: 'stored', runId };
    yield { kind: 'unit-aborted', index, tag, sentence: 'Outputs off at the operator’s request.', runId };
    return false;
  }
  const judgement = scriptedJudgement(outcome);
  yield { kind: 'stored', runId };
  for (const one of judgement.checks) yield { kind: 'check', check: one };
  yield { kind: 'judged', index, tag, judgement, runId, durationS: 4.1 };
  return true;
}
