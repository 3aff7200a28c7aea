// Drives the plan of one unit: who is asked for what, when a step is over, and where its samples go.

import { drivenSteps, HOLD_ROTOR, isRampAsk, type ResolvedUnit } from '../profile/index.js';
import { RELAY_SCAN, type SampleBlock } from '../rig/index.js';
import { amount } from '../tell/index.js';
import type { HandOptions } from './by-hand.js';
import { CoilWatch } from './coil-watch.js';
import { Decimator } from './decimator.js';
import { drivePlan } from './drive.js';
import type { DriveOptions, DriveResult } from './drive-options.js';
import { GoneWatch } from './gone-watch.js';
import { HeldRotorWatch } from './held-rotor-watch.js';
import { HoldWatch } from './hold-watch.js';
import { misreadOf } from './off-readings.js';
import type { HandPrompt, PlannedStep } from './planned.js';
import { PROTECTOR_OPENED } from './protector-watch.js';
import { RestWatch } from './rest-watch.js';
import { SampleSaver } from './sample-saver.js';
import { sentenceOf, troubleOf } from './trouble.js';
import type { Connection, Emit, RunTools } from './unit-job.js';

/** On a virtual bench nobody has to press anything; what is asked for stands long enough to be seen. */
const ASK_SHOWN_S = 1;
const HOLD_ROTOR_SENTENCE =
  'Clamp the output so that it cannot turn, hands clear: the next throws meet the full feed.';
/** Every this many samples of the stream one goes to the screen. */
const SCREEN_DECIMATION = 5;

/** What the plan gave; `failure` is why it could not be driven, when it was not the board that stopped. */
export type Driven = Partial<DriveResult> & { failure?: string };

export const isByHand = ({ plan }: ResolvedUnit): boolean => plan.throwBy === 'operator';

/** What measures or judges on the way loads for a run only, and before its rig is opened. */
export const loadFor = ({ unit }: ResolvedUnit): Promise<unknown> =>
  unit.subject === 'relay' ? import('./relay-hands.js') : import('./find-short.js');

/** Emits steps, prompts and samples; whatever goes wrong is told and ends as a value. */
export const driveUnit = (
  unit: ResolvedUnit,
  connection: Connection,
  runId: string,
  tools: RunTools,
  emit: Emit,
): Promise<Driven> => new UnitDrive(unit, connection, runId, tools, emit).run();

class UnitDrive {
  readonly #saver: SampleSaver;
  readonly #screen = new Decimator(SCREEN_DECIMATION);
  readonly #protector = new GoneWatch(PROTECTOR_OPENED);
  readonly #held: HeldRotorWatch;
  /** Of a plan that holds as long as the board allows. */
  readonly #hold: HoldWatch | undefined;
  #isHoldTold = false;
  readonly #rest = new RestWatch();
  readonly #coil = new CoilWatch();
  #areCoilsLimited = false;

  constructor(
    readonly unit: ResolvedUnit,
    readonly connection: Connection,
    runId: string,
    readonly tools: RunTools,
    readonly emit: Emit,
  ) {
    this.#held = new HeldRotorWatch(unit);
    this.#hold = unit.plan.longHold ? new HoldWatch() : undefined;
    this.#saver = new SampleSaver(tools.store, runId, connection.rig, (error) => emit(troubleOf(error)));
  }

