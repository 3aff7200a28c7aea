// What a screen is a function of: a state that tells when it has changed, and the word that the screen may close.

import type { BenchEvent } from '../bench/index.js';
import { known } from '../fields/index.js';
import { type BenchView, reduceBench } from './bench-view-model.js';
import { type PastRun, PastRuns } from './past-runs.js';
import { TraceStore } from './trace-store.js';

export class Changing<State, Closed> {
  /** Settles when the screen may close. */
  readonly closed: Promise<Closed>;
  readonly #listeners = new Set<() => void>();
  #settle: (how: Closed) => void = () => {};

  constructor(public state: State) {
    this.closed = new Promise((resolve) => {
      this.#settle = resolve;
    });
  }

  /** Calls back after every change; returns the unsubscribe function. */
  onChange(listener: () => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  dispose(): void {
    this.#listeners.clear();
  }

  protected set(change: Partial<State>): void {
    this.become({ ...this.state, ...change });
  }

  protected become(state: State): void {
    this.state = state;
    for (const listener of this.#listeners) listener();
  }

  protected close(how: Closed): void {
    this.#settle(how);
  }
}

/** One that follows the bench's events. */
export class Following<State extends { bench: BenchView }, Closed> extends Changing<State, Closed> {
  readonly traces = new TraceStore();
  readonly #past = new PastRuns();

  /** What the run on the screen may be held against. */
  get pastRuns(): Partial<Record<'last-good' | 'attempt-before', PastRun>> {
    const { bench } = this.state;
    return known({ 'last-good': this.#past.lastGood(bench), 'attempt-before': this.#past.before(bench) });
  }

  take(event: BenchEvent): void {
    if (event.kind === 'samples') this.traces.push(event.slice);
    if (event.kind === 'expected') this.traces.band = event.band;
    if (event.kind === 'unit-started') {
      this.#past.keep(this.state.bench, this.traces);
      this.traces.clear();
    }
    this.become({ ...this.state, bench: reduceBench(this.state.bench, event) });
  }
}
