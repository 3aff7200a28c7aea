// One run: connect, drive the plan, judge the capture, record it durably, and only then tell the verdict.

import type { Capture } from '../capture/index.js';
import { known } from '../fields/index.js';
import type { Judgement, Verdict } from '../judge/index.js';
import {
  type FineChannel,
  finelyReadable,
  holdsRotor,
  type ResolvedUnit,
  type Turned,
} from '../profile/index.js';
import { FINE_ADVICE, identityOf, lacksTold, type Rig } from '../rig/index.js';
import { amount, capitalised, stopClause } from '../tell/index.js';
import { askedWay } from './ask-way.js';
import { confirmedCircuit } from './circuit-offer.js';
import { withClipsPressed } from './clips-pressed.js';
import { heldBefore } from './cool-down.js';
import { type Driven, driveUnit, isByHand, loadFor } from './drive-unit.js';
import type { ExpectedBand } from './events.js';
import { keepRun } from './keep-run.js';
import { COIL_STOP, FED_STOP, SHORT_STOP, STOP_TEXTS } from './stop-advice.js';
import { sentenceOf, troubleOf } from './trouble.js';
import type { Connection, Emit, RunTools, UnitJob } from './unit-job.js';

/**
 * Emits the run's events and returns its verdict word. Trouble with the rig becomes events and the word
 * `cannot-tell`; only a fault of this program throws.
 */
export const runUnit = (job: UnitJob, tools: RunTools, emit: Emit): Promise<Verdict> =>
  new UnitRun(job, tools, emit).run();

/** A run that was driven, its rig let go again. */
interface Ran extends Driven {
  runId: string;
  /** As it is judged: with what this very rig's readings are good to. */
  unit: ResolvedUnit;
  link: { counters: Record<string, number>; rawLines: string[] };
  /** Which way the motor went, where the bench knows it. */
  turned?: Turned | undefined;
}

class UnitRun {
  readonly #startedAt: Date;

  constructor(
    readonly job: UnitJob,
    readonly tools: RunTools,
    readonly emit: Emit,
  ) {
    this.#startedAt = tools.now();
  }

  async run(): Promise<Verdict> {
    const { unit, tag, index, attempt } = this.job;
    this.emit({
      kind: 'unit-started',
      index,
      tag,
      profileId: unit.unit.id,
      profileTitle: unit.unit.title,
      circuitTitle: unit.style.title,
      steps: unit.plan.steps,
      tripA: unit.rig.trip.motorCurrentA,
      ...known({ attempt }),
    });
    const before = heldBefore(this.tools.store, tag, this.#startedAt);
    const agoS = before?.agoS;
    if (before && holdsRotor(unit.plan)) {
      return this.#abandon(
        `${tag} was held ${amount(before.agoS, 's', 0)} ago: let it cool for ${amount(before.leftS, 's', 0)} before it is held again.`,
      );
    }
    // Before the rig is opened: nothing may be energised while this machine is busy with the model.
    const band = await this.tools.desk.prepare(unit);
    await loadFor(unit);
    const connection = await this.#connect();
    if (connection === undefined) return 'cannot-tell';
    const ran = await this.#drive(connection, band);
    const { capture, halt, failure } = ran;
    if (capture) await this.#note(capture, connection.doubt, agoS);
    const stop = this.#tellStop(ran);
    const text = halt && STOP_TEXTS[halt.reason];
    if (capture === undefined || (text && !text.judged)) {
      const sentence =
        failure ??
        (halt ? asSentence(halt.sentence ?? stopClause(halt.reason)) : 'The run ended without a capture.');
      await this.#abort(ran, sentence);
      return this.#abandon(sentence, ran.runId);
    }
    return this.#record(stop ? ran : await this.#seen(ran), capture, stop);
  }

