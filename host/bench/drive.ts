// Drives one plan on one rig and gathers what it sampled. Whatever happens, it ends with all outputs off.

import { type Capture, CaptureBuilder, type Feed } from '../capture/index.js';
import { known } from '../fields/index.js';
import { LEAD_IN_S } from '../profile/index.js';
import type { Rig, RigEvent } from '../rig/index.js';
import { amount } from '../tell/index.js';
import { HandThrower } from './by-hand.js';
import type { DriveOptions, DriveResult } from './drive-options.js';
import { HaltWatch } from './halt-watch.js';
import type { PlannedStep } from './planned.js';
import { arm, makeReady } from './ready-rig.js';
import {
  BIT_STUCK,
  COIL_UNREAD,
  LIMITER_BRIDGED,
  NO_FULL_COIL_FEED,
  NO_FULL_FEED,
  NO_LIMITED_FEED,
  SENSE_LOST,
} from './rig-fault.js';
import { ShownWatch } from './shown-watch.js';
import { WaitCut } from './wait-cut.js';

/** The board may hold a throw this much longer than the step before it releases by itself. */
const HOLD_MARGIN_S = 0.25;
/** Samples still on their way when the last step ends. */
const TAIL_S = 0.03;
/** So much of it decides whether the rig reads what it can. */
const WHILE_OFF_S = 0.03;
const MOST_WAITS = 30;
const OVER_POLL_S = 0.05;
/** Enough to see what flows with everything off. */
const COIL_LEAD_IN_S = 0.06;
/** Contacts close and bounce in a fraction of it; the sense's own filter is quicker still (RIG.md, section 5.8). */
const BUS_SETTLES_S = 0.06;

/**
 * Ends normally, also when the board stopped or the link was lost (see `halt`); throws only when the rig refuses a
 * command for another reason, after outputs off.
 */
export const drivePlan = (
  rig: Rig,
  steps: readonly PlannedStep[],
  options: DriveOptions,
): Promise<DriveResult> => new Drive(rig, steps, options).run();

/** One plan on its way: what it has sampled, what feed is on, and why what is left of it may not follow. */
class Drive {
  #builder: CaptureBuilder;
  /** What the coils showed through their limiter, where that was asked. */
  #stage: Capture | undefined;
  #isStaging = false;
  /** What the rig's own sense said of each feed that came on. */
  readonly #busSeen: Partial<Record<Feed, boolean>> = {};
  readonly #shown = new ShownWatch();
  readonly #halts = new HaltWatch();
  readonly #waits: WaitCut;
  /** Where a person throws. */
  #hand: HandThrower | undefined;
  #feed: Feed = 'off';
  /** Limited steps were made since somebody looked for a short. */
  #isUndecided = false;
  /** Kinds of step, by position and feed, that were asked about. */
  readonly #askedAbout = new Set<string>();
  #short: DriveResult['short'];
  #fed: DriveResult['fed'];
  #leftOut: string | undefined;

  constructor(
    readonly rig: Rig,
    readonly steps: readonly PlannedStep[],
    readonly options: DriveOptions,
  ) {
    const { sampleRateHz } = rig.facts;
    this.#builder = new CaptureBuilder(sampleRateHz);
    this.#waits = new WaitCut(1 / sampleRateHz);
    this.#hand = this.#newHand();
  }

  #newHand(): HandThrower | undefined {
    const { byHand } = this.options;
    return byHand && new HandThrower(this.rig, this.#halts, byHand);
  }

