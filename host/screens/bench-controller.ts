// What the bench screen is in: the reduced events, the gate that the bench waits at, the page that is open.
// It decides nothing about units; Space, Esc and Ctrl-C go straight to `stop`. While anything may be energised no other
// key does a thing. Waits through the clock handed in.

import type { After, Before, BenchEvent, Ended, Upcoming, WayQuestion } from '../bench/index.js';
import type { Clock, Timer } from '../link/index.js';
import { type BenchView, EMPTY_VIEW, stepSpans } from './bench-view-model.js';
import { Following } from './changing.js';
import { type Answers, afterAnswers, BEFORE_ANSWERS, canUndo, type Gate } from './gate.js';
import type { KeyTarget } from './key-reader.js';
import type { KeyAction } from './keys.js';
import type { ChoiceQuestion, Question, TextQuestion } from './question.js';
import { entered, foundRows, LONGEST_SEARCH, movedIn, type RoomContent, type RoomView } from './room.js';
import { type Looked, lookAfter, runEndS, type TraceLook, wholeRun } from './trace-look.js';
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

export interface ScreenState {
  bench: BenchView;
  /** In words, which rig or bench this is, until the rig itself has told. */
  where?: string;
  /** What holds the bench back now. */
  gate?: Gate | undefined;
  /** What is asked now. */
  question?: Question | undefined;
  stop: 'no' | 'asked' | 'unconfirmed';
  /** No further event will come. */
  ended: boolean;
  page: 'bench' | 'table' | 'unit' | 'traces';
  /** Of the page of traces. */
  look?: TraceLook | undefined;
  /** Row of the table. */
  selected: number;
  /** First check shown on a unit's page. */
  scroll: number;
  /** Rooms that are open, the one that is seen last. */
  rooms?: readonly RoomView[] | undefined;
  /** Said once below: a scan that means nothing here. */
  notice?: string | undefined;
}

export interface BenchControllerOptions {
  /** Sends outputs off and ends the attempt in hand; may be called any number of times. */
  stop(): void;
  /** No further unit is started; `stop` was called before. */
  leave?(): void;
  clock: Clock;
  /** False where a person changes units: every start then waits for Enter. */
  startsByItself: boolean;
  /** False where the cautions of this shift were acknowledged. */
  cautionsDue?: boolean;
  /** A person has read what stood there, and said so. */
  onRead?(what: 'cautions' | 'held-rotor', tag: string): void;
  /** A tag was scanned at a gate: true where the bench goes on to that unit. */
  onScan?(tag: string): boolean;
  /** The unit at the gate is of another profile than was thought. */
  onOtherProfile?(tag: string): void;
  where?: string;
  /** What stands in the rooms beside the bench, fetched when the first is entered. */
  rooms?(): Promise<RoomContent>;
  /** The tray goes on from before: nothing starts by itself in it. */
  isResumed?: boolean;
}

/** Closes with `forced` where the rig was not waited for. */
export class BenchController extends Following<ScreenState, { forced: boolean }> implements KeyTarget {
  readonly #options: BenchControllerOptions;
  #answer: ((action: KeyAction) => boolean) | undefined;
  #confirmation: ((isYes: boolean) => void) | undefined;
  readonly #way: WayAsked;
  #asksYesOrNo = false;
  #reply: ((reply: string | number | 'undo' | undefined) => void) | undefined;
  #tick: Timer | undefined;
  #unconfirmed: Timer | undefined;
  #enterS = Number.NEGATIVE_INFINITY;
  #isCautioned: boolean;
  #isRunning = false;
  #isLeaving = false;
  /** The bench goes on by itself no more once a person has stopped it. */
  #isHeld: boolean;

  constructor(options: BenchControllerOptions) {
    const { where } = options;
    super({
      ...{ bench: EMPTY_VIEW, stop: 'no', ended: false, page: 'bench', selected: 0, scroll: 0 },
      ...(where === undefined ? {} : { where }),
    });
    this.#options = options;
    this.#way = new WayAsked(options.clock);
    this.#isCautioned = options.cautionsDue === false;
    this.#isHeld = options.isResumed === true;
  }

  get isTyping(): boolean {
    const room = this.state.rooms?.at(-1);
    return room ? 'rows' in room.content : this.state.question?.kind === 'text';
  }

  get isRunning(): boolean {
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
      this.#tick?.cancel();
      this.#isRunning = false;
      const { units } = this.state.bench;
      const last = units.findLastIndex((unit) => unit.state === 'told');
      this.set({ gate: undefined, question: undefined, ended: true, selected: Math.max(0, last) });
      if (this.#isLeaving) this.close({ forced: false });
      else if (units.length > 1) this.set({ page: 'table' });
    }
  }

