// What the bench screen is in: the reduced events, the gate that the bench waits at, the page that is open.
// It decides nothing about units; Space, Esc and Ctrl-C go straight to `stop`. While anything may be energised no other
// key does a thing. Waits through the clock handed in. Gate, question, rooms and pages are pieces of their own.

import type { After, Before, BenchEvent, Ended, Upcoming, WayQuestion } from '../bench/index.js';
import type { Timer } from '../link/index.js';
import type { BenchControllerOptions } from './bench-controller-options.js';
import { EMPTY_VIEW } from './bench-view-model.js';
import { Following } from './changing.js';
import {
  type Answers,
  afterAnswers,
  BEFORE_ANSWERS,
  canUndo,
  type Gate,
  leftWith,
  probedNow,
} from './gate.js';
import { GateKeeper } from './gate-keeper.js';
import type { KeyTarget } from './key-reader.js';
import type { KeyAction } from './keys.js';
import { Pages } from './pages.js';
import type { ChoiceQuestion, TextQuestion } from './question.js';
import { QuestionAsked } from './question-asked.js';
import { RoomsOpen } from './rooms-open.js';
import type { ScreenState } from './screen-state.js';
import { type WayAnswer, WayAsked } from './way-asked.js';

/** Cautions stay this long where nobody has to change units. */
export const CAUTION_S = 3;
/** A verdict stays this long before the next unit starts by itself. */
export const DWELL_S = 2.5;
/** After the last verdict the table opens by itself. */
const LAST_DWELL_S = 5;
/** A rig that has not ended its run this long after a stop has not confirmed it. */
const CONFIRM_S = 3;
/**
 * An Enter that throws must be a press of its own: a key or pedal held down repeats sooner than this after half a second
 * (common practice of keyboards, no source), and a foot that bounces comes sooner still.
 */
const OWN_PRESS_S = 0.7;

/** Closes with `forced` where the rig was not waited for. */
export class BenchController extends Following<ScreenState, { forced: boolean }> implements KeyTarget {
  readonly #options: BenchControllerOptions;
  readonly #gate: GateKeeper;
  readonly #question: QuestionAsked;
  readonly #way: WayAsked;
  readonly #rooms: RoomsOpen;
  readonly #pages: Pages;
  #confirmation: ((isYes: boolean) => void) | undefined;
  #asksYesOrNo = false;
  #unconfirmed: Timer | undefined;
  #enterS = Number.NEGATIVE_INFINITY;
  #isCautioned: boolean;
  #isRunning = false;
  #isLeaving = false;
  /** The bench goes on by itself no more once a person has stopped it. */
  #isHeld: boolean;
  /** The window shows a page whole: what nobody could see nobody has read. */
  canRead = true;

  constructor(options: BenchControllerOptions) {
    const { where, clock } = options;
    super({
      ...{ bench: EMPTY_VIEW, stop: 'no', ended: false, page: 'bench', selected: 0, scroll: 0 },
      ...(where === undefined ? {} : { where }),
    });
    const now = (): ScreenState => this.state;
    const screen = {
      get state() {
        return now();
      },
      set: (change: Partial<ScreenState>) => this.set(change),
    };
    this.#options = options;
    this.#gate = new GateKeeper(screen, clock);
    this.#question = new QuestionAsked(screen);
    this.#way = new WayAsked(clock);
    this.#rooms = new RoomsOpen(screen, () => this.#isAtWork);
    this.#pages = new Pages(screen, this.traces);
    this.#isCautioned = options.cautionsDue === false;
    this.#isHeld = options.isResumed === true;
  }

  get isTyping(): boolean {
    return this.state.rooms ? this.#rooms.isTyping : this.state.question?.kind === 'text';
  }

  get isRunning(): boolean {
    return this.#isAtWork || this.#rooms.isLive;
  }

