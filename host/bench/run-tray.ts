// A tray: units one after the other, each a run of its own, with a count at the end. A unit may be run again, skipped,
// or gone back to; a stop ends the attempt in hand and nothing else.

import type { Judgement, Verdict } from '../judge/index.js';
import { holdsRotor, hookUpLines } from '../profile/index.js';
import type { Disposition } from '../records/index.js';
import { CAUTIONS } from './cautions.js';
import { streamOf } from './event-queue.js';
import type { BenchEvent } from './events.js';
import { runUnit } from './run-unit.js';
import type { Emit, RunTools, UnitJob } from './unit-job.js';

export interface TrayUnit extends Omit<UnitJob, 'index'> {
  /** What was told of it when the tray was broken off; a unit that is done is not asked for again. */
  before?: {
    isDone: boolean;
    isSkipped?: boolean;
    attempts: number;
    told?: BenchEvent & { kind: 'unit-recorded' };
  };
}

/** The unit that is to be thrown next. */
export interface Upcoming {
  index: number;
  tag: string;
  /** From 1. */
  attempt: number;
  /** Its plan blocks the output on purpose. */
  holdsRotor: boolean;
}

/** The attempt that has just ended. */
export interface Ended {
  index: number;
  tag: string;
  attempt: number;
  verdict: Verdict;
  /** Ended by the person, or by trouble: there is no judgement to decide on. */
  isJudged: boolean;
  isStopped: boolean;
  /** Nothing was said of the unit, for the bench may be what is wrong: put right, it is run again. */
  isBenchInQuestion?: boolean;
}

type Seen = Pick<Ended, 'verdict' | 'isJudged' | 'isBenchInQuestion'> & { runId?: string };

const isBenchInQuestion = ({ verdict, findings: [first] }: Judgement): boolean =>
  verdict === 'cannot-tell' && first?.causes?.[0]?.owner === 'rig';

/** `back` asks once more what becomes of the unit before. */
export type Before = 'go' | 'skip' | 'back' | 'end';
export type After = { goOn: 'next'; disposition?: Disposition } | { goOn: 'again' | 'skip' | 'end' };

/** Where the decisions of the person at the bench are kept. */
export interface TrayKeeper {
  skip(index: number): void;
  dispose(tag: string, runId: string, word: Disposition): void;
  /** Takes back what was decided of this run. */
  takeBack(runId: string): void;
}

export interface TrayOptions extends RunTools {
  units: readonly TrayUnit[];
  /**
   * Asked when the list is used up: the next unit, the place of one that is in the list already, or back to the one
   * before; undefined ends the tray.
   */
  more?(): Promise<TrayUnit | number | 'back' | undefined>;
  /** Waited for before each attempt: the operator has clipped it on, or has read the cautions. */
  beforeUnit?(next: Upcoming): Promise<Before>;
  /** Waited for after each attempt; without it the next unit follows. */
  afterUnit?(ended: Ended): Promise<After>;
  /** Of one attempt, made afresh for each: an abort puts outputs off and ends this attempt alone. */
  attemptSignal?(): AbortSignal;
  keeper?: TrayKeeper;
}

/** Other wires of the same circuit are clipped on otherwise, colours among it. */
const hookedUpAs = ({ unit }: TrayUnit): string => [unit.style.id, ...hookUpLines(unit)].join('\n');

/** Streams every event of the tray. After an abort of `signal` the unit in hand is recorded and no further one starts. */
export function runTray(options: TrayOptions): AsyncIterable<BenchEvent> {
  return streamOf<BenchEvent>((emit) => new Sitting(options, emit).run());
}

class Sitting {
  readonly #units: TrayUnit[] = [];
  readonly #told = new Map<number, Seen>();
  readonly #attempts = new Map<number, number>();
  #hookedUp: string | undefined;
  #isStopped = false;

  constructor(
    readonly options: TrayOptions,
    readonly emit: Emit,
  ) {}

  async run(): Promise<void> {
    const { units, desk } = this.options;
    this.emit({ kind: 'caution', lines: [...CAUTIONS] });
    this.emit({
      kind: 'tray-started',
      units: units.map(({ tag, unit }) => ({ tag, profileTitle: unit.unit.title })),
    });
    for (const [index, unit] of units.entries()) {
      this.#units.push(unit);
      this.#attempts.set(index, unit.before?.attempts ?? 0);
      if (unit.before?.told) this.#tellAgain(index, unit.before.told);
      if (unit.before?.isSkipped) this.emit({ kind: 'unit-skipped', index, tag: unit.tag });
    }
    // While the cautions are read.
    const first = units.find(({ before }) => before?.isDone !== true);
    if (first) desk.prepare(first.unit).catch(() => undefined);
    await this.#goThrough();
    const count = { pass: 0, fail: 0, 'cannot-tell': 0 };
    for (const { verdict } of this.#told.values()) count[verdict] += 1;
    this.emit({
      kind: 'tray-finished',
      passed: count.pass,
      failed: count.fail,
      cannotTell: count['cannot-tell'],
    });
  }

  #tellAgain(index: number, told: BenchEvent & { kind: 'unit-recorded' }): void {
    const { verdict, runId } = told;
    this.#told.set(index, { verdict, runId, isJudged: !told.aborted });
    this.emit(told);
  }

