// Orthogonal triangular form of a tall matrix by Householder reflections (Golub and Van Loan, Matrix Computations,
// 5.2): what both fits stand on. Normal equations would cost half of the digits.

import { itemAt, sampleAt } from '../../arrays/index.js';
import { addScaled, dot } from './vectors.js';

/** A matrix by columns: entry (row, column) stands at column * rows + row. */
export interface ColumnMatrix {
  rows: number;
  columns: number;
  values: Float64Array;
}

export interface Triangular {
  size: number;
  /** Upper triangle by rows, size x size. */
  upper: Float64Array;
  /** First `size` entries of the turned right side. */
  right: Float64Array;
  /** Sum of squares of the right side that no column reaches. */
  restSquares: number;
}

/** Rows turned at once: short, so that a parameter of one throw costs nothing in the others. */
const BLOCK_ROWS = 400;

/** A column below this has died away; its square would leave the range of numbers. */
const VOID = 1e-150;

/** Entry of the upper triangle. */
export const entryAt = ({ size, upper }: Triangular, row: number, column: number): number =>
  sampleAt(upper, row * size + column);

/**
 * Triangular form of `matrix` with `right`, both left as they are; needs rows >= columns. Taken block by block of rows
 * (Golub and Van Loan 5.1.10, the QR of stacked triangles), each by the columns alone that are not void in it.
 */
export function triangularise({ rows, columns, values }: ColumnMatrix, right: Float64Array): Triangular {
  const stretchOf = (column: number, from: number, to: number): Float64Array =>
    values.subarray(column * rows + from, column * rows + to);
  const all = Array.from({ length: columns }, (_, j) => j);
  if (rows <= 2 * BLOCK_ROWS)
    return turned(
      copiesOf(
        all.map((j) => stretchOf(j, 0, rows)),
        rows,
      ),
      right.slice(),
    );
  const parts: { places: number[]; triangle: Triangular }[] = [];
  for (let from = 0; from < rows; from += BLOCK_ROWS) {
    const to = Math.min(rows, from + BLOCK_ROWS);
    const places = all.filter((j) => !isVoid(values, j * rows + from, j * rows + to));
    const count = Math.max(to - from, places.length);
    const block = copiesOf(
      places.map((j) => stretchOf(j, from, to)),
      count,
    );
    const blockRight = new Float64Array(count);
    blockRight.set(right.subarray(from, to));
    parts.push({ places, triangle: turned(block, blockRight) });
  }
  const height = parts.reduce((sum, { places }) => sum + places.length, 0);
  const stacked = all.map(() => new Float64Array(Math.max(columns, height)));
  const stackedRight = new Float64Array(Math.max(columns, height));
  let at = 0;
  for (const { places, triangle } of parts) {
    places.forEach((place, j) => {
      const column = itemAt(stacked, place);
      for (let i = 0; i <= j; i++) column[at + i] = entryAt(triangle, i, j);
    });
    stackedRight.set(triangle.right, at);
    at += places.length;
  }
  const whole = turned(stacked, stackedRight);
  const restSquares = parts.reduce((sum, { triangle }) => sum + triangle.restSquares, 0);
  return { ...whole, restSquares: whole.restSquares + restSquares };
}

function isVoid(values: Float64Array, from: number, to: number): boolean {
  for (let i = from; i < to; i++) if (values[i] !== 0) return false;
  return true;
}

/** Copies of `length`, zeros behind what is shorter, in one piece of memory. */
function copiesOf(columns: readonly Float64Array[], length: number): Float64Array[] {
  const block = new Float64Array(columns.length * length);
  return columns.map((column, n) => {
    const copy = block.subarray(n * length, (n + 1) * length);
    copy.set(column);
    return copy;
  });
}

/** Turns `columns` and `right`, all overwritten. */
function turned(columns: readonly Float64Array[], right: Float64Array): Triangular {
  const size = columns.length;
  const upper = new Float64Array(size * size);
  for (let k = 0; k < size; k++) {
    const column = itemAt(columns, k);
    const head = sampleAt(column, k);
    const length = Math.sqrt(dot(column, column, k));
    const isGone = length < VOID;
    const norm = head > 0 ? -length : length;
    // What is left of the column once its head is taken to the norm turns all others.
    column[k] = head - norm;
    const scale = 1 / (norm * (head - norm));
    upper[k * size + k] = isGone ? 0 : norm;
    for (let j = k + 1; j < size; j++) {
      const other = itemAt(columns, j);
      if (!isGone) reflect(column, other, k, scale);
      upper[k * size + j] = sampleAt(other, k);
    }
    if (!isGone) reflect(column, right, k, scale);
  }
  const rest = right.subarray(size);
  return { size, upper, right: right.slice(0, size), restSquares: dot(rest, rest) };
}

/** Reflects `target` from row `k` on. */
const reflect = (vector: Float64Array, target: Float64Array, k: number, scale: number): void =>
  addScaled(target, vector, scale * dot(vector, target, k), k);

/** Solves upper x = right; a column without weight gives 0. */
export function backSubstitute(triangle: Triangular, right: Float64Array): Float64Array {
  const { size } = triangle;
  const x = new Float64Array(size);
  for (let i = size - 1; i >= 0; i--) {
    let sum = sampleAt(right, i);
    for (let j = i + 1; j < size; j++) sum -= entryAt(triangle, i, j) * sampleAt(x, j);
    const pivot = entryAt(triangle, i, i);
    x[i] = pivot === 0 ? 0 : sum / pivot;
  }
  return x;
}

/** Inverse of (upper^T upper), by rows: the covariance at unit residual deviation. Infinite where a column is void. */
export function inverseSquare(triangle: Triangular): Float64Array {
  const { size } = triangle;
  const inverse = Array.from({ length: size }, () => new Float64Array(size));
  for (let column = 0; column < size; column++) {
    const unit = new Float64Array(size);
    unit[column] = 1;
    const x = backSubstitute(triangle, unit);
    inverse.forEach((row, i) => {
      row[column] = sampleAt(x, i);
    });
  }
  const covariance = new Float64Array(size * size);
  inverse.forEach((row, i) => {
    inverse.forEach((other, j) => {
      covariance[i * size + j] = dot(row, other, Math.max(i, j));
    });
    if (entryAt(triangle, i, i) === 0) covariance[i * size + i] = Number.POSITIVE_INFINITY;
  });
  return covariance;
}
