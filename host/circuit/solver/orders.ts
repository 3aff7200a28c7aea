// The orders of pivots that the matrices of one circuit have needed so far; most circuits need one or two.

import { itemAt, wholeAt } from '../../arrays/index.js';
import { CircuitError } from '../transient.js';
import type { Layout } from './layout.js';
import { type Order, orderOf } from './pivot-order.js';
import { factorise, type LuFactors } from './sparse-lu.js';
import type { Stamps } from './stamps.js';

export class Orders {
  /** Latest first. */
  readonly #known: Order[] = [];
  readonly #pattern: Uint8Array;
  readonly #work: Float64Array;

  constructor(readonly layout: Layout) {
    this.#pattern = new Uint8Array(layout.length ** 2);
    this.#work = new Float64Array(layout.length);
  }

  /** Makes room for the entries of `stamps`; before its first factors are asked for. */
  admit({ a, e, length }: Stamps): void {
    const pattern = this.#pattern;
    let isNew = false;
    const add = (at: number): void => {
      if (pattern[at]) return;
      pattern[at] = 1;
      isNew = true;
    };
    for (let at = 0; at < a.length; at++) if (a[at] !== 0) add(at);
    for (const { row, column } of e) add(row * length + column);
    if (isNew) this.#known.length = 0;
  }

  /**
   * Factors of E + weight A, rows held algebraic as A.
   * @throws CircuitError naming an unknown that nothing determines.
   */
  factorise(stamps: Stamps, weight: number): LuFactors {
    for (const order of this.#known) {
      const factors = factorise(stamps, weight, order, this.#work);
      if (factors) return factors;
    }
    const order = orderOf(stamps, weight, this.#pattern);
    if (typeof order === 'number') throw this.#noSolution(order);
    this.#known.unshift(order);
    const factors = factorise(stamps, weight, order, this.#work);
    if (!factors) throw this.#noSolution(wholeAt(order.slots, order.slots.length - 1));
    return factors;
  }

  #noSolution(slot: number): CircuitError {
    const name = itemAt(this.layout.names, slot);
    return new CircuitError({
      code: 'no-convergence',
      sentence: `The circuit has no unique solution at ${name}: something there is undefined or set twice.`,
      nodes: [name],
      elements: [],
    });
  }
}
