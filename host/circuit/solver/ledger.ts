// Energy account: what the supplies gave, what turned to heat or went into the load, what is stored.

import type { Part } from '../elements/part.js';
import type { Layout } from './layout.js';

export class Ledger {
  suppliedJ = 0;
  dissipatedJ = 0;
  readonly #parts: readonly Part[];
  readonly #x: Float64Array;
  readonly #storedAtStartJ: number;

  constructor(
    parts: readonly Part[],
    readonly layout: Layout,
  ) {
    this.#parts = parts;
    this.#x = new Float64Array(layout.length);
    let storedJ = 0;
    for (let row = 1; row < layout.length; row++) {
      if (layout.inertia[row]! > 0) storedJ += layout.initial[row]! ** 2 / (2 * layout.inertia[row]!);
    }
    this.#storedAtStartJ = storedJ;
  }

  /** Books the held step from its start to fraction `s`; Simpson over the dense output. */
  book(s: number): void {
    this.#add(0, s / 6);
    this.#add(s / 2, (4 * s) / 6);
    this.#add(s, s / 6);
  }
  #add(s: number, weight: number): void {
    const { step } = this.layout;
    let x = this.#x;
    if (s === 0) x = step.x0;
    else if (s === 1) x = step.x1;
    else step.fill(x, s);
    this.#bookPower(x, step.startS + s * step.sizeS, s, weight * step.sizeS);
  }
  #bookPower(x: Float64Array, timeS: number, s: number, forS: number): void {
    let suppliedW = 0;
    let dissipatedW = 0;
    for (const part of this.#parts) {
      suppliedW += part.suppliedW(x, timeS);
      dissipatedW += part.dissipatedW(x, timeS, s);
    }
    this.suppliedJ += suppliedW * forS;
    this.dissipatedJ += dissipatedW * forS;
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
    this.#bookPower(x, timeS, 0, forS);
    for (let row = 1; row < before.length; row++) {
      const inertia = this.layout.inertia[row]!;
      if (inertia > 0) this.dissipatedJ += (after[row]! - before[row]!) ** 2 / (2 * inertia);
    }
  }
  /** Stored at `x` since the start. */
  storedJ(x: Float64Array, timeS: number): number {
    let sum = -this.#storedAtStartJ;
    for (const part of this.#parts) sum += part.storedJ(x, timeS);
    return sum;
  }
}
