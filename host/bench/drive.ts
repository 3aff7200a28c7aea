// Drives one plan on one rig and gathers what it sampled. Whatever happens, it ends with all outputs off.

import { type Capture, CaptureBuilder } from '../capture/index.js';
import type { LimitedReading } from '../measure/index.js';
import type { RigProfile } from '../profile/index.js';
import type { Rig, SampleBlock, StopReason } from '../rig/index.js';
import { type HandOptions, HandThrower } from './by-hand.js';
import type { PlannedStep } from './events.js';

/** Everything off before the feed comes on, so that offsets and a live lead are seen. */
const LEAD_IN_S = 0.2;
/** The board may hold a throw this much longer than the step before it releases by itself. */
const HOLD_MARGIN_S = 0.25;
/** Samples still on their way when the last step ends. */
const TAIL_S = 0.03;

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
  const soFar = (): Capture => (hand ? hand.positioned(builder.build()) : builder.build());
  const unsubscribe = rig.onEvent((event) => {
    if (event.kind === 'samples') {
      builder.add(event.block);
      hand?.add(event.block);
      options.onSamples(event.block);
    } else if (event.kind === 'gap') {
      builder.addGap({
        fromS: event.fromS,
        toS: event.toS,
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
      for (const [index, step] of steps.entries()) {
        if (halts.halt) return;
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
        await halts.wait(rig.clock.sleep(step.durationS));
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
  const capture = soFar();
  return {
    capture,
    ...(halts.halt === undefined ? {} : { halt: halts.halt }),
    ...(short === undefined ? {} : { short }),
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
  async wait(until: Promise<void>): Promise<void> {
    await Promise.race([until, this.#raised]);
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