  async #goThrough(): Promise<void> {
    let last = [...this.#told.keys()].at(-1);
    for (let index = this.#nextIndex(-1); !this.options.signal.aborted; ) {
      const wanted = index < this.#units.length ? index : await this.#more();
      if (wanted === undefined) return;
      if (wanted !== 'back') index = wanted;
      const job = this.#units[index];
      const word = wanted === 'back' || job === undefined ? 'back' : await this.#before(job, index);
      if (word === 'end' || this.options.signal.aborted) return;
      if (word === 'skip') {
        this.#skip(index);
        index = this.#nextIndex(index);
        continue;
      }
      const at = word === 'back' ? last : index;
      if (at === undefined) continue;
      this.#isStopped = false;
      if (word === 'back') this.#takeBack(at);
      else if (job) await this.#attempt(job, index);
      last = at;
      const after = await this.#after(at);
      if (after === 'end') return;
      index = after === 'again' ? at : this.#nextIndex(at);
    }
  }

  /** The next that is not done; behind the last one, where the next that joins the list will stand. */
  #nextIndex(from: number): number {
    const next = this.#units.findIndex(
      (unit, index) =>
        index > from && unit.before?.isDone !== true && (this.#told.get(index)?.isJudged ?? false) === false,
    );
    return next < 0 ? this.#units.length : next;
  }

  /** Place in the list. */
  async #more(): Promise<number | 'back' | undefined> {
    const unit = await this.options.more?.();
    if (typeof unit !== 'object') return unit;
    const index = this.#units.push(unit) - 1;
    this.#attempts.set(index, unit.before?.attempts ?? 0);
    this.emit({ kind: 'unit-added', index, tag: unit.tag, profileTitle: unit.unit.unit.title });
    return index;
  }

  async #before(job: TrayUnit, index: number): Promise<Before> {
    const { tag, unit } = job;
    const hookedUp = hookedUpAs(job);
    if (this.#hookedUp !== hookedUp) {
      this.emit({ kind: 'hook-up', tag, lines: hookUpLines(unit) });
      this.#hookedUp = hookedUp;
    }
    const attempt = (this.#attempts.get(index) ?? 0) + 1;
    return (
      (await this.options.beforeUnit?.({ index, tag, attempt, holdsRotor: holdsRotor(unit.plan) })) ?? 'go'
    );
  }

  async #attempt(job: TrayUnit, index: number): Promise<void> {
    const { options } = this;
    const attempt = (this.#attempts.get(index) ?? 0) + 1;
    this.#attempts.set(index, attempt);
    const own = options.attemptSignal?.();
    const signal = own ? AbortSignal.any([options.signal, own]) : options.signal;
    const seen: Seen = { verdict: 'cannot-tell', isJudged: false };
    const emit: Emit = (event) => {
      if (event.kind === 'stored') seen.runId = event.runId;
      if (event.kind === 'judged') {
        seen.isJudged = true;
        seen.isBenchInQuestion = isBenchInQuestion(event.judgement);
      }
      this.emit(event);
    };
    // The next profile's expected behaviour is computed while this unit runs.
    const next = this.#units[index + 1];
    const { before: _, ...unit } = job;
    const word = runUnit({ ...unit, index, attempt }, { ...options, signal }, emit);
    if (next) options.desk.prepare(next.unit).catch(() => undefined);
    seen.verdict = await word;
    this.#told.set(index, seen);
    this.#isStopped = own?.aborted === true;
  }

  async #after(index: number): Promise<'next' | 'again' | 'end'> {
    const told = this.#told.get(index);
    const unit = this.#units[index];
    if (this.options.signal.aborted || !told || !unit) return 'end';
    const attempt = this.#attempts.get(index) ?? 1;
    const { runId, ...word } = told;
    const ended = { index, tag: unit.tag, attempt, ...word, isStopped: this.#isStopped };
    const after = (await this.options.afterUnit?.(ended)) ?? { goOn: 'next' };
    if (after.goOn === 'skip') this.#skip(index);
    if (after.goOn === 'next' && after.disposition && runId !== undefined) {
      this.options.keeper?.dispose(unit.tag, runId, after.disposition);
      this.emit({ kind: 'disposed', index, tag: unit.tag, runId, disposition: after.disposition });
    }
    return after.goOn === 'skip' ? 'next' : after.goOn;
  }

  #skip(index: number): void {
    this.options.keeper?.skip(index);
    this.emit({ kind: 'unit-skipped', index, tag: this.#units[index]?.tag ?? '' });
  }

  #takeBack(index: number): void {
    const runId = this.#told.get(index)?.runId;
    const tag = this.#units[index]?.tag ?? '';
    if (runId === undefined) return;
    this.options.keeper?.takeBack(runId);
    this.emit({ kind: 'disposed', index, tag, runId });
  }
}