  get #isAtWork(): boolean {
    const { bench, ended } = this.state;
    // Asked which way it went, outputs are off: a scanned tag is taken whole, so that none of it is an answer.
    return (
      !ended && !this.#way.stands && (this.#isRunning || bench.units[bench.current]?.state === 'on-bench')
    );
  }

  get isLeaving(): boolean {
    return this.#isLeaving;
  }

  /** Takes the bench's events to their end. A failure of the bench is thrown on after the screen may close. */
  async consume(events: AsyncIterable<BenchEvent>): Promise<void> {
    try {
      for await (const event of events) this.take(event);
    } finally {
      this.#gate.dispose();
      this.#isRunning = false;
      const { units } = this.state.bench;
      const last = units.findLastIndex((unit) => unit.state === 'told');
      this.set({ gate: undefined, question: undefined, ended: true, selected: Math.max(0, last) });
      if (this.#isLeaving) this.close({ forced: false });
      else if (units.length > 1) this.set({ page: 'table' });
    }
  }

  /** Resolves when no room has anything open any more: a rig, a file, a store. */
  settled(): Promise<void> {
    return this.#rooms.settled();
  }

  /** Holds the bench back before an attempt: cautions once, the held rotor each time, then until it is clipped on. */
  async beforeUnit({ tag, attempt, holdsRotor }: Upcoming): Promise<Before> {
    const { startsByItself } = this.#options;
    this.set({ page: 'bench' });
    if (!this.#isCautioned && !(await this.#read('cautions', tag))) return 'end';
    this.#isCautioned = true;
    if (holdsRotor && !(await this.#read('held-rotor', tag))) return 'end';
    // Behind an open room nothing starts.
    if (!startsByItself || attempt > 1 || this.#isHeld || this.state.rooms) {
      const canChange = this.#options.onOtherProfile !== undefined && attempt === 1;
      const gate: Gate = { kind: 'clip-on', tag, attempt, canChange };
      const word = await this.#waitAt(gate, BEFORE_ANSWERS, 'end');
      if (word === 'end') this.#isLeaving = true;
      if (word !== 'go') return word;
    }
    if (this.#isLeaving) return 'end';
    this.#isRunning = true;
    this.set({ stop: 'no', gate: undefined, notice: undefined, page: 'bench', rooms: undefined });
    return 'go';
  }

  /** Holds the bench back after an attempt until it is decided what becomes of the unit. */
  async afterUnit(ended: Ended): Promise<After> {
    this.#isRunning = false;
    this.#unconfirmed?.cancel();
    if (this.state.stop === 'unconfirmed') this.set({ stop: 'asked' });
    const { units } = this.state.bench;
    if (this.#isLeaving) return { goOn: 'end' };
    const next = units[ended.index + 1];
    const goesOn = this.#options.startsByItself && !this.#isHeld && !ended.isStopped && units.length > 1;
    const answers = afterAnswers(ended);
    if (!goesOn) {
      this.#isHeld = this.#isHeld || ended.isStopped;
      const after = await this.#waitAt({ kind: 'after', tag: ended.tag, ended }, answers, { goOn: 'end' });
      // Of a single run nothing is left to look at but what stood there.
      if (after.goOn === 'end' || (after.goOn === 'next' && this.#isSingle())) this.#isLeaving = true;
      return after;
    }
    const byItself: Answers<After> = { ...answers, 'go-on': { goOn: 'next' } };
    const remainingS = next ? DWELL_S : LAST_DWELL_S;
    const gate: Gate = { kind: 'dwell', tag: next?.tag ?? '', ended, remainingS };
    const after = await this.#waitAt(gate, byItself, { goOn: 'end' });
    if (after.goOn === 'end') this.#isLeaving = true;
    return after;
  }

  /** Whether the bench takes one unit and no more. */
  #isSingle(): boolean {
    return this.state.bench.units.length === 1 && this.#options.onScan === undefined;
  }

  /** Whether it was read and not left. Where nobody has to be warned the cautions also go by themselves, unread. */
  async #read(what: 'cautions' | 'held-rotor', tag: string): Promise<boolean> {
    const { startsByItself, isVirtual, onRead } = this.#options;
    const byItself = what === 'cautions' && (startsByItself || isVirtual?.() === true) && !this.#isHeld;
    let isRead = false;
    const gate: Gate = { kind: what, tag, ...(byItself ? { remainingS: CAUTION_S } : {}) };
    const answers: Answers<boolean> = { 'go-on': true, quit: false };
    const word = await this.#waitAt(gate, answers, false, () => {
      isRead = true;
    });
    if (word && isRead) onRead?.(what, tag);
    if (!word) this.#isLeaving = true;
    return word;
  }

  #waitAt<T>(gate: Gate, answers: Answers<T>, left: T, onKey?: () => void): Promise<T> {
    return this.#isLeaving ? Promise.resolve(left) : this.#gate.wait(gate, answers, left, onKey);
  }

  /** Holds the bench until Enter: the person has done what the prompt on the screen asks. */
  confirm(): Promise<void> {
    return this.#confirmed(false).then(() => undefined);
  }

  /** Holds the bench until the question on the screen is answered: y says yes, Enter or n no. A stop says no. */
  choose(): Promise<boolean> {
    return this.#confirmed(true);
  }

  /**
   * Holds the bench, outputs off, until one of the answers is chosen by its key, or the bench may answer by itself. A stop
   * leaves it unanswered, and what was measured is judged all the same.
   */
  whichWay(question: WayQuestion): Promise<WayAnswer> {
    if (this.state.stop !== 'no' || this.#isLeaving) return Promise.resolve(undefined);
    return this.#way.ask(question).finally(() => this.set({ notice: undefined }));
  }

  #confirmed(asksYesOrNo: boolean): Promise<boolean> {
    if (this.state.stop !== 'no') return Promise.resolve(false);
    this.#asksYesOrNo = asksYesOrNo;
    return new Promise((resolve) => {
      this.#confirmation = (isYes) => {
        this.#confirmation = undefined;
        resolve(isYes);
      };
    });
  }

  /** A line of text; undefined when the person leaves. Outputs are off while it is typed. */
  askText(question: Omit<TextQuestion, 'kind' | 'typed'>): Promise<string | 'undo' | undefined> {
    if (this.#isLeaving) return Promise.resolve(undefined);
    return this.#question.ask<string | 'undo'>({ ...question, kind: 'text', typed: '' });
  }

  /** Which of the list, from 0; `back` where that may be; undefined when the person leaves. */
  askChoice(question: Omit<ChoiceQuestion, 'kind'>): Promise<number | 'back' | undefined> {
    if (this.#isLeaving) return Promise.resolve(undefined);
    return this.#question.ask<number | 'back'>({ ...question, kind: 'choice' });
  }

  /** In words, which rig or bench this is. */
  isAt(where: string): void {
    this.set({ where });
  }

  type(character: string): void {
    if (this.state.rooms) this.#rooms.type(character);
    else this.#question.type(character);
  }

  erase(): void {
    if (this.isRunning) return;
    if (this.state.rooms) this.#rooms.erase();
    else this.#question.erase();
  }

  /** A fast run of characters where no text is typed. */
  scan(text: string): void {
    if (this.#way.stands) this.set({ notice: `${text} was scanned: tell first which way it went.` });
    else if (this.isRunning) this.#stop();
    else if (this.#isFree && this.#options.onScan?.(text)) {
      const { gate } = this.state;
      // Decided as proposed, or not thrown at all: the next unit is in the person's hand already.
      if (!this.#question.back()) this.#gate.answer(gate?.kind === 'after' ? leftWith(gate) : 'skip');
    } else this.set({ notice: `${text} was scanned: nothing to do with it here.` });
  }

  /** A scanned tag can be the next unit: the bench waits at a gate, or asks what another tag is. */
  get #isFree(): boolean {
    const { rooms, question } = this.state;
    if (rooms) return false;
    return this.#gate.stands || (question?.kind === 'choice' && question.canGoBack === true);
  }

  press(action: KeyAction): void {
    const isOwnPress = this.#options.clock.nowS() - this.#enterS > OWN_PRESS_S;
    if (action === 'go-on') this.#enterS = this.#options.clock.nowS();
    if (action === 'outputs-off') this.#stop();
    else if (action === 'leave') this.#leave();
    else if (this.#rooms.isLive) this.#rooms.press(action, isOwnPress);
    else if (this.#way.stands) this.#way.press(action, isOwnPress);
    else if (this.isRunning || this.#confirmation) this.#pressInRun(action, isOwnPress);
    else if (this.state.rooms) {
      // Nor is anything answered that nobody could read.
      if (action !== 'go-on' || this.canRead) this.#rooms.press(action, isOwnPress);
    } else if (action === 'rooms') this.#openRooms();
    else if (this.state.question) this.#question.press(action, () => this.#leave());
    else if (this.#gate.stands) this.#pressAtGate(action, isOwnPress);
    else if (this.state.ended && action === 'quit') this.close({ forced: false });
    else if (this.state.ended) this.#pages.pressAfterEnd(action);
    else if (action === 'quit' && this.state.stop === 'unconfirmed') this.close({ forced: true });
  }

  override dispose(): void {
    this.#gate.dispose();
    this.#unconfirmed?.cancel();
    super.dispose();
  }

  #stop(): void {
    this.#options.stop();
    // The Enter at the end of a scan is no press of its own.
    if (this.#rooms.isLive) this.#enterS = this.#options.clock.nowS();
    this.#rooms.outputsOff();
    const { ended, stop } = this.state;
    this.#gate.hold({ isOffSent: true });
    if (ended) return;
    // Nothing is driven any more, and the rig has been let go: no confirmation is waited for.
    if (this.#way.stands) {
      this.#isHeld = true;
      this.#way.answer(undefined);
      return;
    }
    if (!this.#isAtWork) {
      this.#isHeld = true;
      this.#confirmation?.(false);
      return;
    }
    if (stop !== 'no') return;
    this.set({ stop: 'asked' });
    this.#confirmation?.(false);
    this.#unconfirmed = this.#options.clock.after(CONFIRM_S, () => {
      if (!this.state.ended && this.#isAtWork) this.set({ stop: 'unconfirmed' });
    });
  }

  #leave(): void {
    const again = this.#isLeaving;
    this.#isLeaving = true;
    this.#stop();
    this.#rooms.leave();
    this.#options.leave?.();
    if (this.state.ended) this.close({ forced: false });
    else if (again) this.close({ forced: true });
    this.#gate.answer('leave');
    this.#question.leave();
  }

  #pressInRun(action: KeyAction, isOwnPress: boolean): void {
    if (action === 'quit' && this.state.stop === 'unconfirmed') this.close({ forced: true });
    else if (this.#asksYesOrNo && action === 'yes') this.#confirmation?.(true);
    else if (this.#asksYesOrNo && (action === 'no' || action === 'go-on')) this.#confirmation?.(false);
    else if (action === 'go-on' && isOwnPress) this.#confirmation?.(true);
  }

  #openRooms(): void {
    const { rooms } = this.#options;
    if (rooms === undefined) return;
    this.#gate.hold();
    this.#rooms.enter(rooms);
  }

  /** Whether the unit that has just been judged can be probed. */
  #probe(): boolean {
    const { probe } = this.#options;
    const run = probedNow(this.state.bench);
    if (probe === undefined || run === undefined) return false;
    this.#gate.hold();
    this.#rooms.enter(() => probe(run));
    return true;
  }

  #pressAtGate(action: KeyAction, isOwnPress: boolean): void {
    const { gate, bench } = this.state;
    if (gate === undefined) return;
    if (gate.ended && this.#pages.pressBeside(action, gate.ended.index)) {
      this.#gate.hold();
      return;
    }
    if (action === 'other-profile' && gate.ended && this.#probe()) return;
    const { onOtherProfile } = this.#options;
    if (action === 'other-profile' && gate.kind === 'clip-on' && onOtherProfile) {
      onOtherProfile(gate.tag);
      this.#gate.answer('skip');
      return;
    }
    if (action === 'undo' && !canUndo(bench)) return;
    if (action === 'go-on') {
      // What throws must be a press of its own.
      if (gate.kind === 'clip-on' && !isOwnPress) return;
      if (!this.canRead && (gate.kind === 'cautions' || gate.kind === 'held-rotor')) return;
    }
    if (!this.#gate.answer(action)) this.#gate.hold();
  }
}
