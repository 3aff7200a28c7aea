// What the bench screen is in: the reduced events, the gate that the bench waits at, the page that is open.
// It decides nothing about units; Space, Esc and Ctrl-C go straight to `stop`. Waits through the clock handed in.

import type { BenchEvent } from '../bench/index.js';
import type { Clock, Timer } from '../link/index.js';
import { type BenchView, EMPTY_VIEW } from './bench-view-model.js';
import { Following } from './changing.js';
import type { KeyAction } from './keys.js';

/** Cautions stay this long where nobody has to change units. */
export const CAUTION_S = 3;
/** A verdict stays this long before the next unit starts by itself. */
export const DWELL_S = 2.5;
/** After the last verdict the table opens by itself. */
const LAST_DWELL_S = 5;
/** A rig that has not ended its run this long after a stop has not confirmed it. */
const CONFIRM_S = 3;

export interface Gate {
  kind: 'cautions' | 'dwell' | 'clip-on';
  /** The unit that starts when the gate opens. */
  tag: string;
  /** Seconds until it opens by itself; absent where Enter is waited for. */
  remainingS?: number;
}

export interface ScreenState {
  bench: BenchView;
  /** What holds the bench back now. */
  gate?: Gate | undefined;
  stop: 'no' | 'asked' | 'unconfirmed';
  /** No further event will come. */
  ended: boolean;
  page: 'bench' | 'table' | 'unit';
  /** Row of the table. */
  selected: number;
  /** First check shown on a unit's page. */
  scroll: number;
}

export interface BenchControllerOptions {
  /** Sends outputs off; may be called any number of times. */
  stop(): void;
  clock: Clock;
  /** False where a person changes units: every start then waits for Enter. */
  startsByItself: boolean;
}

/** Closes with `forced` where the rig was not waited for. */
export class BenchController extends Following<ScreenState, { forced: boolean }> {
  readonly #options: BenchControllerOptions;
  #openGate: (() => void) | undefined;
  #choice: ((isYes: boolean) => void) | undefined;
  #tick: Timer | undefined;
  #isLeaving = false;

  constructor(options: BenchControllerOptions) {
    super({ bench: EMPTY_VIEW, stop: 'no', ended: false, page: 'bench', selected: 0, scroll: 0 });
    this.#options = options;
  }