  /** Holds the bench back before an attempt: cautions once, the held rotor each time, then until it is clipped on. */
  async beforeUnit({ tag, attempt, holdsRotor }: Upcoming): Promise<Before> {
    const { startsByItself } = this.#options;
    this.set({ page: 'bench' });
    if (!this.#isCautioned && !(await this.#read('cautions', tag))) return 'end';
    this.#isCautioned = true;
    if (holdsRotor && !(await this.#read('held-rotor', tag))) return 'end';
    if (!startsByItself || attempt > 1 || this.#isHeld) {
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

  /** Whether it was read and not left. Where the bench starts by itself the cautions also go by themselves, unread. */
  async #read(what: 'cautions' | 'held-rotor', tag: string): Promise<boolean> {
    const byItself = what === 'cautions' && this.#options.startsByItself && !this.#isHeld;
    let isRead = false;
    const gate: Gate = { kind: what, tag, ...(byItself ? { remainingS: CAUTION_S } : {}) };
    const answers: Answers<boolean> = { 'go-on': true, quit: false };
    const word = await this.#waitAt(gate, answers, false, () => {
      isRead = true;
    });
    if (word && isRead) this.#options.onRead?.(what, tag);
    if (!word) this.#isLeaving = true;
    return word;
  }

  #waitAt<T>(gate: Gate, answers: Answers<T>, left: T, onKey?: () => void): Promise<T> {
    if (this.#isLeaving) return Promise.resolve(left);
    this.set({ gate });
    return new Promise((resolve) => {
      const open = (answer: T): void => {
        this.#answer = undefined;
        this.#tick?.cancel();
        this.set({ gate: undefined, notice: undefined });
        resolve(answer);
      };
      this.#answer = (action) => {
        if (action === 'leave') {
          open(left);
          return true;
        }
        const answer = answers[action];
        if (answer === undefined) return false;
        onKey?.();
        open(answer);
        return true;
      };
      const byItself = answers['go-on'];
      if (gate.remainingS !== undefined && byItself !== undefined) this.#countDown(() => open(byItself));
    });
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
    return this.#ask<string | 'undo'>({ ...question, kind: 'text', typed: '' });
  }

  /** Which of the list, from 0; undefined when the person leaves. */
  askChoice(question: Omit<ChoiceQuestion, 'kind'>): Promise<number | undefined> {
    return this.#ask<number>({ ...question, kind: 'choice' });
  }

  #ask<T>(question: Question): Promise<T | undefined> {
    if (this.#isLeaving) return Promise.resolve(undefined);
    this.set({ question, gate: undefined, page: 'bench' });
    return new Promise((resolve) => {
      this.#reply = (reply) => {
        this.#reply = undefined;
        this.set({ question: undefined });
        resolve(reply as T | undefined);
      };
    });
  }

  /** In words, which rig or bench this is. */
  isAt(where: string): void {
    this.set({ where });
  }