  async run(): Promise<Driven> {
    const { unit, tools, emit } = this;
    const { rig } = this.connection;
    try {
      const own = unit.unit.subject === 'relay' ? await this.#relayOptions() : await this.#motorOptions();
      return await drivePlan(rig, drivenSteps(unit), {
        trip: unit.rig.trip,
        signal: tools.signal,
        findMisread: misreadOf(unit, rig),
        ...(isByHand(unit) ? { byHand: this.#handOptions() } : {}),
        onStep: (index, step, atS) => {
          if (step.untilProtectorOpens) this.#protector.start();
          this.#held.start(step);
          this.#hold?.start(step, atS);
          this.#tellHold(undefined);
          this.#rest.start(step);
          this.#coil.start(step);
          this.#limitCoils(false);
          emit({ kind: 'step-started', index, step, atS });
        },
        ...own,
        onSamples: (block) => {
          this.#hear(block);
          own.onSamples?.(block);
        },
      });
    } catch (error) {
      emit(troubleOf(error));
      return { failure: sentenceOf(error) };
    } finally {
      this.#saver.save();
    }
  }

  #hear(block: SampleBlock): void {
    this.#protector.add(block);
    this.#held.add(block);
    const prompt = this.#hold?.add(block);
    if (prompt) this.#tellHold(prompt);
    this.#rest.add(block);
    this.#coil.add(block);
    // Back to milliamperes at once, whoever throws and however long.
    if (this.#coil.isOver) this.#limitCoils(true);
    this.emit({ kind: 'samples', slice: this.#screen.take(block) });
    this.#saver.add(block);
  }

  #limitCoils(areLimited: boolean): void {
    if (areLimited === this.#areCoilsLimited) return;
    this.#areCoilsLimited = areLimited;
    // Refused only where everything is off already.
    void this.connection.rig.setCoilFeed?.(areLimited ? 'limited' : 'full').catch(() => {});
  }

  /** Counts down, or takes the last word away. */
  #tellHold(prompt: HandPrompt | undefined): void {
    if (prompt === undefined && !this.#isHoldTold) return;
    this.#isHoldTold = prompt !== undefined;
    this.emit({ kind: 'prompt', prompt: prompt ?? { code: 'done', position: 'forward', sentence: '' } });
  }

  async #motorOptions(): Promise<Partial<DriveOptions>> {
    const { coilOptions, feedSeen, findMisreadCurrent, findFed, findShort, findUnread, isCoilUnread } =
      await import('./find-short.js');
    return {
      ...coilOptions(this.unit),
      feedSeen: (soFar) => feedSeen(this.unit, soFar),
      ask: (id) => this.#ask(id),
      findMisreadCurrent: (soFar) => findMisreadCurrent(this.unit, soFar),
      findShort: (soFar) => findShort(this.unit, soFar),
      findFed: (soFar) => findFed(this.unit, soFar),
      isCoilUnread: (soFar) => isCoilUnread(this.unit, soFar),
      findUnread: (soFar) => findUnread(this.unit, soFar),
      isFedOn: () => fedOnSentence(this.#rest.drivenA),
      isOver: (step: PlannedStep) =>
        this.#held.isOver ||
        this.#coil.isOver ||
        (step.untilProtectorOpens === true && (this.#protector.isOver || this.#hold?.isOver === true)),
    };
  }

  /** A relay by itself: what is sampled fast, what is asked of a person, and what may follow on what was seen. */
  async #relayOptions(): Promise<Partial<DriveOptions>> {
    const { mayNotFollow, SUPPLY_TURNED } = await import('./relay-hands.js');
    const ramp = new GoneWatch(SUPPLY_TURNED);
    await this.connection.rig.setScan?.(RELAY_SCAN);
    return {
      ask: async (id) => {
        const isDone = await this.#ask(id);
        if (isDone) ramp.start();
        return isDone;
      },
      isOver: (step) => isRampAsk(step.ask) && ramp.isOver,
      mayNotFollow: (next, soFar) => mayNotFollow(this.unit, next, soFar),
      onSamples: (block) => ramp.add(block),
    };
  }

  #handOptions(): HandOptions {
    const { unit, connection } = this;
    return {
      longestHoldS: Math.min(connection.rig.facts.longestHoldS, unit.motor.longestHoldS),
      polarity: unit.style.polarity,
      names: unit.unit.switchNames,
      onPrompt: (prompt) => {
        this.emit({ kind: 'prompt', prompt });
        connection.hear?.(prompt);
      },
    };
  }

  /** Asks the person at the bench and waits; at a virtual one nobody has to press anything. */
  async #ask(id: string): Promise<boolean> {
    const { unit, connection, tools, emit } = this;
    const sentence = unit.style.asks[id]?.sentence ?? (id === HOLD_ROTOR ? HOLD_ROTOR_SENTENCE : id);
    const done = connection.hear ? '' : ' Press Enter when it is done.';
    const prompt: HandPrompt = { code: 'ask', position: 'forward', sentence: `${sentence}${done}`, ask: id };
    if (!connection.hear && !tools.confirm) return false;
    emit({ kind: 'prompt', prompt });
    if (connection.hear) {
      connection.hear(prompt);
      await connection.rig.clock.sleep(ASK_SHOWN_S);
    } else await tools.confirm?.(prompt);
    emit({ kind: 'prompt', prompt: { ...prompt, code: 'done', sentence: '' } });
    return true;
  }
}

function fedOnSentence(drivenA: number | undefined): string | undefined {
  if (drivenA === undefined) return undefined;
  const lead = drivenA > 0 ? 'A' : 'B';
  return `Lead ${lead} goes on being fed at rest: ${amount(Math.abs(drivenA), 'A', 1)} flows with nothing thrown; the feed was switched off.`;
}
