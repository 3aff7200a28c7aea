// Finds where inside a step the first guard becomes void.

import type { Part } from '../elements/part.js';
import { GAMMA } from './held-step.js';
import type { Layout } from './layout.js';

/** A guard is void below minus this; its own units are of order one. */
export const GUARD_MARGIN = 1e-6;
const MOST_HALVINGS = 60;

export class Crossing {
  readonly #x: Float64Array;
  readonly #guarded: Part[];

  constructor(
    parts: readonly Part[],
    readonly layout: Layout,
  ) {
    this.#x = new Float64Array(layout.length);
    this.#guarded = parts.filter((part) => part.hasGuard);
  }

  /** The first fraction in (0, last] at which a guard is void, or 2. */
  first(last: number): number {
    let found = 2;
    let end = last;
    for (const part of this.#guarded) {
      const s = this.#within(part, end);
      if (s > 1) continue;
      found = s;
      end = s;
    }
    return found;
  }

  #at(part: Part, s: number): number {
    const { step } = this.layout;
    const timeS = step.startS + s * step.sizeS;
    if (s === 0) return part.guard(step.x0, 0, timeS);
    if (s === GAMMA) return part.guard(step.xg, s, timeS);
    if (s === 1) return part.guard(step.x1, s, timeS);
    step.fill(this.#x, s);
    return part.guard(this.#x, s, timeS);
  }

  #within(part: Part, end: number): number {
    const middle = end > GAMMA ? GAMMA : end / 2;
    const gm = this.#at(part, middle);
    if (gm < -GUARD_MARGIN) return this.#locate(part, 0, middle);
    const ge = this.#at(part, end);
    if (ge < -GUARD_MARGIN) return this.#locate(part, middle, end);
    // A dip between the points shows in the parabola through them.
    const g0 = this.#at(part, 0);
    const slope = (gm - g0) / middle;
    const bend = ((ge - gm) / (end - middle) - slope) / end;
    if (!(bend > 0)) return 2;
    const lowest = middle / 2 - slope / (2 * bend);
    if (!(lowest > 0 && lowest < end)) return 2;
    if (g0 + lowest * (slope + (lowest - middle) * bend) > -GUARD_MARGIN) return 2;
    return this.#at(part, lowest) < -GUARD_MARGIN ? this.#locate(part, 0, lowest) : 2;
  }

  /** Illinois false position; ends on the void side. */
  #locate(part: Part, from: number, to: number): number {
    let low = from;
    let high = to;
    let gLow = Math.max(this.#at(part, low) + GUARD_MARGIN, 1e-300);
    let gHigh = this.#at(part, high) + GUARD_MARGIN;
    for (let round = 0; round < MOST_HALVINGS && high - low > 1e-12; round++) {
      if (gHigh > -0.1 * GUARD_MARGIN) break;
      let s = (low * -gHigh + high * gLow) / (gLow - gHigh);
      if (round % 4 === 3 || !(s > low && s < high)) s = (low + high) / 2;
      const g = this.#at(part, s) + GUARD_MARGIN;
      if (g < 0) {
        high = s;
        gHigh = g;
        gLow /= 2;
      } else {
        low = s;
        gLow = Math.max(g, 1e-300);
        gHigh /= 2;
      }
    }
    return high;
  }
}
