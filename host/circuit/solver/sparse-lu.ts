// LU factors of one circuit's matrices, E + weight A. What costs is finding an order of pivots; it is found once and
// followed by every matrix in which its pivots hold. Markowitz's count for the order, a threshold within the row for
// the pivots: Duff, Erisman and Reid, Direct Methods for Sparse Matrices, 5.2 and 7.2.

import type { Order } from './pivot-order.js';
import type { Stamps } from './stamps.js';

/** A pivot holds when it is at least this part of what is left of its row. Choice of this solver. */
const LEAST_PIVOT_PART = 1e-3;
export const LEAST_PIVOT = 1e-300;

export class LuFactors {
  constructor(
    readonly order: Order,
    readonly lower: Float64Array,
    readonly upper: Float64Array,
    readonly inversePivot: Float64Array,
  ) {}

  /** Solves in place of `out` (slots 1..size) for `right`; the two must differ. */
  solve(right: Float64Array, out: Float64Array): void {
    const { lower, upper, inversePivot } = this;
    const { size, rows, columns, lowerStart, lowerColumn, upperStart, upperColumn } = this.order;
    for (let i = 0, k = 0; i < size; i++) {
      let sum = right[rows[i]!]!;
      const end = lowerStart[i + 1]!;
      for (; k < end; k++) sum -= lower[k]! * out[lowerColumn[k]!]!;
      out[columns[i]!] = sum;
    }
    for (let i = size - 1; i >= 0; i--) {
      let sum = out[columns[i]!]!;
      const end = upperStart[i + 1]!;
      for (let k = upperStart[i]!; k < end; k++) sum -= upper[k]! * out[upperColumn[k]!]!;
      out[columns[i]!] = sum * inversePivot[i]!;
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
  const { a, algebraic, eRow, eColumn, eValue, length } = stamps;
  const { size, rows, columns, lowerStart, lowerColumn, lowerStep, upperStart, upperColumn } = order;
  const lower = new Float64Array(lowerColumn.length);
  const upper = new Float64Array(upperColumn.length);
  const inversePivot = new Float64Array(size);
  for (let i = 0; i < size; i++) {
    const row = rows[i]!;
    const pivotColumn = columns[i]!;
    const base = row * length;
    const [lowerFrom, lowerTo, upperFrom, upperTo] = [
      lowerStart[i]!,
      lowerStart[i + 1]!,
      upperStart[i]!,
      upperStart[i + 1]!,
    ];
    const by = algebraic[row] ? 1 : weight;
    for (let k = lowerFrom; k < lowerTo; k++) work[lowerColumn[k]!] = by * a[base + lowerColumn[k]!]!;
    for (let k = upperFrom; k < upperTo; k++) work[upperColumn[k]!] = by * a[base + upperColumn[k]!]!;
    work[pivotColumn] = by * a[base + pivotColumn]!;
    if (!algebraic[row]) {
      for (let k = 0; k < eRow.length; k++) if (eRow[k] === row) work[eColumn[k]!]! += eValue[k]!;
    }
    for (let k = lowerFrom; k < lowerTo; k++) {
      const step = lowerStep[k]!;
      const factor = work[lowerColumn[k]!]! * inversePivot[step]!;
      lower[k] = factor;
      if (factor === 0) continue;
      const end = upperStart[step + 1]!;
      for (let t = upperStart[step]!; t < end; t++) work[upperColumn[t]!]! -= factor * upper[t]!;
    }
    let largest = LEAST_PIVOT;
    for (let k = upperFrom; k < upperTo; k++) {
      const value = work[upperColumn[k]!]!;
      upper[k] = value;
      if (Math.abs(value) > largest) largest = Math.abs(value);
    }
    const pivot = work[pivotColumn]!;
    if (!(Math.abs(pivot) >= LEAST_PIVOT_PART * largest)) return undefined;
    inversePivot[i] = 1 / pivot;
  }
  return new LuFactors(order, lower, upper, inversePivot);
}
