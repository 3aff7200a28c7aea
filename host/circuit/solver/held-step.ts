// One accepted step and its dense output: the quadratic through its start, middle stage and end.
// Reading inside it never changes it, so the solver may look ahead and take back.

import { sampleAt } from '../../arrays/index.js';

/** Stage position of TR-BDF2 with both stages on one matrix; Bank et al., IEEE Trans. CAD 4 (1985) 436. */
export const GAMMA = 2 - Math.SQRT2;

/** What has the values `start`, `middle` and `end` at the start of a step, at its middle stage and at its end. */
export class Quadratic {
  readonly #slope: number;
  readonly #bend: number;

  constructor(
    readonly start: number,
    middle: number,
    end: number,
  ) {
    this.#slope = (middle - start) / GAMMA;
    this.#bend = (end - middle) / (1 - GAMMA) - this.#slope;
  }
  at(s: number): number {
    return this.start + s * (this.#slope + (s - GAMMA) * this.#bend);
  }
  /** At the fractions from item `from` to before `to`, into the same items of `out`. */
  fill(out: Float64Array, fractions: Float64Array, from: number, to: number): void {
    for (let k = from; k < to; k++) out[k] = this.at(sampleAt(fractions, k));
  }
  /** From the start to fraction `s`, over the fraction. */
  integral(s: number): number {
    return s * (this.start + s * (this.#slope / 2 + this.#bend * (s / 3 - GAMMA / 2)));
  }
}

export class HeldStep {
  startS = 0;
  sizeS = 0;
  x0 = new Float64Array(0);
  xg = new Float64Array(0);
  x1 = new Float64Array(0);

  /** Makes room for `length` entries (slot 0 is ground and stays 0). */
  resize(length: number): void {
    this.x0 = new Float64Array(length);
    this.xg = new Float64Array(length);
    this.x1 = new Float64Array(length);
  }

  /** Unknown `index` over the step, less the unknown `against`. */
  course(index: number, against = 0): Quadratic {
    const { x0, xg, x1 } = this;
    return new Quadratic(
      sampleAt(x0, index) - sampleAt(x0, against),
      sampleAt(xg, index) - sampleAt(xg, against),
      sampleAt(x1, index) - sampleAt(x1, against),
    );
  }
  /** Mean square of the voltage between two nodes from the start to fraction `s`, by Simpson. */
  meanSquareV2(plus: number, minus: number, s: number): number {
    const course = this.course(plus, minus);
    return (course.start ** 2 + 4 * course.at(s / 2) ** 2 + course.at(s) ** 2) / 6;
  }

  /** All unknowns at fraction `s`, into `out`. */
  fill(out: Float64Array, s: number): void {
    const w0 = ((s - GAMMA) * (s - 1)) / GAMMA;
    const wg = (s * (s - 1)) / (GAMMA * (GAMMA - 1));
    const w1 = (s * (s - GAMMA)) / (1 - GAMMA);
    const { x0, xg, x1 } = this;
    for (let i = 1; i < out.length; i++) out[i] = w0 * x0[i]! + wg * xg[i]! + w1 * x1[i]!;
  }

  /** Time integral of unknown `index` from the start to fraction `s`. */
  integral(index: number, s: number): number {
    return this.sizeS * this.course(index).integral(s);
  }
}
