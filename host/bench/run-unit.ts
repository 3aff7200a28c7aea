// One run: connect, drive the plan, judge the capture, record it durably, and only then tell the verdict.

import { type Capture, CHANNELS } from '../capture/index.js';
import { type Judgement, TESTED_WARM } from '../judge/index.js';
import { drivenSteps, HOLD_ROTOR, holdsRotor, type ResolvedUnit, type RigProfile } from '../profile/index.js';
import type { Store } from '../records/index.js';
import type { Rig, SampleBlock } from '../rig/index.js';
import type { HandOptions, HandPrompt } from './by-hand.js';
import { confirmedCircuit, type OfferTools } from './circuit-offer.js';
import { COOL_DOWN_S, heldAgoS } from './cool-down.js';
import type { Desk } from './desk.js';
import { type DriveOptions, type DriveResult, drivePlan, type Halt } from './drive.js';
import type { BenchEvent, RigIdentity } from './events.js';
import { findShort } from './find-short.js';
import { HeldRotorWatch } from './held-rotor-watch.js';
import { ProtectorWatch } from './protector-watch.js';
import { isRamp, mayNotFollow, RampWatch, scanOf } from './relay-hands.js';
import { SHORT_STOP, STOP_TEXTS } from './stop-advice.js';

export interface Connection {
  rig: Rig;
  close(): Promise<void>;
  /** Of this very rig, by its calibration: what its readings, corrected already, are good to. */
  scales?: RigProfile['scales'];
  /** Why its numbers are in doubt today; told before the run and kept with it. */
  doubt?: string;
  /** Says to the person at a virtual bench what the screen says to a real one. */
  hear?(prompt: HandPrompt): void;
}

export interface UnitJob {
  index: number;
  tag: string;
  unit: ResolvedUnit;
  /** `onWaiting` is told once when the rig keeps us waiting, a busy port for one. */
  connect(onWaiting: (error: Error) => void): Promise<Connection>;
}

export interface RunTools extends OfferTools {
  store: Store;
  desk: Desk;
  signal: AbortSignal;
  /** Wall clock for the record. */
  now(): Date;
  /** Resolves when the person has done what the prompt asks; absent where there is nobody to ask. */
  confirm?(prompt: HandPrompt): Promise<void>;
}

export type Emit = (event: BenchEvent) => void;

/** On a virtual bench nobody has to press anything; what is asked for stands long enough to be seen. */
const ASK_SHOWN_S = 1;
const HOLD_ROTOR_SENTENCE =
  'Clamp the output so that it cannot turn, hands clear: the next throws meet the full feed.';
/** Every this many samples of the stream one goes to the screen. */
const SCREEN_DECIMATION = 5;

/**
 * Emits the run's events and returns its verdict word. Trouble with the rig becomes events and the word
 * `cannot-tell`; only a fault of this program throws.
 */
