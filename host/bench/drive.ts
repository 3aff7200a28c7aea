// Drives one plan on one rig and gathers what it sampled. Whatever happens, it ends with all outputs off.

import { type Capture, CaptureBuilder } from '../capture/index.js';
import type { LimitedReading } from '../measure/index.js';
import type { RigProfile } from '../profile/index.js';
import type { Rig, SampleBlock, StopReason } from '../rig/index.js';
import { type HandOptions, HandThrower } from './by-hand.js';
import type { PlannedStep } from './events.js';
import { WaitCut } from './wait-cut.js';

/** Everything off before the feed comes on, so that offsets and a live lead are seen. */
const LEAD_IN_S = 0.2;
/** The board may hold a throw this much longer than the step before it releases by itself. */
const HOLD_MARGIN_S = 0.25;
/** Samples still on their way when the last step ends. */
const TAIL_S = 0.03;
const OVER_POLL_S = 0.05;

export interface Halt {
  reason: StopReason;
  /** The board's or the link's own, more exact word, and what to do about it. */
  sentence?: string;
  advice?: string;
  /** Board time of the last sample seen. */
  atS: number;
}

export interface DriveResult {
  capture: Capture;
  /** Absent when the plan ran to its end. */
  halt?: Halt;
  /** Why the rest of the plan was left out, when neither the board nor a short ended it. */
  leftOut?: string;
  /** The limited feed found a short: the steps with the full feed were left out. */
  short?: { reading: LimitedReading; atS: number };
}

export interface DriveOptions {
  trip: RigProfile['trip'];
  signal: AbortSignal;
  onStep(index: number, step: PlannedStep, atS: number): void;
  onSamples(block: SampleBlock): void;
  /** The unit's own switch is thrown by a person, who is asked; the rig only feeds. */
  byHand?: HandOptions;
  /** A step waits for a person: outputs are off until it resolves; false leaves out the rest of the plan. */
  ask?(id: string): Promise<boolean>;
  /** A step may end before its time. */
  isOver?(step: PlannedStep): boolean;
  /** Asked before each throw and each full feed; a sentence why not leaves out the rest of the plan. */
  mayNotFollow?(next: PlannedStep, soFar: Capture): string | undefined;
  /** Asked before the full feed follows on limited steps; a short keeps the full feed off for the rest of the plan. */
  findShort?(soFar: Capture): LimitedReading | undefined;
}

/**
 * Ends normally, also when the board stopped or the link was lost (see `halt`); throws only when the rig refuses a
 * command for another reason, after outputs off.
 */
