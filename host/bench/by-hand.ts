// A throw made by a person on the harness's own switch: asked for, awaited, held, let go. The readings tell when; the
// person tells nothing. The board's own longest hold runs while the full feed is on a thrown circuit.

import { sampleAt } from '../arrays/index.js';
import type { Capture, Position } from '../capture/index.js';
import { known } from '../fields/index.js';
import type { Rig, SampleBlock } from '../rig/index.js';
import { milli } from '../tell/index.js';
import { HandRest } from './hand-rest.js';
import { HandWatch } from './hand-watch.js';
import type { HandPrompt, HandPromptCode, PlannedStep } from './planned.js';

export interface HandOptions {
  /** Longest that a throw may be held with the full feed, s. */
  longestHoldS: number;
  /** What each throw does to the motor in a good unit. */
  polarity: Record<'forward' | 'reverse', 'positive' | 'negative' | 'none'>;
  /** What the two sides of the switch are called, such as OPEN; forward and reverse where nobody says. */
  names?: Record<'forward' | 'reverse', string> | undefined;
  onPrompt(prompt: HandPrompt): void;
}

/** How long a person is waited for, and asked again; 0.3 to 2 s is usual (common practice, no source). */
const PATIENCE_S = 8;
const LET_GO_PATIENCE_S = 15;
/** The host turns the feed down this much before the board would stop the run. */
const BEFORE_BOARD_S = 0.4;
/** Contact and command are never the same instant on a rig that throws by itself; nor are they here. */
const BEFORE_CONTACT_S = 0.005;
/** After a mistake the leads come to rest before the next try. */
const SETTLE_S = 0.6;
/** Samples of a hand that has just moved are still under way. */
const REST_SEEN_S = 0.06;
/** Small motors have stopped by then (common practice, no source). */
const COASTS_S = 2;
/** A drive is told from the first contact, its bounce over. */
const WAY_KNOWN_S = 0.06;
const WORTH_A_WORD_S = 0.6;
const POLL_S = 0.01;
/** Of the planned hold; a person cannot be asked to the millisecond. */
const HELD_ENOUGH = 0.9;

interface Waiter {
  readonly halt: unknown;
  wait(until: Promise<void>): Promise<void>;
}
type Way = 'forward' | 'reverse';

export class HandThrower {
  readonly #watch = new HandWatch();
  readonly #rest = new HandRest();
  readonly #spans: { fromS: number; toS: number; position: Way }[] = [];
  readonly #notes: string[] = [];
  /** Ways for which nothing was ever seen: not worth a second wait. */
  readonly #unseen = new Set<Way>();
  /** Ways that went the other way round again when asked for again: so they are, for hand or harness. */
  readonly #otherWay = new Set<Way>();

  constructor(
    readonly rig: Rig,
    readonly waiter: Waiter,
    readonly options: HandOptions,
  ) {}

  add(block: SampleBlock): void {
    this.#watch.add(block);
    this.#rest.add(block);
  }