  type(character: string): void {
    const { question, rooms } = this.state;
    if (rooms) {
      this.#inRoom((room) => ({
        ...room,
        typed: `${room.typed}${character}`.slice(0, LONGEST_SEARCH),
        chosen: 0,
      }));
      return;
    }
    if (question?.kind !== 'text' || question.typed.length >= question.longest) return;
    this.set({ question: { ...question, typed: question.typed + character } });
  }

  erase(): void {
    const { question, rooms } = this.state;
    if (rooms) {
      this.#inRoom((room) => ({ ...room, typed: room.typed.slice(0, -1), chosen: 0 }));
      return;
    }
    if (question?.kind !== 'text') return;
    this.set({ question: { ...question, typed: question.typed.slice(0, -1) } });
  }

  /** A fast run of characters where no text is typed. */
  scan(text: string): void {
    if (this.#way.stands) this.set({ notice: `${text} was scanned: tell first which way it went.` });
    else if (this.isRunning) this.#stop();
    else if (this.#answer && this.#options.onScan?.(text)) {
      const { gate } = this.state;
      // Decided as proposed, or not thrown at all: the next unit is in the person's hand already.
      this.#answer(gate?.kind === 'after' && gate.ended?.isJudged ? 'go-on' : 'skip');
    } else this.set({ notice: `${text} was scanned: nothing to do with it here.` });
  }

  press(action: KeyAction): void {
    const sinceS = this.#options.clock.nowS() - this.#enterS;
    if (action === 'go-on') this.#enterS = this.#options.clock.nowS();
    if (action === 'outputs-off') this.#stop();
    else if (action === 'leave') this.#leave();
    else if (this.#way.stands) this.#way.press(action, sinceS > OWN_PRESS_S);
    else if (this.isRunning || this.#confirmation) this.#pressInRun(action, sinceS);
    else if (action === 'rooms' || this.state.rooms) this.#pressInRoom(action);
    else if (this.state.question) this.#pressAtQuestion(this.state.question, action);
    else if (this.#answer) this.#pressAtGate(action, sinceS);
    else if (this.state.ended) this.#pressAfterEnd(action);
    else if (action === 'quit' && this.state.stop === 'unconfirmed') this.close({ forced: true });
  }

  override dispose(): void {
    this.#tick?.cancel();
    this.#unconfirmed?.cancel();
    super.dispose();
  }

  #stop(): void {
    this.#options.stop();
    const { gate, ended, stop } = this.state;
    if (gate) {
      this.#tick?.cancel();
      const { remainingS: _, ...held } = gate;
      this.set({ gate: { ...held, isOffSent: true } });
    }
    if (ended) return;
    // Nothing is driven any more, and the rig has been let go: no confirmation is waited for.
    if (this.#way.stands) {
      this.#isHeld = true;
      this.#way.answer(undefined);
      return;
    }
    if (!this.isRunning) {
      this.#isHeld = true;
      this.#confirmation?.(false);
      return;
    }
    if (stop !== 'no') return;
    this.set({ stop: 'asked' });
    this.#confirmation?.(false);
    this.#unconfirmed = this.#options.clock.after(CONFIRM_S, () => {
      if (!this.state.ended && this.isRunning) this.set({ stop: 'unconfirmed' });
    });
  }

  #leave(): void {
    const again = this.#isLeaving;
    this.#isLeaving = true;
    this.#stop();
    this.#options.leave?.();
    if (this.state.ended) this.close({ forced: false });
    else if (again) this.close({ forced: true });
    this.#answer?.('leave');
    this.#reply?.(undefined);
  }

  #pressInRun(action: KeyAction, sinceS: number): void {
    if (action === 'quit' && this.state.stop === 'unconfirmed') this.close({ forced: true });
    else if (this.#asksYesOrNo && action === 'yes') this.#confirmation?.(true);
    else if (this.#asksYesOrNo && (action === 'no' || action === 'go-on')) this.#confirmation?.(false);
    else if (action === 'go-on' && sinceS > OWN_PRESS_S) this.#confirmation?.(true);
  }

  #pressAtQuestion(question: Question, action: KeyAction): void {
    if (question.kind === 'text') {
      const text = question.typed.trim() || question.proposal || '';
      if (action === 'go-on' && text !== '') this.#reply?.(text);
      if (action === 'undo' && canUndo(this.state.bench)) this.#reply?.('undo');
    } else if (action === 'go-on') this.#reply?.(question.chosen);
    else if (action === 'quit') this.#leave();
    else
      this.set({
        question: { ...question, chosen: moved(question.chosen, action, question.options.length - 1) },
      });
  }

  #pressAtGate(action: KeyAction, sinceS: number): void {
    const { gate, page } = this.state;
    if (gate === undefined) return;
    if (action === 'checks' && gate.ended) {
      this.#hold(gate);
      this.set({ page: page === 'unit' ? 'bench' : 'unit', selected: gate.ended.index, scroll: 0 });
      return;
    }
    if (action === 'traces' && gate.ended) {
      this.#hold(gate);
      this.#openTraces();
      return;
    }
    if (page === 'traces' && this.#lookOn(action)) {
      this.#hold(gate);
      return;
    }
    if (page === 'unit' && SCROLLS.has(action)) {
      this.#scroll(action);
      return;
    }
    const { onOtherProfile } = this.#options;
    if (action === 'other-profile' && gate.kind === 'clip-on' && onOtherProfile) {
      onOtherProfile(gate.tag);
      this.#answer?.('skip');
      return;
    }
    if (action === 'undo' && !canUndo(this.state.bench)) return;
    // What throws must be a press of its own.
    if (action === 'go-on' && gate.kind === 'clip-on' && sinceS <= OWN_PRESS_S) return;
    if (!this.#answer?.(action)) this.#hold(gate);
  }

  /** Nothing goes on by itself any more from here. */
  #hold(gate: Gate): void {
    this.#tick?.cancel();
    const { remainingS: _, ...held } = gate;
    this.set({ gate: held });
  }

  #countDown(open: () => void): void {
    const stepS = 0.5;
    this.#tick = this.#options.clock.after(stepS, () => {
      const { gate } = this.state;
      if (gate?.remainingS === undefined) return;
      const remainingS = gate.remainingS - stepS;
      if (remainingS <= 0) {
        open();
        return;
      }
      this.set({ gate: { ...gate, remainingS } });
      this.#countDown(open);
    });
  }

  #pressAfterEnd(action: KeyAction): void {
    const { page, selected, bench } = this.state;
    if (action === 'quit') this.close({ forced: false });
    else if (action === 'traces') this.#openTraces();
    else if (page === 'traces' && action !== 'go-on') this.#lookOn(action);
    else if (page === 'traces') this.set({ page: 'bench' });
    else if (action === 'go-on') {
      const next = page === 'bench' && bench.units.length > 1 ? 'table' : page === 'unit' ? 'table' : 'unit';
      if (next === 'unit' && bench.units[selected] === undefined) return;
      const isOnly = bench.units.length === 1;
      this.set({ page: next === 'table' && isOnly ? 'bench' : next, scroll: 0 });
    } else if (page === 'unit') this.#scroll(action);
    else if (page === 'table') this.set({ selected: moved(selected, action, bench.units.length - 1) });
  }

  /** Of the room that is seen. */
  #inRoom(change: (room: RoomView) => RoomView): void {
    const { rooms = [] } = this.state;
    const room = rooms.at(-1);
    if (room) this.set({ rooms: [...rooms.slice(0, -1), change(room)] });
  }

  #pressInRoom(action: KeyAction): void {
    const { rooms, gate } = this.state;
    const room = rooms?.at(-1);
    if (room === undefined) {
      const { rooms: fetch } = this.#options;
      if (fetch === undefined) return;
      if (gate) this.#hold(gate);
      this.#enter(fetch);
    } else if (room.isBusy) {
      // A port may be open: it is closed again before anything else is asked of it.
      return;
    } else if (action === 'rooms') {
      const left = rooms?.slice(0, -1) ?? [];
      this.set({ rooms: left.length === 0 ? undefined : left });
    } else if (action === 'go-on') {
      const { content } = room;
      const row = 'rows' in content ? foundRows(room)[room.chosen] : content.more;
      if (row) this.#enter(async () => row.open());
    } else this.#inRoom((seen) => movedIn(seen, action));
  }

  /** What cannot be fetched is told in its place. */
  #enter(fetch: () => Promise<RoomContent>): void {
    this.#inRoom((room) => ({ ...room, isBusy: true }));
    const from = this.state.rooms?.length ?? 0;
    void fetch()
      .catch((error: unknown): RoomContent => {
        const said = error instanceof Error ? error.message : String(error);
        return { title: 'Not to be had', lines: [said] };
      })
      .then((content) => {
        const { rooms = [] } = this.state;
        // Left meanwhile, or something runs: nobody asked for it any more.
        if (rooms.length !== from || this.isRunning) return;
        this.#inRoom(({ isBusy: _, ...room }) => room);
        this.set({ rooms: [...(this.state.rooms ?? []), entered(content)] });
      });
  }

  /** The page of traces of what stands on the bench, or away from it. */
  #openTraces(): void {
    const { page } = this.state;
    if (page === 'traces') this.set({ page: 'bench' });
    else if (this.traces.endS > 0) this.set({ page: 'traces', look: wholeRun(this.#looked()) });
  }

  /** Whether the key meant something on the page of traces. */
  #lookOn(action: KeyAction): boolean {
    const { look } = this.state;
    const after = look && lookAfter(look, action, this.#looked());
    if (after) this.set({ look: after });
    return after !== undefined;
  }

  #looked(): Looked {
    const { bench } = this.state;
    const spans = stepSpans(bench);
    const startsS = spans.filter(({ step }) => step.position !== 'rest').map(({ fromS }) => fromS);
    return { endS: runEndS(bench, this.traces), startsS };
  }

  #scroll(action: KeyAction): void {
    const { bench, selected, scroll } = this.state;
    const most = Math.max(0, (bench.units[selected]?.checks.length ?? 0) - 1);
    this.set({ scroll: moved(scroll, action, most) });
  }
}

const SCROLLS: ReadonlySet<KeyAction> = new Set<KeyAction>(['up', 'down', 'page-up', 'page-down']);

function moved(from: number, action: KeyAction, most: number): number {
  const by = { up: -1, down: 1, 'page-up': -10, 'page-down': 10 }[action as string] ?? 0;
  return Math.min(most, Math.max(0, from + by));
}
