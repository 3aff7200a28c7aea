// Moves board and host along on one clock, in slices short enough that neither runs ahead of the other. Unpaced it
// goes as fast as the machine can; paced it is held back to the wall clock and never runs ahead of it. Either way a
// host that is held up holds the board up too, so that a slow machine never looks like a silent host.

import type { VirtualClock } from '../link/index.js';

/** What is moved along: the emulated board with its bench. */
export interface Machine {
  /** Runs up to `untilS` of true time. */
  run(untilS: number): void;
}

export interface EngineOptions {
  clock: VirtualClock;
  machine: Machine;
  paced: boolean;
  /** The machine threw and is run no more; the clock goes on, so that whoever waits for it sees silence. */
  onFailure?: (error: unknown) => void;
  /** Seconds of the wall clock, handed in for tests. */
  wallS?: () => number;
}

/** The board answers and the host reacts within one frame. */
const SLICE_S = 0.001;
/** Paced: how far board time may lie behind the wall clock and still catch up; more is given up. */
const CATCH_UP_S = 0.1;
/** Paced: rest between bursts of slices. */
const PACE_S = 0.004;
/** Turns of the event loop after a slice: the stream delivers, the host reacts and writes. */
const TURNS_PER_SLICE = 2;

export class Engine {
  #isRunning = false;
  #isStopped = false;
  #isPowered = false;
  #hasFailed = false;
  /** Wall time minus virtual time. */
  #offsetS = 0;

  constructor(readonly options: EngineOptions) {
    options.clock.onTimerSet = () => this.#wake();
  }

  /** While the port is open a paced board lives on, whether anybody waits or not. */
  set isPowered(powered: boolean) {
    this.#isPowered = powered;
    this.#wake();
  }

  /** Ends for good; waiting timers no longer fire. */
  stop(): void {
    this.#isStopped = true;
  }

  get #hasReason(): boolean {
    const { clock, paced } = this.options;
    return !this.#isStopped && (clock.isAwaited || (paced && this.#isPowered));
  }

  #wake(): void {
    if (this.#isRunning || !this.#hasReason) return;
    this.#isRunning = true;
    this.#offsetS = this.#wallS() - this.options.clock.nowS();
    // Not at once: the caller is in the middle of something.
    setImmediate(() => void this.#loop());
  }

  #wallS(): number {
    return this.options.wallS?.() ?? performance.now() / 1000;
  }

  #run(toS: number): void {
    if (this.#hasFailed) return;
    try {
      this.options.machine.run(toS);
    } catch (error) {
      this.#hasFailed = true;
      this.options.onFailure?.(error);
    }
  }

  async #loop(): Promise<void> {
    const { clock, paced } = this.options;
    while (this.#hasReason) {
      if (paced) {
        const behindS = this.#wallS() - this.#offsetS - clock.nowS();
        if (behindS > CATCH_UP_S) this.#offsetS += behindS - CATCH_UP_S;
        if (behindS < SLICE_S) {
          await new Promise((resolve) => setTimeout(resolve, PACE_S * 1000));
          continue;
        }
      }
      const toS = Math.max(clock.nowS(), Math.min(clock.nowS() + SLICE_S, clock.nextDueS));
      this.#run(toS);
      clock.advanceTo(toS);
      for (let turn = 0; turn < TURNS_PER_SLICE; turn++)
        await new Promise((resolve) => setImmediate(resolve));
    }
    this.#isRunning = false;
  }
}
