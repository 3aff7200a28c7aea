// In which order the unknowns of a circuit are eliminated, and which entries that fills.

import { LEAST_PIVOT } from './sparse-lu.js';
import type { Stamps } from './stamps.js';

/** A pivot is chosen from what is at least this part of the largest left in its row: usual choice, Duff et al., 5.2. */
const CHOSEN_PIVOT_PART = 0.1;

/** Step i takes row `rows[i]` and eliminates the unknown in slot `columns[i]`. */
export interface Order {
  size: number;
  rows: Int32Array;
  columns: Int32Array;
  /** Filled entries by step: slots eliminated before (with the step that did it), and slots still to come. */
  lowerStart: Int32Array;
  lowerColumn: Int32Array;
  lowerStep: Int32Array;
  upperStart: Int32Array;
  upperColumn: Int32Array;
}

/**
 * Order for E + weight A of `stamps`, good for every matrix that has entries only where `pattern`, row by row, is 1.
 * Returns the slot that no row determines when the matrix is singular.
 */
export function orderOf(stamps: Stamps, weight: number, pattern: Uint8Array): Order | number {
  const { length } = stamps;
  const size = length - 1;
  const matrix = weighed(stamps, weight);
  const filled = pattern.slice();
  const rowsLeft = Array.from({ length: size }, (_, i) => i + 1);
  const columnsLeft = rowsLeft.slice();
  const rows = new Int32Array(size);
  const columns = new Int32Array(size);
  for (let step = 0; step < size; step++) {
    const chosen = choose(matrix, filled, length, rowsLeft, columnsLeft);
    if (!chosen) return undetermined(matrix, length, rowsLeft, columnsLeft);
    const { row, column } = chosen;
    rows[step] = row;
    columns[step] = column;
    rowsLeft.splice(rowsLeft.indexOf(row), 1);
    columnsLeft.splice(columnsLeft.indexOf(column), 1);
    const inRow = columnsLeft.filter((j) => filled[row * length + j]);
    for (const i of rowsLeft) {
      if (!filled[i * length + column]) continue;
      const factor = matrix[i * length + column]! / matrix[row * length + column]!;
      for (const j of inRow) {
        matrix[i * length + j]! -= factor * matrix[row * length + j]!;
        filled[i * length + j] = 1;
      }
    }
  }
  return { size, rows, columns, ...entriesOf(filled, length, rows, columns) };
}

function weighed({ a, algebraic, eRow, eColumn, eValue, length }: Stamps, weight: number): Float64Array {
  const matrix = a.slice();
  for (let row = 1; row < length; row++) {
    if (algebraic[row]) continue;
    for (let k = row * length; k < (row + 1) * length; k++) matrix[k]! *= weight;
  }
  for (let k = 0; k < eRow.length; k++) {
    if (!algebraic[eRow[k]!]) matrix[eRow[k]! * length + eColumn[k]!]! += eValue[k]!;
  }
  return matrix;
}

/** The entry that fills least; on the diagonal while one there holds, since a contact that opens leaves that standing. */
function choose(
  matrix: Float64Array,
  filled: Uint8Array,
  length: number,
  rowsLeft: readonly number[],
  columnsLeft: readonly number[],
): { row: number; column: number } | undefined {
  const inColumn = new Int32Array(length);
  for (const i of rowsLeft) for (const j of columnsLeft) inColumn[j]! += filled[i * length + j]!;
  let best: { row: number; column: number } | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const i of rowsLeft) {
    let inRow = 0;
    let largest = LEAST_PIVOT;
    for (const j of columnsLeft) {
      inRow += filled[i * length + j]!;
      largest = Math.max(largest, Math.abs(matrix[i * length + j]!));
    }
    for (const j of columnsLeft) {
      const size = Math.abs(matrix[i * length + j]!);
      if (!(size >= CHOSEN_PIVOT_PART * largest) || size <= LEAST_PIVOT) continue;
      const fills = (inRow - 1) * (inColumn[j]! - 1) + (i === j ? 0 : length * length);
      if (fills >= least) continue;
      least = fills;
      best = { row: i, column: j };
    }
  }
  return best;
}

function undetermined(
  matrix: Float64Array,
  length: number,
  rowsLeft: readonly number[],
  columnsLeft: readonly number[],
): number {
  const isEmpty = (column: number): boolean => rowsLeft.every((row) => matrix[row * length + column] === 0);
  return columnsLeft.find(isEmpty) ?? columnsLeft[0]!;
}

function entriesOf(
  filled: Uint8Array,
  length: number,
  rows: Int32Array,
  columns: Int32Array,
): Pick<Order, 'lowerStart' | 'lowerColumn' | 'lowerStep' | 'upperStart' | 'upperColumn'> {
  const [lowerStart, lowerColumn, lowerStep, upperStart, upperColumn]: number[][] = [[0], [], [], [0], []];
  rows.forEach((row, i) => {
    columns.forEach((column, step) => {
      if (step === i || !filled[row * length + column]) return;
      if (step > i) upperColumn!.push(column);
      else {
        lowerColumn!.push(column);
        lowerStep!.push(step);
      }
    });
    lowerStart!.push(lowerColumn!.length);
    upperStart!.push(upperColumn!.length);
  });
  return {
    lowerStart: Int32Array.from(lowerStart!),
    lowerColumn: Int32Array.from(lowerColumn!),
    lowerStep: Int32Array.from(lowerStep!),
    upperStart: Int32Array.from(upperStart!),
    upperColumn: Int32Array.from(upperColumn!),
  };
}