  /** Takes the bench's events to their end. A failure of the bench is thrown on after the screen may close. */
  async consume(events: AsyncIterable<BenchEvent>): Promise<void> {
    try {
      for await (const event of events) this.take(event);
    } finally {
      this.#tick?.cancel();
      const { units } = this.state.bench;
      const last = units.findLastIndex((unit) => unit.state === 'told');
      this.set({ gate: undefined, ended: true, selected: Math.max(0, last) });
      if (this.#isLeaving) this.close({ forced: false });
      else if (units.length > 1) {
        this.#tick = this.#options.clock.after(LAST_DWELL_S, () => {
          if (this.state.page === 'bench') this.set({ page: 'table' });
        });
      }
    }
  }

  /** Holds the bench back before a unit: cautions before the first, the last verdict or a change of unit after. */
  async beforeUnit(index: number, tag: string): Promise<void> {
    const { startsByItself } = this.#options;
    if (index === 0) await this.#waitAt('cautions', tag);
    // A person clips the first one on as well.
    const isHookedUp = !startsByItself && this.state.bench.hookUp?.tag === tag;
    if (index > 0 || isHookedUp) await this.#waitAt(startsByItself ? 'dwell' : 'clip-on', tag);
  }

  #waitAt(kind: 'cautions' | 'dwell' | 'clip-on', tag: string): Promise<void> {
    if (this.state.stop !== 'no') return Promise.resolve();
    const remainingS = kind === 'cautions' ? CAUTION_S : DWELL_S;
    this.set({ gate: { kind, tag, ...(this.#options.startsByItself ? { remainingS } : {}) } });
    if (this.#options.startsByItself) this.#countDown();
    return new Promise((resolve) => {
      this.#openGate = () => {
        this.#openGate = undefined;
        this.#tick?.cancel();
        this.set({ gate: undefined });
        resolve();
      };
    });
  }

  /** Holds the bench until Enter: the person has done what the prompt on the screen asks. */
  confirm(): Promise<void> {
    if (this.state.stop !== 'no') return Promise.resolve();
    return new Promise((resolve) => {
      this.#openGate = () => {
        this.#openGate = undefined;
        resolve();
      };
    });
  }

  /** Holds the bench until the question on the screen is answered: y says yes, Enter or n no. A stop says no. */
  choose(): Promise<boolean> {
    if (this.state.stop !== 'no') return Promise.resolve(false);
    return new Promise((resolve) => {
      const answered = (isYes: boolean): void => {
        this.#openGate = this.#choice = undefined;
        resolve(isYes);
      };
      this.#choice = answered;
      this.#openGate = () => answered(false);
    });
  }

  press(action: KeyAction): void {
    if (action === 'outputs-off') this.#stop();
    else if (action === 'leave') this.#leave();
    else if (this.#openGate) this.#pressAtGate(action);
    else if (this.state.ended) this.#pressAfterEnd(action);
    else if (action === 'quit' && this.state.stop === 'unconfirmed') this.close({ forced: true });
  }

  override dispose(): void {
    this.#tick?.cancel();
    super.dispose();
  }

  #stop(): void {
    this.#options.stop();
    if (this.state.ended || this.state.stop !== 'no') return;
    this.set({ stop: 'asked' });
    this.#openGate?.();
    this.#options.clock.after(CONFIRM_S, () => {
      if (!this.state.ended) this.set({ stop: 'unconfirmed' });
    });
  }

  #leave(): void {
    const again = this.#isLeaving;
    this.#isLeaving = true;
    this.#stop();
    if (this.state.ended) this.close({ forced: false });
    else if (again) this.close({ forced: true });
  }

  #pressAtGate(action: KeyAction): void {
    const { gate } = this.state;
    if (this.#choice && (action === 'yes' || action === 'no')) {
      this.#choice(action === 'yes');
      return;
    }
    if (action === 'go-on') {
      this.#openGate?.();
      return;
    }
    // A confirmation counts nothing down that could be held.
    if (gate === undefined) return;
    this.#tick?.cancel();
    const { remainingS: _, ...held } = gate;
    this.set({ gate: held });
  }

  #countDown(): void {
    const stepS = 0.5;
    this.#tick = this.#options.clock.after(stepS, () => {
      const { gate } = this.state;
      if (gate?.remainingS === undefined) return;
      const remainingS = gate.remainingS - stepS;
      if (remainingS <= 0) {
        this.#openGate?.();
        return;
      }
      this.set({ gate: { ...gate, remainingS } });
      this.#countDown();
    });
  }

  #pressAfterEnd(action: KeyAction): void {
    const { page, selected, scroll, bench } = this.state;
    const unit = bench.units[selected];
    if (action === 'quit') {
      this.close({ forced: false });
    } else if (action === 'go-on') {
      const next = page === 'bench' && bench.units.length > 1 ? 'table' : page === 'unit' ? 'table' : 'unit';
      if (next === 'unit' && unit === undefined) return;
      const onlyUnit = bench.units.length === 1;
      this.set({ page: next === 'table' && onlyUnit ? 'bench' : next, scroll: 0 });
    } else if (page === 'unit') {
      const most = Math.max(0, (unit?.checks.length ?? 0) - 1);
      this.set({ scroll: moved(scroll, action, most) });
    } else if (page === 'table') {
      this.set({ selected: moved(selected, action, bench.units.length - 1) });
    }
  }
}

function moved(from: number, action: KeyAction, most: number): number {
  const by = { up: -1, down: 1, 'page-up': -10, 'page-down': 10 }[action as string] ?? 0;
  return Math.min(most, Math.max(0, from + by));
}
