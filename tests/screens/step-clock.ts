// A clock that moves only when the test says so.

import type { Clock } from '../../host/link/index.js';

export class StepClock implements Clock {
  #nowS = 0;
  #waiting: { atS: number; action: () => void }[] = [];

  nowS(): number {
    return this.#nowS;
  }

  after(delayS: number, action: () => void) {
    const entry = { atS: this.#nowS + delayS, action };
    this.#waiting.push(entry);
    return {
      cancel: () => {
        this.#waiting = this.#waiting.filter((one) => one !== entry);
      },
    };
  }

  sleep(delayS: number): Promise<void> {
    return new Promise((resolve) => this.after(delayS, resolve));
  }

  /** Runs what falls due, in order of time; what an action starts may fall due as well. */
  advance(byS: number): void {
    const untilS = this.#nowS + byS;
    for (let turns = 0; turns < 10_000; turns++) {
      const next = this.#waiting.filter(({ atS }) => atS <= untilS + 1e-9).sort((a, b) => a.atS - b.atS)[0];
      if (next === undefined) break;
      this.#waiting = this.#waiting.filter((one) => one !== next);
      this.#nowS = Math.max(this.#nowS, next.atS);
      next.action();
    }
    this.#nowS = untilS;
  }
}
