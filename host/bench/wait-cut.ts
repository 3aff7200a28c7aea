// Samples taken while a person is waited for are left out, and time goes on as if nobody had waited.

import { sampleAt } from '../arrays/index.js';
import type { SampleBlock } from '../rig/index.js';

export class WaitCut {
  #isHeld = false;
  /** What is taken off the board's times; undefined until the first block after a wait tells it. */
  #shiftS: number | undefined = 0;
  #cutS = 0;
  #endS = Number.NaN;

  constructor(readonly stepS: number) {}

  hold(): void {
    this.#isHeld = true;
  }

  resume(): void {
    this.#isHeld = false;
    this.#shiftS = undefined;
  }

  get isHeld(): boolean {
    return this.#isHeld;
  }

  /** Seconds left out so far. */
  get cutS(): number {
    return this.#cutS;
  }

  /** A board time as the capture counts it. */
  shifted(timeS: number): number {
    return timeS - this.#cutS;
  }

  /** The block at its time in the capture; undefined while somebody is waited for. */
  take(block: SampleBlock): SampleBlock | undefined {
    const firstS = block.timeS[0];
    if (this.#isHeld || firstS === undefined) return undefined;
    if (this.#shiftS === undefined) {
      this.#cutS = Number.isNaN(this.#endS) ? this.#cutS : firstS - (this.#endS + this.stepS);
      this.#shiftS = this.#cutS;
    }
    const shiftS = this.#shiftS;
    const timeS = shiftS === 0 ? block.timeS : block.timeS.map((t) => t - shiftS);
    this.#endS = sampleAt(timeS, timeS.length - 1);
    return { ...block, timeS };
  }
}