export async function runUnit(
  job: UnitJob,
  tools: RunTools,
  emit: Emit,
): Promise<'pass' | 'fail' | 'cannot-tell'> {
  const { unit, tag, index } = job;
  const startedAt = tools.now();
  emit({
    kind: 'unit-started',
    index,
    tag,
    profileId: unit.unit.id,
    profileTitle: unit.unit.title,
    circuitTitle: unit.style.title,
    steps: unit.plan.steps,
  });
  const agoS = heldAgoS(tools.store, tag, startedAt);
  if (agoS !== undefined && holdsRotor(unit.plan)) {
    const sentence = `${tag} was held ${agoS.toFixed(0)} s ago: let it cool for ${(COOL_DOWN_S - agoS).toFixed(0)} s before it is held again.`;
    emit({ kind: 'unit-aborted', index, tag, sentence, runId: undefined });
    return 'cannot-tell';
  }
  // Before the rig is opened: nothing may be energised while this machine is busy with the model.
  const band = await tools.desk.prepare(unit);
  let connection: Connection;
  try {
    connection = await job.connect((error) => {
      emit({ kind: 'trouble', code: codeOf(error), sentence: oneLine(error), advice: adviceOf(error) });
    });
  } catch (error) {
    const sentence = oneLine(error);
    emit({ kind: 'trouble', code: codeOf(error), sentence, advice: adviceOf(error) });
    emit({ kind: 'unit-aborted', index, tag, sentence, runId: undefined });
    return 'cannot-tell';
  }
  const { rig, scales, doubt } = connection;
  const judged = scales ? { ...unit, rig: { ...unit.rig, scales } } : unit;
  const identity = identityOf(rig);
  emit({ kind: 'rig-ready', rig: identity });
  if (doubt !== undefined)
    emit({ kind: 'trouble', code: 'rig-in-doubt', sentence: doubt, advice: 'Calibrate the rig.' });
  // Drawn along the plan's own times; a person's throws come when they come.
  if (!isByHand(unit)) emit({ kind: 'expected', band });
  let runId: string;
  let driven: Driven;
  let link: { counters: Record<string, number>; rawLines: string[] };
  try {
    runId = tools.store.beginRun({ tag, unit: judged, rig: identity, startedAt: startedAt.toISOString() });
    driven = await drive(connection, job, tools, runId, emit);
    emit({ kind: 'outputs-off' });
    link = { counters: rig.counters(), rawLines: rig.rawLines?.() ?? [] };
  } finally {
    await connection.close();
  }
  const { capture, halt, short, failure } = driven;

  if (capture && doubt !== undefined) capture.notes.push(doubt);
  if (capture && agoS !== undefined) {
    capture.notes.push(`${TESTED_WARM} the rotor was held ${agoS.toFixed(0)} s before this run.`);
  }
  const text = halt && STOP_TEXTS[halt.reason];
  if (halt && text) emit({ kind: 'stopped', reason: halt.reason, advice: halt.advice ?? text.advice });
  if (short && !halt) emit({ kind: 'stopped', reason: SHORT_STOP.reason, advice: SHORT_STOP.advice });
  const endedAt = (): string => tools.now().toISOString();
  const abort = (reason: string): void => {
    tools.store.abortRun(runId, { reason, ...(capture ? { capture } : {}), ...link, endedAt: endedAt() });
    emit({ kind: 'stored', runId });
  };
  if (capture === undefined || (text && !text.judged)) {
    const sentence = failure ?? halt?.sentence ?? text?.sentence ?? 'The run ended without a capture.';
    abort(sentence);
    emit({ kind: 'unit-aborted', index, tag, sentence, runId });
    return 'cannot-tell';
  }
  const stopped = halt ?? (short && { reason: SHORT_STOP.reason, atS: short.atS });
  let judgement: Judgement;
  let heldAgainst = judged;
  try {
    // What was stopped shows too little of its circuit.
    if (!stopped) heldAgainst = await confirmedCircuit(judged, capture, runId, tools, emit);
    judgement = await tools.desk.judge(heldAgainst, capture, stopped?.reason);
  } catch (error) {
    // The capture outlives a fault of this program and can be judged again.
    abort(`The capture could not be judged: ${oneLine(error)}`);
    throw error;
  }
  const stop = stopped === undefined ? {} : { stop: { reason: stopped.reason, atS: stopped.atS } };
  const unitOfRecord = heldAgainst === judged ? {} : { unit: heldAgainst };
  tools.store.finishRun(runId, { capture, judgement, ...unitOfRecord, ...link, ...stop, endedAt: endedAt() });
  emit({ kind: 'stored', runId });
  for (const check of judgement.checks) emit({ kind: 'check', check });
  const durationS = (tools.now().getTime() - startedAt.getTime()) / 1000;
  emit({ kind: 'judged', index, tag, judgement, runId, durationS });
  return judgement.verdict;
}

interface Driven {
  capture?: Capture;
  halt?: Halt;
  short?: DriveResult['short'];
  /** Why the plan could not be driven, when it was not the board that stopped. */
  failure?: string;
}

const isByHand = ({ plan }: ResolvedUnit): boolean => plan.throwBy === 'operator';

function handOptions(unit: ResolvedUnit, rig: Rig, onPrompt: (prompt: HandPrompt) => void): HandOptions {
  return {
    longestHoldS: Math.min(rig.facts.longestHoldS, unit.motor.longestHoldS),
    polarity: unit.style.polarity,
    names: unit.unit.switchNames,
    onPrompt,
  };
}

/** Asks the person at the bench and waits; at a virtual one nobody has to press anything. */
function askPerson(
  connection: Connection,
  unit: ResolvedUnit,
  tools: RunTools,
  emit: Emit,
  onDone: () => void = () => {},
): NonNullable<DriveOptions['ask']> {
  return async (id) => {
    const sentence = unit.style.asks[id]?.sentence ?? (id === HOLD_ROTOR ? HOLD_ROTOR_SENTENCE : id);
    const done = connection.hear ? '' : ' Press Enter when it is done.';
    const prompt: HandPrompt = {
      code: 'ask',
      position: 'forward',
      sentence: `${sentence}${done}`,
      ask: id,
    };
    if (!connection.hear && !tools.confirm) return false;
    emit({ kind: 'prompt', prompt });
    if (connection.hear) {
      connection.hear(prompt);
      await connection.rig.clock.sleep(ASK_SHOWN_S);
    } else await tools.confirm?.(prompt);
    onDone();
    emit({ kind: 'prompt', prompt: { ...prompt, code: 'done', sentence: '' } });
    return true;
  };
}

