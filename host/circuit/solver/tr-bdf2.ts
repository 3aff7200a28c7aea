// One TR-BDF2 step of E x' + A x = b(t) + n(x, t) with its error estimate. L-stable, both stages on one matrix.
// Bank et al., IEEE Trans. CAD 4 (1985) 436; Hosea and Shampine, Appl. Numer. Math. 20 (1996) 21.

import { sampleAt } from '../../arrays/index.js';
import type { Part } from '../elements/part.js';
import { GAMMA } from './held-step.js';
import type { Layout } from './layout.js';
import { type Mode, SETTLE_S, STAGE } from './modes.js';
import type { LuFactors } from './sparse-lu.js';
import { addAt } from './stamps.js';
import type { Weights } from './weights.js';

const SHARE = Math.SQRT2 / 4;
const ERROR = (-3 * GAMMA * GAMMA + 4 * GAMMA - 2) / (12 * (2 - GAMMA));
const MOST_ITERATIONS = 12;
/** Iteration of the non-linear part ends at this fraction of the error weight. */
const ITERATION_SHARE = 0.02;

export class TrBdf2 {
  /** E x and E x' at the start and the end of the held step; zero derivative in algebraic rows. */
  e0: Float64Array;
  g0: Float64Array;
  e1: Float64Array;
  g1: Float64Array;
  readonly #eg: Float64Array;
  readonly #gg: Float64Array;
  readonly #right: Float64Array;
  readonly #fixed: Float64Array;
  readonly #forcing: Float64Array;
  readonly #error: Float64Array;
  readonly #sources: Part[];
  readonly #nonlinears: Part[];
  readonly #length: number;

  constructor(
    parts: readonly Part[],
    readonly layout: Layout,
    readonly weights: Weights,
  ) {
    const make = () => new Float64Array(layout.length);
    this.#length = layout.length;
    [this.e0, this.g0, this.e1, this.g1] = [make(), make(), make(), make()];
    [this.#eg, this.#gg, this.#right, this.#fixed] = [make(), make(), make(), make()];
    [this.#forcing, this.#error] = [make(), make()];
    this.#sources = parts.filter((part) => part.hasSource);
    this.#nonlinears = parts.filter((part) => part.isNonlinear);
  }

  /** Tries a step of 2^level from the held step's x0, e0, g0; fills xg, x1, e1, g1. Returns error over tolerance. */
  attempt(mode: Mode, level: number): number {
    const { step } = this.layout;
    const h = 2 ** level;
    step.sizeS = h;
    const lu = mode.factors(level);
    const { differential } = mode;
    const dh = STAGE * h;
    const { e0, g0, e1, g1 } = this;
    const eg = this.#eg;
    const gg = this.#gg;
    const fixed = this.#fixed;
    for (const row of differential) fixed[row] = sampleAt(e0, row) + dh * sampleAt(g0, row);
    step.xg.set(step.x0);
    if (!this.#stage(mode, lu, dh, step.xg, GAMMA)) return Number.POSITIVE_INFINITY;
    this.multiply(mode, step.xg, eg);
    for (const row of differential) {
      const rate0 = sampleAt(g0, row);
      const rateG = (sampleAt(eg, row) - sampleAt(e0, row)) / dh - rate0;
      gg[row] = rateG;
      fixed[row] = sampleAt(e0, row) + h * SHARE * (rate0 + rateG);
    }
    for (let i = 1; i < this.#length; i++) {
      const start = sampleAt(step.x0, i);
      step.x1[i] = start + (sampleAt(step.xg, i) - start) / GAMMA;
    }
    if (!this.#stage(mode, lu, dh, step.x1, 1)) return Number.POSITIVE_INFINITY;
    this.multiply(mode, step.x1, e1);
    const right = this.#right;
    right.fill(0);
    for (const row of differential) {
      const rate1 = (sampleAt(e1, row) - sampleAt(fixed, row)) / dh;
      g1[row] = rate1;
      const bend =
        sampleAt(g0, row) / GAMMA - sampleAt(gg, row) / (GAMMA * (1 - GAMMA)) + rate1 / (1 - GAMMA);
      right[row] = 2 * ERROR * h * bend;
    }
    lu.solve(right, this.#error);
    return this.weights.norm(this.#error, step.x1);
  }

  /** Solves one stage into `x`, which holds the first guess; false when the non-linear part does not settle. */
  #stage(mode: Mode, lu: LuFactors, dh: number, x: Float64Array, s: number): boolean {
    const { differential } = mode;
    const { b } = mode.stamps;
    const fixed = this.#fixed;
    const right = this.#right;
    const forcing = this.#forcing;
    const timeS = this.layout.step.startS + s * this.layout.step.sizeS;
    for (let round = 0; round < MOST_ITERATIONS; round++) {
      forcing.set(b);
      for (const part of this.#sources) part.source(timeS, forcing);
      let isLinear = true;
      for (const part of this.#nonlinears) if (part.nonlinear(x, s, timeS, forcing)) isLinear = false;
      right.set(forcing);
      for (const row of differential) right[row] = sampleAt(fixed, row) + dh * sampleAt(forcing, row);
      if (isLinear) {
        lu.solve(right, x);
        return true;
      }
      this.#error.set(x);
      lu.solve(right, x);
      const change = this.weights.distance(this.#error, x);
      if (change < ITERATION_SHARE) return true;
      if (!(change < 1e12)) return false;
    }
    return false;
  }

  /** Implicit Euler over SETTLE_S from E x = e0 into `x` (which holds a guess); fills e1, g1 for `adopt`. */
  settle(mode: Mode, timeS: number, x: Float64Array): void {
    const lu = mode.settling();
    this.#fixed.set(this.e0);
    this.layout.step.sizeS = 0;
    this.layout.step.startS = timeS;
    this.#stage(mode, lu, SETTLE_S, x, 0);
    this.multiply(mode, x, this.e1);
    this.g0.fill(0);
    this.g1.fill(0);
    for (const row of mode.differential) {
      this.g1[row] = (sampleAt(this.e1, row) - sampleAt(this.e0, row)) / SETTLE_S;
    }
  }

  /** Makes the end of the step the start of the next. */
  adopt(): void {
    const { e0, g0 } = this;
    this.e0 = this.e1;
    this.g0 = this.g1;
    this.e1 = e0;
    this.g1 = g0;
  }

  /** out = E x, rows held algebraic by the mode included. */
  multiply(mode: Mode, x: Float64Array, out: Float64Array): void {
    out.fill(0);
    for (const { row, column, value } of mode.stamps.e) addAt(out, row, value * sampleAt(x, column));
  }
}
