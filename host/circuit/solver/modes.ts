// One matrix per combination of element modes, one factorisation per matrix and step size, all kept.

import type { Part } from '../elements/part.js';
import { CircuitError } from '../transient.js';
import { factorise, type LuFactors } from './dense-lu.js';
import type { Layout } from './layout.js';
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

  constructor(
    readonly stamps: Stamps,
    readonly layout: Layout,
  ) {}

  /** Factors of E + STAGE h A for h = 2^level; algebraic rows stand as A. */
  factors(level: number): LuFactors {
    const known = this.#factors[level - LOWEST_LEVEL];
    if (known) return known;
    const made = this.#factorise(STAGE * 2 ** level);
    this.#factors[level - LOWEST_LEVEL] = made;
    return made;
  }
  settling(): LuFactors {
    this.#settling ??= this.#factorise(SETTLE_S);
    return this.#settling;
  }
  #factorise(weight: number): LuFactors {
    const { a, algebraic, eRow, eColumn, eValue, length } = this.stamps;
    const matrix = a.slice();
    for (let row = 1; row < length; row++) {
      if (algebraic[row]) continue;
      for (let k = row * length; k < (row + 1) * length; k++) matrix[k]! *= weight;
    }
    for (let k = 0; k < eRow.length; k++) {
      if (!algebraic[eRow[k]!]) matrix[eRow[k]! * length + eColumn[k]!]! += eValue[k]!;
    }
    const result = factorise(matrix, length);
    if (typeof result !== 'number') return result;
    const name = this.layout.names[result]!;
    throw new CircuitError({
      code: 'no-convergence',
      sentence: `The circuit has no unique solution at ${name}: something there is undefined or set twice.`,
      nodes: [name],
      elements: [],
    });
  }
}

export class Modes {
  readonly #known = new Map<string, Mode>();

  constructor(
    readonly parts: readonly Part[],
    readonly layout: Layout,
  ) {}

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
    const mode = new Mode(stamps, this.layout);
    if (this.#known.size >= MOST_MODES) this.#known.clear();
    this.#known.set(key, mode);
    return mode;
  }
}