/** A relay by itself: what is asked of a person, and what may follow on what was seen. */
function relayOptions(
  connection: Connection,
  unit: ResolvedUnit,
  tools: RunTools,
  ramp: RampWatch,
  emit: Emit,
): Pick<DriveOptions, 'ask' | 'isOver' | 'mayNotFollow'> {
  return {
    ask: askPerson(connection, unit, tools, emit, () => ramp.start()),
    isOver: (step) => isRamp(step) && ramp.isOver,
    mayNotFollow: (next, soFar) => mayNotFollow(unit, next, soFar),
  };
}

async function drive(
  connection: Connection,
  job: UnitJob,
  tools: RunTools,
  runId: string,
  emit: Emit,
): Promise<Driven> {
  const { rig } = connection;
  let unsaved: SampleBlock[] = [];
  let unsavedSamples = 0;
  let isSaving = true;
  const save = (): void => {
    const blocks = unsaved;
    unsaved = [];
    unsavedSamples = 0;
    if (blocks.length === 0 || !isSaving) return;
    try {
      tools.store.appendSamples(runId, blocks);
    } catch (error) {
      // Said once; the whole capture is stored at the end, and fails loudly there if it still cannot be.
      isSaving = false;
      emit({
        kind: 'trouble',
        code: codeOf(error),
        sentence: oneLine(error),
        advice: 'Make room for the records in logs/.',
      });
    }
  };
  let samplesSeen = 0;
  const scan = scanOf(job.unit);
  const ramp = new RampWatch();
  const protector = new ProtectorWatch();
  const held = new HeldRotorWatch(job.unit);
  try {
    if (scan) await rig.setScan?.(scan);
    return await drivePlan(rig, drivenSteps(job.unit), {
      trip: job.unit.rig.trip,
      signal: tools.signal,
      ...(isByHand(job.unit)
        ? {
            byHand: handOptions(job.unit, rig, (prompt) => {
              emit({ kind: 'prompt', prompt });
              connection.hear?.(prompt);
            }),
          }
        : {}),
      ...(scan
        ? relayOptions(connection, job.unit, tools, ramp, emit)
        : {
            ask: askPerson(connection, job.unit, tools, emit),
            findShort: (soFar) => findShort(job.unit, soFar),
            isOver: (step) => held.isOver || (step.untilProtectorOpens === true && protector.isOver),
          }),
      onStep: (index, step, atS) => {
        if (step.untilProtectorOpens) protector.start();
        held.start(step);
        emit({ kind: 'step-started', index, step, atS });
      },
      onSamples: (block) => {
        ramp.add(block);
        protector.add(block);
        held.add(block);
        emit({ kind: 'samples', slice: decimate(block, samplesSeen) });
        samplesSeen += block.timeS.length;
        unsaved.push(block);
        unsavedSamples += block.timeS.length;
        // About four times a second: a crash loses no more than that.
        if (unsavedSamples >= rig.facts.sampleRateHz / 4) save();
      },
    });
  } catch (error) {
    const failure = oneLine(error);
    emit({ kind: 'trouble', code: codeOf(error), sentence: failure, advice: adviceOf(error) });
    return { failure };
  } finally {
    save();
  }
}

function decimate(block: SampleBlock, offset: number): Pick<SampleBlock, 'timeS' | 'channels'> {
  const keep: number[] = [];
  for (
    let i = (SCREEN_DECIMATION - (offset % SCREEN_DECIMATION)) % SCREEN_DECIMATION;
    i < block.timeS.length;
  ) {
    keep.push(i);
    i += SCREEN_DECIMATION;
  }
  const pick = (values: Float64Array): Float64Array => Float64Array.from(keep, (i) => values[i]!);
  const channels: SampleBlock['channels'] = {};
  for (const name of CHANNELS) {
    const values = block.channels[name];
    if (values) channels[name] = pick(values);
  }
  return { timeS: pick(block.timeS), channels };
}

function identityOf(rig: Rig): RigIdentity {
  const { rigId, model, firmwareVersion, protocolVersion, port } = rig.facts;
  return { rigId, model, firmwareVersion, protocolVersion, port };
}

function oneLine(error: unknown): string {
  return (error instanceof Error ? error.message : String(error)).split('\n')[0]!;
}

function codeOf(error: unknown): string {
  return typeof error === 'object' && error !== null && 'code' in error ? String(error.code) : 'unexpected';
}

function adviceOf(error: unknown): string {
  if (typeof error === 'object' && error !== null && 'advice' in error) return String(error.advice);
  return 'Check the rig’s cable and supply, then start the unit again.';
}
