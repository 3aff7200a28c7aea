// One matrix per combination of element modes, one factorisation per matrix and step size, all kept.

import type { Part } from '../elements/part.js';
import type { Layout } from './layout.js';
import { Orders } from './orders.js';
import type { LuFactors } from './sparse-lu.js';
import { Stamps } from './stamps.js';

/** Stage coefficient of TR-BDF2, gamma / 2. */
export const STAGE = 1 - Math.SQRT1_2;
/** Implicit Euler step that carries the state over an event, s: long against rounding, short against any circuit here. */
export const SETTLE_S = 1e-9;
const LOWEST_LEVEL = -48;
/** Matrices kept; a bimetal or bounce makes few, a broken circuit could make many. */
const MOST_MODES = 4096;

export class Mode {
  readonly #factors: (LuFactors | undefined)[] = [];
  #settling: LuFactors | undefined;
  /** Rows that hold with their derivative. */
  readonly differential: Int32Array;

  constructor(
    readonly stamps: Stamps,
    readonly orders: Orders,
  ) {
    this.differential = stamps.differentialRows();
  }

  /** Factors of E + STAGE h A for h = 2^level; algebraic rows stand as A. */
  factors(level: number): LuFactors {
    const known = this.#factors[level - LOWEST_LEVEL];
    if (known) return known;
    const made = this.orders.factorise(this.stamps, STAGE * 2 ** level);
    this.#factors[level - LOWEST_LEVEL] = made;
    return made;
  }
  settling(): LuFactors {
    this.#settling ??= this.orders.factorise(this.stamps, SETTLE_S);
    return this.#settling;
  }
}

export class Modes {
  readonly #known = new Map<string, Mode>();
  readonly #orders: Orders;

  constructor(
    readonly parts: readonly Part[],
    readonly layout: Layout,
  ) {
    this.#orders = new Orders(layout);
  }

  key(): string {
    let key = '';
    for (const part of this.parts) key += String.fromCharCode(part.mode + 1);
    return key;
  }
  /** The matrix of the parts' present modes. */
  present(key: string): Mode {
    const known = this.#known.get(key);
    if (known) return known;
    const stamps = new Stamps(this.layout.length);
    for (const part of this.parts) part.stamp(stamps);
    this.#orders.admit(stamps);
    const mode = new Mode(stamps, this.#orders);
    if (this.#known.size >= MOST_MODES) this.#known.clear();
    this.#known.set(key, mode);
    return mode;
  }
}
