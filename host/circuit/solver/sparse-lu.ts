// LU factors of one circuit's matrices, E + weight A. What costs is finding an order of pivots; it is found once and
// followed by every matrix in which its pivots hold. Markowitz's count for the order, a threshold within the row for
// the pivots: Duff, Erisman and Reid, Direct Methods for Sparse Matrices, 5.2 and 7.2.

import { sampleAt, wholeAt } from '../../arrays/index.js';
import type { Order } from './pivot-order.js';
import { addAt, type Stamps } from './stamps.js';

/** A pivot holds when it is at least this part of what is left of its row. Choice of this solver. */
const LEAST_PIVOT_PART = 1e-3;
export const LEAST_PIVOT = 1e-300;

export class LuFactors {
  /** `values` by entry of `order`; of a pivot its inverse. */
  constructor(
    readonly order: Order,
    readonly values: Float64Array,
  ) {}

  /** Solves in place of `out` (slots 1..size) for `right`; the two must differ. */
  solve(right: Float64Array, out: Float64Array): void {
    const { values } = this;
    const { size, rows, starts, pivots, slots } = this.order;
    for (let i = 0; i < size; i++) {
      const pivot = pivots[i]!;
      let sum = right[rows[i]!]!;
      for (let k = starts[i]!; k < pivot; k++) sum -= values[k]! * out[slots[k]!]!;
      out[slots[pivot]!] = sum;
    }
    for (let i = size - 1; i >= 0; i--) {
      const pivot = pivots[i]!;
      const end = starts[i + 1]!;
      const slot = slots[pivot]!;
      let sum = out[slot]!;
      for (let k = pivot + 1; k < end; k++) sum -= values[k]! * out[slots[k]!]!;
      out[slot] = sum * values[pivot]!;
    }
  }
}

/** Undefined where a pivot of this order does not hold. `work` has a slot for each unknown. */
export function factorise(
  stamps: Stamps,
  weight: number,
  order: Order,
  work: Float64Array,
): LuFactors | undefined {
  const { a, e, length } = stamps;
  const { size, rows, starts, pivots, slots, steps } = order;
  const values = new Float64Array(slots.length);
  for (let i = 0; i < size; i++) {
    const row = wholeAt(rows, i);
    const start = wholeAt(starts, i);
    const pivot = wholeAt(pivots, i);
    const end = wholeAt(starts, i + 1);
    const isAlgebraic = stamps.isAlgebraic(row);
    const by = isAlgebraic ? 1 : weight;
    for (let k = start; k < end; k++) {
      const slot = wholeAt(slots, k);
      work[slot] = by * sampleAt(a, row * length + slot);
    }
    if (!isAlgebraic) for (const entry of e) if (entry.row === row) addAt(work, entry.column, entry.value);
    for (let k = start; k < pivot; k++) {
      const step = wholeAt(steps, k);
      const from = wholeAt(pivots, step);
      const factor = sampleAt(work, wholeAt(slots, k)) * sampleAt(values, from);
      values[k] = factor;
      if (factor === 0) continue;
      const to = wholeAt(starts, step + 1);
      for (let t = from + 1; t < to; t++) addAt(work, wholeAt(slots, t), -factor * sampleAt(values, t));
    }
    let largest = LEAST_PIVOT;
    for (let k = pivot + 1; k < end; k++) {
      const value = sampleAt(work, wholeAt(slots, k));
      values[k] = value;
      if (Math.abs(value) > largest) largest = Math.abs(value);
    }
    const left = sampleAt(work, wholeAt(slots, pivot));
    if (!(Math.abs(left) >= LEAST_PIVOT_PART * largest)) return undefined;
    values[pivot] = 1 / left;
  }
  return new LuFactors(order, values);
}