  async run(): Promise<DriveResult> {
    const { rig, options } = this;
    const unsubscribe = rig.onEvent((event) => this.#hear(event));
    const onAbort = (): void => {
      void rig.allOff();
      this.#halts.raise({ reason: 'host-request', atS: this.#builder.endS });
    };
    options.signal.addEventListener('abort', onAbort, { once: true });
    if (options.signal.aborted) onAbort();
    try {
      await this.#halts.orThrow(() => this.#drive());
      this.#refuseStuckBits();
    } finally {
      options.signal.removeEventListener('abort', onAbort);
      await this.#end();
      unsubscribe();
    }
    return this.#result();
  }

  #hear(event: RigEvent): void {
    const builder = this.#builder;
    switch (event.kind) {
      case 'samples': {
        this.#shown.add(event.block, this.rig.clock.nowS());
        if (this.#isStaging) {
          builder.add(event.block);
          this.#hand?.add(event.block);
          return;
        }
        const block = this.#waits.take(event.block);
        if (block === undefined) return;
        builder.add(block);
        this.#hand?.add(block);
        this.options.onSamples(block);
        return;
      }
      case 'gap':
        if (this.#waits.isHeld) return;
        builder.addGap({
          fromS: this.#waits.shifted(event.fromS),
          toS: this.#waits.shifted(event.toS),
          reason: `${event.lostFrames} frames lost on the link`,
        });
        return;
      case 'stopped':
        this.#halts.raise(known({ reason: event.reason, sentence: event.sentence, atS: builder.endS }));
        return;
      case 'lost': {
        const { sentence, advice } = event;
        this.#halts.raise(known({ reason: 'link-lost' as const, sentence, advice, atS: builder.endS }));
      }
    }
  }

  async #drive(): Promise<void> {
    await makeReady(this.rig, this.options.trip);
    if (await this.#isCoilFeedShorted()) return;
    await this.#startStream();
    await this.#lookWhileOff(LEAD_IN_S);
    await this.#arm();
    for (const [index, step] of this.steps.entries()) {
      if (this.#halts.halt) return;
      if (!(await this.#make(index, step))) break;
    }
    await this.#pause(TAIL_S);
  }

  /** @throws RigFault where the samples so far cannot be what flowed */
  #refuseStuckBits(): void {
    const [stuck] = this.rig.stuckBits?.() ?? [];
    if (stuck !== undefined) throw BIT_STUCK(stuck);
  }

  async #startStream(): Promise<void> {
    this.#shown.restart();
    await this.rig.startStream();
  }

  /** Makes one step, or leaves it out; false when what follows is left out too. */
  async #make(index: number, step: PlannedStep): Promise<boolean> {
    if (step.ask !== undefined && !(await this.#isDone(step.ask))) return false;
    if (await this.#isForbidden(step)) return false;
    if (step.feed === 'full') this.#shown.refuseOtherClock();
    if (step.feed === 'full' && this.#isUndecided) {
      await this.#lookForShort(this.steps[index - 1]);
      this.#refuseWithoutSelfTest();
    }
    if (this.#leftOut !== undefined) return false;
    if ((this.#short || this.#fed) && step.feed === 'full') return true;
    if (step.feed === 'full' && !(await this.#isHandAtRest())) return false;
    if (step.feed === 'limited') this.#isUndecided = true;
    if (this.#hand && step.position !== 'rest') {
      await this.#apply({ ...step, position: 'rest' });
      this.options.onStep(index, step, this.#builder.endS);
      // Nothing more can be asked of a switch that stays thrown.
      return this.#hand.throwOnce(step);
    }
    await this.#apply(step);
    this.options.onStep(index, step, this.#builder.endS);
    const fromS = this.rig.clock.nowS();
    await this.#shown.refuseUnshown(step, (durationS) => this.#goesOn(durationS));
    await Promise.all([this.#hold(step, fromS), this.#lookAtBus(step)]);
    // Only a sense that has seen the limited feed come can miss the full one.
    if (step.feed === 'full' && this.#busSeen.limited === true && this.#busSeen.full === false)
      throw NO_FULL_FEED();
    return this.#isLetGo(step);
  }

  /** No full feed meets a switch that somebody still holds: where a person throws, it is seen through the limited feed before. */
  async #isHandAtRest(): Promise<boolean> {
    if (!this.#hand || this.#feed === 'full') return true;
    await this.#apply({ position: 'rest', feed: 'limited', durationS: 0 });
    if (await this.#hand.isBackAtRest()) return true;
    this.#leftOut = 'The switch was still thrown; the full feed was kept off, and what follows was left out.';
    return false;
  }

  /** Ends the plan, everything off, when what ought to rest goes on being driven through the full feed. */
  async #isLetGo(step: PlannedStep): Promise<boolean> {
    const sentence = step.feed === 'full' ? this.options.isFedOn?.() : undefined;
    if (sentence === undefined) return true;
    await this.rig.allOff();
    this.#feed = 'off';
    this.#fed = { reason: 'fed-at-rest', sentence, atS: this.#builder.endS };
    return false;
  }

  /** Asks a person to do something, outputs off; false when it was not done, and why is noted. */
  async #isDone(ask: string): Promise<boolean> {
    await this.rig.allOff();
    this.#feed = 'off';
    await this.#pause(TAIL_S);
    this.#waits.hold();
    const isDone = await this.#halts.wait(this.options.ask?.(ask) ?? Promise.resolve(false));
    if (this.#halts.halt) return false;
    if (isDone !== true) {
      this.#leftOut = 'Nobody could be asked for the next step; it and what follows were left out.';
      return false;
    }
    this.#waits.resume();
    await this.#arm();
    return true;
  }

  /** @throws RigFault for readings that no unit can cause */
  async #lookWhileOff(durationS: number): Promise<void> {
    await this.#pause(durationS);
    // A busy machine hands samples on late.
    const wanted = WHILE_OFF_S * this.rig.facts.sampleRateHz;
    for (let tries = 0; tries < MOST_WAITS && this.#builder.length < wanted && !this.#halts.halt; tries++)
      await this.#pause(TAIL_S);
    if (this.#halts.halt) return;
    this.#shown.refuseOn();
    const fault = this.options.findMisread?.(this.#soFar());
    if (fault !== undefined) throw fault;
  }

  /** The coils' straight feed goes with it: what may be shorted has been asked before. */
  async #arm(): Promise<void> {
    await arm(this.rig);
    await this.rig.setCoilFeed?.('full');
  }

  /** Asks the coils through their limiter; true ends the run, its samples those of this stage. */
  async #isCoilFeedShorted(): Promise<boolean> {
    const { rig, options } = this;
    if (!rig.setCoilFeed || !options.coilStage) return false;
    this.#isStaging = true;
    await this.#startStream();
    await this.#lookWhileOff(COIL_LEAD_IN_S);
    await arm(this.rig);
    for (const step of options.coilStage) {
      await this.#ask(step);
      if (this.#halts.halt) return true;
      // The rig's own throws are asked to the end although shorted: each tells more of which coil it is. A person is spared them.
      if (this.#hand && options.findCoilShort?.(this.#soFar())) break;
    }
    await this.#apply({ position: 'rest', feed: 'off', durationS: 0 });
    await this.#pause(TAIL_S);
    if (this.#halts.halt) return true;
    this.#stage = this.#soFar();
    const found = options.findCoilShort?.(this.#stage);
    this.#fed = found && { ...found, atS: this.#builder.endS };
    if (found !== undefined) return true;
    await rig.allOff();
    this.#feed = 'off';
    await rig.stopStream();
    this.#isStaging = false;
    this.#builder = new CaptureBuilder(rig.facts.sampleRateHz);
    this.#hand = this.#newHand();
    return false;
  }

  /** One step of the coils' stage, by the rig or by a person. */
  async #ask(step: PlannedStep): Promise<void> {
    const isByHand = this.#hand && step.position !== 'rest';
    await this.#apply(isByHand ? { ...step, position: 'rest' } : step);
    if (isByHand) await this.#hand?.throwOnce(step);
    await this.#pause(isByHand ? TAIL_S : step.durationS);
  }

  /** Whether what was seen keeps this kind of step from following; why is noted. */
  async #isForbidden(step: PlannedStep): Promise<boolean> {
    const kind = `${step.position} ${step.feed}`;
    if (!this.options.mayNotFollow || this.#askedAbout.has(kind)) return false;
    this.#askedAbout.add(kind);
    // The samples of what went before are still under way.
    await this.#pause(TAIL_S);
    this.#leftOut = this.options.mayNotFollow(step, this.#soFar());
    return this.#leftOut !== undefined;
  }

  /** Before the full feed follows on limited steps: a short keeps it off, and so does what is driven at rest already. */
  async #lookForShort(before: PlannedStep | undefined): Promise<void> {
    // The samples of a throw that has just ended are still under way.
    if (before?.position !== 'rest') await this.#pause(TAIL_S);
    this.#isUndecided = false;
    this.#refuseStuckBits();
    const soFar = this.#soFar();
    const misread = this.options.findMisreadCurrent?.(soFar);
    if (misread !== undefined) throw misread;
    const reading = this.options.findShort?.(soFar);
    const fed = reading ? undefined : this.options.findFed?.(soFar);
    if (this.#short || this.#fed) return;
    if (!reading && !fed) this.#leftOut = this.options.findUnread?.(soFar);
    if (reading) this.#short = { reading, atS: this.#builder.endS };
    else if (fed) this.#fed = { ...fed, atS: this.#builder.endS };
    else return;
    await this.#apply({ position: 'rest', feed: 'off', durationS: 0 });
  }

  /** Once for each feed, at rest, its contact closed: what the rig's own sense says. */
  async #lookAtBus({ feed, position, durationS }: PlannedStep): Promise<void> {
    const { rig } = this;
    if (!rig.feedBusIsLive || feed === 'off' || position !== 'rest' || feed in this.#busSeen) return;
    await this.#pause(Math.min(BUS_SETTLES_S, durationS));
    if (!this.#halts.halt) this.#busSeen[feed] = await rig.feedBusIsLive();
  }

  /** @throws RigFault where the limited steps showed that the rig itself is not as it should be. */
  #refuseWithoutSelfTest(): void {
    // A short pulls the feed down below what the sense takes for live, and is the unit's.
    if (this.#short || this.#fed || this.#leftOut !== undefined) return;
    const soFar = this.#soFar();
    if (this.#busSeen.limited === false) {
      const seen = this.options.feedSeen?.(soFar) ?? 'loaded';
      if (seen !== 'loaded') throw seen === 'came' ? SENSE_LOST() : NO_LIMITED_FEED();
    }
    if (this.options.isCoilUnread?.(soFar)) throw COIL_UNREAD();
    const stuck = this.#stage && this.options.findCoilSwitch?.(this.#stage, soFar);
    if (stuck !== undefined) throw stuck === 'bridged' ? LIMITER_BRIDGED() : NO_FULL_COIL_FEED();
  }

  async #apply({ position, feed, durationS }: PlannedStep): Promise<void> {
    const { rig } = this;
    // A release comes before the feed, so that no throw meets a stronger feed than its own step's.
    if (position === 'rest') await rig.setPosition(position, 0);
    if (feed !== this.#feed) await rig.setFeed(feed);
    this.#feed = feed;
    if (position !== 'rest') await rig.setPosition(position, durationS + HOLD_MARGIN_S);
  }

  /** Until the step's time is over, or what it was for. */
  async #hold(step: PlannedStep, fromS: number): Promise<void> {
    const { clock } = this.rig;
    const untilS = fromS + step.durationS;
    for (let leftS = untilS - clock.nowS(); leftS > 0 && !this.#halts.halt; leftS = untilS - clock.nowS()) {
      const isAsked = this.options.isOver !== undefined || this.options.isFedOn !== undefined;
      await this.#pause(isAsked ? Math.min(leftS, OVER_POLL_S) : leftS);
      if (this.options.isOver?.(step) || this.options.isFedOn?.() !== undefined) return;
    }
  }

  async #end(): Promise<void> {
    const { rig } = this;
    await quietly(() => rig.allOff());
    const { halt } = this.#halts;
    // The stop itself is worth seeing: the samples after a trip show the current fall.
    if (halt !== undefined && halt.reason !== 'link-lost') await rig.clock.sleep(TAIL_S);
    await quietly(() => rig.stopStream());
  }

  #result(): DriveResult {
    const { halt } = this.#halts;
    const { cutS } = this.#waits;
    if (cutS > 0)
      this.#builder.addNote(`${amount(cutS, 's', 0)} in which a person was waited for were left out.`);
    if (this.#leftOut !== undefined) this.#builder.addNote(this.#leftOut);
    const [short, fed, leftOut] = [this.#short, this.#fed, this.#leftOut];
    if (fed !== undefined) this.#builder.addNote(fed.sentence);
    return known({ capture: this.#soFar(), halt, short, fed, leftOut });
  }

  #soFar(): Capture {
    const capture = this.#builder.build();
    const seen = this.#hand ? this.#hand.positioned(capture) : capture;
    return this.#isStaging ? { ...seen, coilFeed: 'limited' } : seen;
  }

  /** Sleeps, but no longer than to the first halt. */
  async #pause(durationS: number): Promise<void> {
    await this.#halts.wait(this.rig.clock.sleep(durationS));
  }

  /** The same; false once there is a halt. */
  async #goesOn(durationS: number): Promise<boolean> {
    await this.#pause(durationS);
    return this.#halts.halt === undefined;
  }
}

async function quietly(work: () => Promise<void>): Promise<void> {
  try {
    await work();
  } catch {
    // The link is gone; the board's own silence stop ends it.
  }
}
