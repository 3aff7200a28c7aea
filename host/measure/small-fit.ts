// A few curves added up by least squares, three at most, and what the sum says at one place. The design is worked out
// once for the places of the points; a fit of other readings at the same places is a handful of sums.

import { itemAt } from '../arrays/index.js';

export interface Basis {
  at: (u: number) => number;
  slope: (u: number) => number;
}

/** At one place: what the sum is there, by the readings, with its variance for residuals of variance one. */
interface There {
  weights: number[];
  variance: number;
}

export interface Design {
  columns: number[][];
  inverse: number[][];
  value: There;
  slope: There;
}

export interface BasisFit {
  residuals: number[];
  squares: number;
  value: number;
  slope: number;
}

/** Below this part of what it was a pivot is nothing: the curves are alike. */
const ALIKE = 1e-9;

/** Undefined where points at `u` do not tell the curves apart. */
export function designOf(basis: readonly Basis[], u: readonly number[], place: number): Design | undefined {
  const columns = basis.map((one) => u.map((x) => one.at(x)));
  const inverse = inverseOf(columns.map((a) => columns.map((b) => dot(a, b))));
  if (!inverse) return undefined;
  const there = (values: readonly number[]): There => {
    const factors = inverse.map((row) => dot(row, values));
    return {
      weights: u.map((_, i) =>
        columns.reduce((sum, column, j) => sum + itemAt(factors, j) * itemAt(column, i), 0),
      ),
      variance: Math.max(0, dot(values, factors)),
    };
  };
  return {
    columns,
    inverse,
    value: there(basis.map((one) => one.at(place))),
    slope: there(basis.map((one) => one.slope(place))),
  };
}

export function fitTo({ columns, inverse, value, slope }: Design, y: readonly number[]): BasisFit {
  const right = columns.map((column) => dot(column, y));
  const residuals = y.slice();
  columns.forEach((column, j) => {
    const parameter = dot(itemAt(inverse, j), right);
    for (let i = 0; i < residuals.length; i++)
      residuals[i] = itemAt(residuals, i) - parameter * itemAt(column, i);
  });
  return {
    residuals,
    squares: dot(residuals, residuals),
    value: dot(value.weights, y),
    slope: dot(slope.weights, y),
  };
}

function dot(a: readonly number[], b: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += itemAt(a, i) * itemAt(b, i);
  return sum;
}

/** Of a symmetric positive matrix, by elimination; undefined when it has no inverse. */
function inverseOf(matrix: readonly (readonly number[])[]): number[][] | undefined {
  const p = matrix.length;
  const rows = matrix.map((row, i) => [...row, ...row.map((_, j) => (i === j ? 1 : 0))]);
  for (let k = 0; k < p; k++) {
    const pivot = itemAt(itemAt(rows, k), k);
    if (!(pivot > ALIKE * itemAt(itemAt(matrix, k), k))) return undefined;
    rows[k] = itemAt(rows, k).map((value) => value / pivot);
    for (let i = 0; i < p; i++) {
      const factor = itemAt(itemAt(rows, i), k);
      if (i !== k) rows[i] = itemAt(rows, i).map((value, j) => value - factor * itemAt(itemAt(rows, k), j));
    }
  }
  return rows.map((row) => row.slice(p));
}
