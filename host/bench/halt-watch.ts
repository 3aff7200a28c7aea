// What ended a plan before its end, and those who wait for that.

import type { StopReason } from '../rig/index.js';

export interface Halt {
  reason: StopReason;
  /** The board's or the link's own, more exact word, and what to do about it. */
  sentence?: string;
  advice?: string;
  /** Board time of the last sample seen. */
  atS: number;
}

/** Remembers the first halt and wakes whoever waits. */
export class HaltWatch {
  halt: Halt | undefined;
  #wake: () => void = () => {};
  readonly #raised = new Promise<void>((resolve) => {
    this.#wake = resolve;
  });

  raise(halt: Halt): void {
    this.halt ??= halt;
    this.#wake();
  }

  /** Waits for `until` or for the first halt. */
  async wait<T>(until: Promise<T>): Promise<T | undefined> {
    return (await Promise.race([until, this.#raised])) ?? undefined;
  }

  /** A command refused because the board has just stopped is the stop's consequence, not an error of its own. */
  async orThrow(work: () => Promise<void>): Promise<void> {
    try {
      await work();
    } catch (error) {
      // The stop's own message may be a few bytes behind the refusal.
      await Promise.race([this.#raised, new Promise((resolve) => setImmediate(resolve))]);
      if (this.halt === undefined) throw error;
    }
  }
}
