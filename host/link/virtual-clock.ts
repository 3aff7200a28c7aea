// A clock that stands still until its owner moves it. The emulated rig moves it in step with the board, so that
// host timers and board time interleave the same way at any speed. Not a wall clock: nothing here waits by itself.

import type { Clock, Timer, TimerOptions } from './clock.js';

interface Pending {
  dueS: number;
  /** Order of creation, so that timers due at one instant fire in the order they were set. */
  order: number;
  background: boolean;
  action: () => void;
}

export class VirtualClock implements Clock {
  #nowS = 0;
  #order = 0;
  readonly #pending: Pending[] = [];
  #foreground = 0;
  /** Called whenever a timer is set; the owner resumes moving the clock. */
  onTimerSet: () => void = () => {};

  nowS(): number {
    return this.#nowS;
  }

  after(delayS: number, action: () => void, options?: TimerOptions): Timer {
    const timer: Pending = {
      dueS: this.#nowS + Math.max(0, delayS),
      order: this.#order++,
      background: options?.background === true,
      action,
    };
    const at = this.#pending.findIndex((other) => other.dueS > timer.dueS);
    this.#pending.splice(at < 0 ? this.#pending.length : at, 0, timer);
    if (!timer.background) this.#foreground += 1;
    this.onTimerSet();
    return { cancel: () => this.#remove(timer) };
  }

  sleep(delayS: number): Promise<void> {
    return new Promise((resolve) => {
      this.after(delayS, resolve);
    });
  }

  /** True while somebody waits for a timer, background ones apart. */
  get isAwaited(): boolean {
    return this.#foreground > 0;
  }

  /** When the next timer is due, Infinity when there is none. */
  get nextDueS(): number {
    return this.#pending[0]?.dueS ?? Number.POSITIVE_INFINITY;
  }

  /** Moves to `timeS` and fires what is due on the way, each at its own time. Never goes back. */
  advanceTo(timeS: number): void {
    // Bounded: a timer set for this very instant by a timer's action waits for the next call.
    const newest = this.#order;
    for (;;) {
      const next = this.#pending.find((timer) => timer.order < newest);
      if (next === undefined || next.dueS > timeS) break;
      this.#remove(next);
      this.#nowS = Math.max(this.#nowS, next.dueS);
      next.action();
    }
    this.#nowS = Math.max(this.#nowS, timeS);
  }

  #remove(timer: Pending): void {
    const at = this.#pending.indexOf(timer);
    if (at < 0) return;
    this.#pending.splice(at, 1);
    if (!timer.background) this.#foreground -= 1;
  }
}