  /** The capture with each throw put where the readings showed it, and rest everywhere else. */
  positioned(capture: Capture): Capture {
    const position = new Array<Position>(capture.timeS.length).fill('rest');
    for (const span of this.#spans) {
      for (let i = 0; i < position.length; i++) {
        const timeS = sampleAt(capture.timeS, i);
        if (timeS >= span.fromS && timeS < span.toS) position[i] = span.position;
      }
    }
    const told = 'Thrown by hand: positions are what was asked for, from where the readings showed it.';
    return { ...capture, position, notes: [...capture.notes, told, ...this.#notes] };
  }

  /**
   * Asked before the feed gets stronger: whether the switch is back where it was before the first throw. A motor coasts out,
   * then the person is asked; false when it never came back.
   */
  async isBackAtRest(): Promise<boolean> {
    const isBack = (): boolean => this.#rest.isBack;
    await this.#sleep(REST_SEEN_S);
    await this.#until(isBack, COASTS_S);
    if (this.waiter.halt || isBack()) return true;
    const prompt = { code: 'let-go' as const, position: 'forward' as const };
    this.options.onPrompt({ ...prompt, sentence: 'Let go of the switch: the full feed comes next.' });
    await this.#until(isBack, LET_GO_PATIENCE_S);
    this.options.onPrompt({ ...prompt, code: 'done', sentence: '' });
    return this.waiter.halt !== undefined || isBack();
  }

  /** Asks for one throw until it is made, or given up; false when the switch was never let go again. */
  async throwOnce(step: PlannedStep): Promise<boolean> {
    const way = step.position as Way;
    const mistakes = new Set<HandPromptCode>();
    for (let ask: HandPromptCode = 'throw'; ; ) {
      this.#watch.rest();
      // The rest is read before the hand can move: nobody answers within this.
      await this.#sleep(0.1);
      this.#rest.keep();
      this.#prompt(ask, way, step);
      await this.#until(() => this.#watch.thrownAtS !== undefined, PATIENCE_S);
      if (this.waiter.halt) return true;
      const { thrownAtS } = this.#watch;
      if (thrownAtS === undefined) {
        const isLast = mistakes.has('nothing-seen') || this.#unseen.has(way);
        mistakes.add('nothing-seen');
        if (!isLast) {
          ask = 'nothing-seen';
          continue;
        }
        this.#goOn(way, step);
        return true;
      }
      const mistake = await this.#held(way, step, thrownAtS, mistakes);
      if (this.waiter.halt) return true;
      if (mistake === 'held-too-long') return false;
      if (mistake === undefined) return true;
      mistakes.add(mistake);
      ask = mistake;
      await this.#sleep(SETTLE_S);
      if (this.waiter.halt) return true;
    }
  }

  async #held(
    way: Way,
    step: PlannedStep,
    thrownAtS: number,
    mistakes: ReadonlySet<HandPromptCode>,
  ): Promise<HandPromptCode | undefined> {
    const watch = this.#watch;
    const isFull = step.feed === 'full';
    const endS = this.rig.clock.nowS() + this.options.longestHoldS - BEFORE_BOARD_S;
    // The rig's throw works nothing here; its longest hold is the board's own limit on the feed.
    if (isFull) await this.rig.setPosition(way, this.options.longestHoldS);
    await this.#sleep(Math.max(0, thrownAtS + WAY_KNOWN_S - watch.endS));
    const wanted = { positive: 1, negative: -1, none: 0 }[this.options.polarity[way]];
    const isOther = wanted !== 0 && watch.way === -wanted;
    if (isOther && !mistakes.has('other-way') && !this.#otherWay.has(way)) {
      this.#notes.push(`Asked for ${way}, the motor was driven the other way; asked again.`);
      return (await this.#letGo('other-way', way, step, endS)) ? 'other-way' : 'held-too-long';
    }
    // No word that is gone before it is read.
    if (step.durationS >= WORTH_A_WORD_S) this.#prompt('hold', way, step);
    const enoughS = HELD_ENOUGH * step.durationS;
    await this.#until(
      () => watch.releasedAtS !== undefined || watch.endS >= thrownAtS + step.durationS,
      PATIENCE_S,
    );
    const heldS = (watch.releasedAtS ?? watch.endS) - thrownAtS;
    if (!this.waiter.halt && heldS < enoughS && !mistakes.has('too-short')) {
      this.#notes.push(`Asked for ${way}, the switch was held for ${milli(heldS, 's')} only; asked again.`);
      if (isFull) await this.rig.setPosition('rest', 0);
      return 'too-short';
    }
    const isLetGo = await this.#letGo('let-go', way, step, endS);
    this.#spans.push({
      fromS: thrownAtS - BEFORE_CONTACT_S,
      toS: (watch.releasedAtS ?? Number.POSITIVE_INFINITY) - BEFORE_CONTACT_S,
      position: way,
    });
    if (isOther) this.#otherWay.add(way);
    this.#prompt('done', way, step);
    return isLetGo ? undefined : 'held-too-long';
  }

  /** Waits for the release; before the board's limit the feed goes down to the limited one. */
  async #letGo(code: 'let-go' | 'other-way', way: Way, step: PlannedStep, endS: number): Promise<boolean> {
    const watch = this.#watch;
    const isGone = (): boolean => watch.releasedAtS !== undefined;
    const { clock } = this.rig;
    if (!isGone()) this.#prompt(code === 'let-go' ? code : 'let-go', way, step, code === 'other-way');
    await this.#until(isGone, step.feed === 'full' ? endS - clock.nowS() : LET_GO_PATIENCE_S);
    if (this.waiter.halt) return true;
    if (!isGone() && step.feed === 'full') {
      await this.rig.setFeed('limited');
      await this.rig.setPosition('rest', 0);
      this.#prompt('held-too-long', way, step);
      await this.#until(isGone, LET_GO_PATIENCE_S);
      if (this.waiter.halt || !isGone()) return false;
      this.#notes.push(
        `The switch was held ${way} for too long: the feed was turned down before it was let go.`,
      );
      await this.rig.setFeed('full');
    } else if (step.feed === 'full') await this.rig.setPosition('rest', 0);
    return isGone();
  }

  /** Nothing to be seen: the last part of the wait stands for the throw, as it would look if the switch was thrown. */
  #goOn(way: Way, step: PlannedStep): void {
    const { endS } = this.#watch;
    this.#unseen.add(way);
    this.#spans.push({ fromS: endS - step.durationS, toS: endS, position: way });
    this.#notes.push(`Asked for ${way}, nothing was seen to change; went on.`);
    this.#prompt('go-on', way, step);
  }

  #prompt(code: HandPromptCode, position: Way, step: PlannedStep, wasOther = false): void {
    const name = this.options.names?.[position];
    const hold = `Throw the switch ${name === undefined ? position : `to ${name}`} and hold it`;
    const isLimited = step.feed === 'limited';
    const sentence = SENTENCES[code]({ hold, side: name ?? position, isLimited, wasOther });
    this.options.onPrompt(known({ code, position, sentence, side: name }));
  }

  async #until(isTrue: () => boolean, withinS: number): Promise<void> {
    const untilS = this.rig.clock.nowS() + withinS;
    while (!this.waiter.halt && !isTrue() && this.rig.clock.nowS() < untilS) await this.#sleep(POLL_S);
  }

  async #sleep(durationS: number): Promise<void> {
    await this.waiter.wait(this.rig.clock.sleep(durationS));
  }
}

interface PromptWords {
  hold: string;
  /** What the side to be thrown is called. */
  side: string;
  isLimited: boolean;
  wasOther: boolean;
}

const SENTENCES: Record<HandPromptCode, (words: PromptWords) => string> = {
  throw: ({ hold, isLimited }) => `${hold}. ${isLimited ? 'Only 1 A can flow.' : 'Full feed this time.'}`,
  'nothing-seen': ({ hold }) => `Nothing has moved yet. ${hold}.`,
  'other-way': ({ hold, side }) => `Make sure which side is ${side}. ${hold}.`,
  'too-short': ({ hold }) => `That was too short. ${hold} until you are told to let go.`,
  hold: () => 'Seen. Keep holding.',
  'let-go': ({ wasOther }) => `${wasOther ? 'That went the other way round. ' : ''}Let go of the switch.`,
  'held-too-long': () => 'Still thrown, so the feed is down to 1 A. Let go of the switch.',
  'go-on': ({ side }) => `Nothing moved for ${side}. Let go of the switch; the test goes on without it.`,
  ask: () => '',
  way: () => '',
  done: () => '',
};