export async function drivePlan(
  rig: Rig,
  steps: readonly PlannedStep[],
  options: DriveOptions,
): Promise<DriveResult> {
  const builder = new CaptureBuilder(rig.facts.sampleRateHz);
  const halts = new HaltWatch();
  const hand = options.byHand && new HandThrower(rig, halts, options.byHand);
  const waits = new WaitCut(1 / rig.facts.sampleRateHz);
  const soFar = (): Capture => (hand ? hand.positioned(builder.build()) : builder.build());
  const unsubscribe = rig.onEvent((event) => {
    if (event.kind === 'samples') {
      const block = waits.take(event.block);
      if (block === undefined) return;
      builder.add(block);
      hand?.add(block);
      options.onSamples(block);
    } else if (event.kind === 'gap') {
      if (waits.isHeld) return;
      builder.addGap({
        fromS: waits.shifted(event.fromS),
        toS: waits.shifted(event.toS),
        reason: `${event.lostFrames} frames lost on the link`,
      });
    } else if (event.kind === 'stopped') {
      const said = event.sentence === undefined ? {} : { sentence: event.sentence };
      halts.raise({ reason: event.reason, ...said, atS: builder.endS });
    } else {
      const advice = event.advice === undefined ? {} : { advice: event.advice };
      halts.raise({ reason: 'link-lost', sentence: event.sentence, ...advice, atS: builder.endS });
    }
  });
  const onAbort = (): void => {
    void rig.allOff();
    halts.raise({ reason: 'host-request', atS: builder.endS });
  };
  options.signal.addEventListener('abort', onAbort, { once: true });
  if (options.signal.aborted) onAbort();

  let short: DriveResult['short'];
  let leftOut: string | undefined;
  try {
    await halts.orThrow(async () => {
      await rig.clearStop();
      await rig.setTrip(options.trip);
      await rig.startStream();
      await halts.wait(rig.clock.sleep(LEAD_IN_S));
      await rig.arm();
      let feed: PlannedStep['feed'] = 'off';
      let isUndecided = false;
      const apply = async ({ position, feed: wanted, durationS }: PlannedStep): Promise<void> => {
        // A release comes before the feed, so that no throw meets a stronger feed than its own step's.
        if (position === 'rest') await rig.setPosition(position, 0);
        if (wanted !== feed) await rig.setFeed(wanted);
        feed = wanted;
        if (position !== 'rest') await rig.setPosition(position, durationS + HOLD_MARGIN_S);
      };
      const seen = new Set<string>();
      for (const [index, step] of steps.entries()) {
        if (halts.halt) return;
        if (step.ask !== undefined) {
          await rig.allOff();
          feed = 'off';
          await halts.wait(rig.clock.sleep(TAIL_S));
          waits.hold();
          const isDone = await halts.wait(options.ask?.(step.ask) ?? Promise.resolve(false));
          if (halts.halt) return;
          if (isDone !== true) {
            leftOut = 'Nobody could be asked for the next step; it and what follows were left out.';
            break;
          }
          waits.resume();
          await rig.arm();
        }
        const key = `${step.position} ${step.feed}`;
        if (options.mayNotFollow && !seen.has(key)) {
          seen.add(key);
          // The samples of what went before are still under way.
          await halts.wait(rig.clock.sleep(TAIL_S));
          leftOut = options.mayNotFollow(step, soFar());
          if (leftOut !== undefined) break;
        }
        if (step.feed === 'full' && isUndecided) {
          // The samples of a throw that has just ended are still under way.
          if (steps[index - 1]?.position !== 'rest') await halts.wait(rig.clock.sleep(TAIL_S));
          isUndecided = false;
          const reading = options.findShort?.(soFar());
          if (reading && !short) {
            short = { reading, atS: builder.endS };
            await apply({ position: 'rest', feed: 'off', durationS: 0 });
          }
        }
        if (short && step.feed === 'full') continue;
        if (step.feed === 'limited') isUndecided = true;
        if (hand && step.position !== 'rest') {
          await apply({ ...step, position: 'rest' });
          options.onStep(index, step, builder.endS);
          if (await hand.throwOnce(step)) continue;
          // Nothing more can be asked of a switch that stays thrown.
          break;
        }
        await apply(step);
        options.onStep(index, step, builder.endS);
        const untilS = rig.clock.nowS() + step.durationS;
        for (let leftS = step.durationS; leftS > 0 && !halts.halt; leftS = untilS - rig.clock.nowS()) {
          await halts.wait(rig.clock.sleep(options.isOver ? Math.min(leftS, OVER_POLL_S) : leftS));
          if (options.isOver?.(step)) break;
        }
      }
      await halts.wait(rig.clock.sleep(TAIL_S));
    });
  } finally {
    options.signal.removeEventListener('abort', onAbort);
    await quietly(() => rig.allOff());
    // The stop itself is worth seeing: the samples after a trip show the current fall.
    if (halts.halt !== undefined && halts.halt.reason !== 'link-lost') await rig.clock.sleep(TAIL_S);
    await quietly(() => rig.stopStream());
    unsubscribe();
  }
  if (waits.cutS > 0)
    builder.addNote(`${waits.cutS.toFixed(0)} s in which a person was waited for were left out.`);
  if (leftOut !== undefined) builder.addNote(leftOut);
  const capture = soFar();
  return {
    capture,
    ...(halts.halt === undefined ? {} : { halt: halts.halt }),
    ...(short === undefined ? {} : { short }),
    ...(leftOut === undefined ? {} : { leftOut }),
  };
}

/** Remembers the first halt and wakes whoever waits. */
class HaltWatch {
  halt: Halt | undefined;
  readonly #raised: Promise<void>;
  #wake!: () => void;

  constructor() {
    this.#raised = new Promise((resolve) => {
      this.#wake = resolve;
    });
  }

  raise(halt: Halt): void {
    this.halt ??= halt;
    this.#wake();
  }

  /** Waits for `until` or for the first halt. */
  async wait<T>(until: Promise<T>): Promise<T | undefined> {
    const first = await Promise.race([until, this.#raised]);
    return first === undefined ? undefined : first;
  }

  /** A command refused because the board has just stopped is the stop's consequence, not an error of its own. */
  async orThrow(work: () => Promise<void>): Promise<void> {
    try {
      await work();
    } catch (error) {
      // The stop's own message may be a few bytes behind the refusal.
      await Promise.race([this.#raised, new Promise((resolve) => setImmediate(resolve))]);
      if (this.halt === undefined) throw error;
    }
  }
}

async function quietly(work: () => Promise<void>): Promise<void> {
  try {
    await work();
  } catch {
    // The link is gone; the board's own silence stop ends it.
  }
}
