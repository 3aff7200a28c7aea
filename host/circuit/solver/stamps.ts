// The linear system of one mode, E x' + A x = b, as elements write it. Modified nodal analysis after
// Ho, Ruehli, Brennan, IEEE Trans. CAS 22 (1975) 504. E is the same in every mode; rows may be constrained.

import { sampleAt } from '../../arrays/index.js';

/** Conductance left across an open contact, a blocking diode and a blown fuse, S. Keeps parted pieces of the circuit
 * at a defined potential; 12 V drive 0.12 uA through it. Choice of this solver, no source. */
export const LEAK_S = 1e-8;

/** Adds to one of `values`. */
export function addAt(values: Float64Array, index: number, amount: number): void {
  values[index] = sampleAt(values, index) + amount;
}

export class Stamps {
  readonly a: Float64Array;
  readonly b: Float64Array;
  readonly e: { row: number; column: number; value: number }[] = [];
  /** 1 where the row holds with its derivative in this mode. */
  readonly #differential: Uint8Array;

  constructor(readonly length: number) {
    this.a = new Float64Array(length * length);
    this.b = new Float64Array(length);
    this.#differential = new Uint8Array(length);
  }

  /** Adds to A. Ground's row and column are written but never solved. */
  add(row: number, column: number, value: number): void {
    addAt(this.a, row * this.length + column, value);
  }

  conductance(a: number, b: number, siemens: number): void {
    this.add(a, a, siemens);
    this.add(b, b, siemens);
    this.add(a, b, -siemens);
    this.add(b, a, -siemens);
  }

  /** Unknown `current` leaves node `a` and enters node `b`. */
  branch(a: number, b: number, current: number): void {
    this.add(a, current, 1);
    this.add(b, current, -1);
  }

  /** A fixed current from node `a` to node `b` through the element. */
  injection(a: number, b: number, currentA: number): void {
    addAt(this.b, a, -currentA);
    addAt(this.b, b, currentA);
  }

  /** Adds to E and makes the row differential. */
  derivative(row: number, column: number, value: number): void {
    if (column === 0) return;
    this.e.push({ row, column, value });
    this.#differential[row] = 1;
  }

  /** Replaces differential row `row` by `unknown = value` in this mode. Call after the row's other stamps. */
  constrain(row: number, unknown: number, value: number): void {
    this.a.fill(0, row * this.length, (row + 1) * this.length);
    this.add(row, unknown, 1);
    this.b[row] = value;
    this.#differential[row] = 0;
  }

  isAlgebraic(row: number): boolean {
    return this.#differential[row] !== 1;
  }

  differentialRows(): Int32Array {
    return Int32Array.from(this.#differential.keys()).filter((row) => !this.isAlgebraic(row));
  }
}
