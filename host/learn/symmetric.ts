// Symmetric positive definite matrices of a few rows: root and inverse (Cholesky; Golub and Van Loan, 4.2).

import { itemAt } from '../arrays/index.js';

export type Matrix = readonly (readonly number[])[];

const at = (matrix: Matrix, i: number, j: number): number => itemAt(itemAt(matrix, i), j);

/** Lower triangle whose product with its own transpose is `matrix`. @throws RangeError where it is not definite */
export function rootOf(matrix: Matrix): number[][] {
  const root: number[][] = [];
  for (let i = 0; i < matrix.length; i++) {
    const row: number[] = [];
    for (let j = 0; j <= i; j++) {
      let rest = at(matrix, i, j);
      const other = j === i ? row : itemAt(root, j);
      for (let k = 0; k < j; k++) rest -= itemAt(row, k) * itemAt(other, k);
      if (j < i) row.push(rest / at(root, j, j));
      else if (rest > 0) row.push(Math.sqrt(rest));
      else throw new RangeError(`matrix is not positive definite in row ${i}`);
    }
    root.push(row);
  }
  return root;
}

/** @throws RangeError where it is not definite */
export function inverseOf(matrix: Matrix): number[][] {
  const root = rootOf(matrix);
  const size = matrix.length;
  // Inverse of the root, row by row; its transpose times itself is the inverse of the matrix.
  const back: number[][] = [];
  for (let i = 0; i < size; i++) {
    const row = new Array<number>(size).fill(0);
    for (let j = 0; j <= i; j++) {
      let sum = i === j ? 1 : 0;
      for (let k = j; k < i; k++) sum -= at(root, i, k) * at(back, k, j);
      row[j] = sum / at(root, i, i);
    }
    back.push(row);
  }
  const columns = back.map((_, k) => back.map((row) => itemAt(row, k)));
  return columns.map((column) => columns.map((other) => dot(column, other)));
}

export const times = (matrix: Matrix, vector: readonly number[]): number[] =>
  matrix.map((row) => dot(row, vector));

export function dot(a: readonly number[], b: readonly number[]): number {
  let sum = 0;
  for (let k = 0; k < a.length; k++) sum += itemAt(a, k) * itemAt(b, k);
  return sum;
}
