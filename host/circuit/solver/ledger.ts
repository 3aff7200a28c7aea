// Energy account: what the supplies gave, what turned to heat or went into the load, what is stored.

import { itemAt, sampleAt } from '../../arrays/index.js';
import type { Part } from '../elements/part.js';
import type { Layout } from './layout.js';

export class Ledger {
  suppliedJ = 0;
  dissipatedJ = 0;
  readonly #parts: readonly Part[];
  readonly #x: Float64Array;
  readonly #storedAtStartJ: number;
  /** Powers at the end of the last booked step, good for the next start unless an event lay between. */
  #suppliedW = 0;
  #dissipatedW = 0;

  constructor(
    parts: readonly Part[],
    readonly layout: Layout,
    readonly isKept = true,
  ) {
    this.#parts = parts;
    this.#x = new Float64Array(layout.length);
    this.#storedAtStartJ = layout.inertia.reduce(
      (sum, inertia, row) => (inertia > 0 ? sum + itemAt(layout.initial, row) ** 2 / (2 * inertia) : sum),
      0,
    );
  }

  /** Books the held step from its start to fraction `s`; Simpson over the dense output. */
  book(s: number): void {
    if (!this.isKept) return;
    const { step } = this.layout;
    const sizeS = step.sizeS * s;
    let suppliedW = this.#suppliedW;
    let dissipatedW = this.#dissipatedW;
    step.fill(this.#x, s / 2);
    this.#measure(this.#x, step.startS + sizeS / 2, s / 2);
    suppliedW += 4 * this.#suppliedW;
    dissipatedW += 4 * this.#dissipatedW;
    if (s !== 1) step.fill(this.#x, s);
    this.#measure(s === 1 ? step.x1 : this.#x, step.startS + sizeS, s);
    this.suppliedJ += ((suppliedW + this.#suppliedW) * sizeS) / 6;
    this.dissipatedJ += ((dissipatedW + this.#dissipatedW) * sizeS) / 6;
  }
  /** Account as it would stand at fraction `s`, leaving the account as it is. */
  preview(s: number): { suppliedJ: number; dissipatedJ: number } {
    const kept = [this.suppliedJ, this.dissipatedJ, this.#suppliedW, this.#dissipatedW] as const;
    this.book(s);
    const { suppliedJ, dissipatedJ } = this;
    [this.suppliedJ, this.dissipatedJ, this.#suppliedW, this.#dissipatedW] = kept;
    return { suppliedJ, dissipatedJ };
  }
  /** Powers at `x`, fraction `s` of the held step. */
  #measure(x: Float64Array, timeS: number, s: number): void {
    let suppliedW = 0;
    let dissipatedW = 0;
    for (const part of this.#parts) {
      suppliedW += part.suppliedW(x, timeS);
      dissipatedW += part.dissipatedW(x, timeS, s);
    }
    this.#suppliedW = suppliedW;
    this.#dissipatedW = dissipatedW;
  }
  /** Books the settling step at an event: its powers, and the loss of what it levels out (shock at an end stop,
   * charge between capacitors), which for implicit Euler is exactly half the square of each change. */
  bookSettling(
    x: Float64Array,
    timeS: number,
    forS: number,
    before: Float64Array,
    after: Float64Array,
  ): void {
    if (!this.isKept) return;
    this.#measure(x, timeS, 0);
    this.suppliedJ += this.#suppliedW * forS;
    this.dissipatedJ += this.#dissipatedW * forS;
    for (const [row, inertia] of this.layout.inertia.entries()) {
      if (inertia === 0) continue;
      this.dissipatedJ += (sampleAt(after, row) - sampleAt(before, row)) ** 2 / (2 * inertia);
    }
  }
  /** Stored at `x` since the start. */
  storedJ(x: Float64Array, timeS: number): number {
    let sum = -this.#storedAtStartJ;
    for (const part of this.#parts) sum += part.storedJ(x, timeS);
    return sum;
  }
}