  /** Together with which way the output went, where that is wanted and somebody saw it. */
  async #seen(ran: Ran): Promise<Ran> {
    const way = await askedWay(ran.unit, ran.turned, this.tools, this.emit);
    return way === undefined ? ran : { ...ran, unit: { ...ran.unit, way } };
  }

  /** Undefined when the rig could not be had, which is told. */
  async #connect(): Promise<Connection | undefined> {
    try {
      return await this.job.connect((error) => this.emit(troubleOf(error)));
    } catch (error) {
      this.emit(troubleOf(error));
      this.#abandon(sentenceOf(error));
      return undefined;
    }
  }

  async #drive(connection: Connection, band: ExpectedBand): Promise<Ran> {
    const { job, tools, emit } = this;
    const { rig, scales, fineScales, doubt, neverCalibrated } = connection;
    const identity = identityOf(rig);
    emit({ kind: 'rig-ready', rig: identity });
    // Behind F4 the rig sees its feed come on, or refuses the run.
    const proven = rig.feedBusIsLive === undefined ? [] : ['F4' as const];
    const readFinely = await this.#turnToFine(rig);
    const doubted = doubt && [...doubt];
    const today = known({ scales, fineScales, doubted, neverCalibrated, proven, readFinely });
    const unit =
      Object.keys(today).length > 0 ? { ...job.unit, rig: { ...job.unit.rig, ...today } } : job.unit;
    const lacks = lacksTold(identity);
    if (lacks !== undefined) emit({ kind: 'trouble', code: 'old-firmware', ...lacks });
    const { earlierStop } = rig.facts;
    if (earlierStop !== undefined && earlierStop !== 'host-request') {
      const sentence = `Before this run the rig had stopped: ${stopClause(earlierStop)}.`;
      emit({ kind: 'trouble', code: 'earlier-stop', sentence, advice: STOP_TEXTS[earlierStop].advice });
    }
    for (const { sentence } of doubt ?? [])
      emit({ kind: 'trouble', code: 'rig-in-doubt', sentence, advice: 'Calibrate the rig.' });
    // Drawn along the plan's own times; a person's throws come when they come.
    if (!isByHand(unit)) emit({ kind: 'expected', band });
    try {
      const startedAt = this.#startedAt.toISOString();
      const { tag, turn, operator } = job;
      const begun = { tag, unit, rig: identity, startedAt, ...known({ turn, operator }) };
      const runId = tools.store.beginRun(begun);
      const driven = await driveUnit(job.unit, connection, runId, tools, emit);
      emit({ kind: 'outputs-off' });
      const link = { counters: rig.counters(), rawLines: rig.rawLines?.() ?? [] };
      return { ...driven, runId, unit, link, turned: connection.turned?.() };
    } finally {
      await connection.close();
    }
  }

  /** Channels that the rig's finer amplifier reads in this run, of a unit that it sees all of; why not is told. */
  async #turnToFine(rig: Rig): Promise<FineChannel[] | undefined> {
    if (finelyReadable(this.job.unit).length === 0) return undefined;
    // A link that is lost, or a stop, is told when the plan is driven.
    const turned = await rig.readFinely?.().catch(() => undefined);
    if (turned === undefined) return undefined;
    if ('channels' in turned) return turned.channels;
    this.emit({ kind: 'trouble', code: 'coarse-current', sentence: turned.lack, advice: FINE_ADVICE });
    return undefined;
  }

  /** What speaks against the readings of the day, kept with them. */
  async #note({ notes }: Capture, doubt: Connection['doubt'] = [], agoS: number | undefined): Promise<void> {
    notes.push(...doubt.map(({ sentence }) => sentence));
    if (agoS === undefined) return;
    const { TESTED_WARM } = await import('../judge/index.js');
    notes.push(`${TESTED_WARM} the rotor was held ${amount(agoS, 's', 0)} before this run.`);
  }

  /** Why the plan ended before its end, told; undefined when it did not. */
  #tellStop({ halt, short, fed }: Ran): { reason: string; atS: number } | undefined {
    if (halt) {
      const { reason, atS, advice = STOP_TEXTS[reason].advice } = halt;
      this.emit({ kind: 'stopped', reason, advice });
      return { reason, atS };
    }
    const found = short ?? fed;
    if (!found) return undefined;
    const text = short ? SHORT_STOP : fed?.reason === 'coil-short' ? COIL_STOP : FED_STOP;
    this.emit({ kind: 'stopped', ...text });
    return { reason: text.reason, atS: found.atS };
  }

  async #record(
    ran: Ran,
    capture: Capture,
    stop: { reason: string; atS: number } | undefined,
  ): Promise<Verdict> {
    const { job, tools, emit } = this;
    const { runId, link } = ran;
    const { unit, judgement } = await this.#judge(ran, capture, stop?.reason);
    const { judgementRecord } = await import('../records/index.js');
    const finish = {
      capture,
      judgement: judgementRecord(judgement),
      // Begun without what was seen of it.
      ...known({ unit: unit === ran.unit && unit.way === undefined ? undefined : unit, stop }),
      ...link,
      endedAt: this.#now(),
    };
    await this.#keep(() => tools.store.finishRun(runId, finish), runId, capture);
    emit({ kind: 'stored', runId });
    for (const check of judgement.checks) emit({ kind: 'check', check });
    const durationS = (tools.now().getTime() - this.#startedAt.getTime()) / 1000;
    emit({ kind: 'judged', index: job.index, tag: job.tag, judgement, runId, durationS });
    return judgement.verdict;
  }

  async #judge(
    ran: Ran,
    capture: Capture,
    stop: string | undefined,
  ): Promise<{ unit: ResolvedUnit; judgement: Judgement }> {
    const { tools, emit } = this;
    try {
      // What was stopped shows too little of its circuit.
      const confirmed =
        stop === undefined ? await confirmedCircuit(ran.unit, capture, ran.runId, tools, emit) : ran.unit;
      const { way } = ran.unit;
      const unit = confirmed === ran.unit || way === undefined ? confirmed : { ...confirmed, way };
      const judgement = await tools.desk.judge(unit, capture, stop);
      const { store } = tools;
      const pressed = withClipsPressed(unit, judgement, {
        ...{ store, tag: this.job.tag, runId: ran.runId, now: this.#startedAt },
      });
      if (pressed === undefined) return { unit, judgement };
      return { unit: pressed, judgement: await tools.desk.judge(pressed, capture, stop) };
    } catch (error) {
      // The capture outlives a fault of this program and can be judged again.
      await this.#abort(ran, `The capture could not be judged: ${sentenceOf(error)}`);
      throw error;
    }
  }

  /** Closes the record as aborted, with what was sampled. */
  async #abort({ runId, capture, link }: Ran, reason: string): Promise<void> {
    const abort = { reason, capture, ...link, endedAt: this.#now() };
    await this.#keep(() => this.tools.store.abortRun(runId, abort), runId, capture);
    this.emit({ kind: 'stored', runId });
  }

  #keep(write: () => void, runId: string, capture: Capture | undefined): Promise<void> {
    const { store } = this.tools;
    return keepRun(write, { store, runId, tag: this.job.tag, capture, emit: this.emit });
  }

  #abandon(sentence: string, runId?: string): 'cannot-tell' {
    const { index, tag } = this.job;
    this.emit({ kind: 'unit-aborted', index, tag, sentence, runId });
    return 'cannot-tell';
  }

  #now(): string {
    return this.tools.now().toISOString();
  }
}

/** The board tells why it stopped in a clause. */
const asSentence = (clause: string): string => `${capitalised(clause.replace(/\.$/, ''))}.`;
