// How far a set of readings lies from good units when taken together: Mahalanobis distance in the logarithms,
// with a limit from Hotelling's T squared for one new unit (prediction region, e.g. Johnson and Wichern, 5.4).

import { fisherQuantile } from '../measure/index.js';

/** Covariance of good units in the logarithm of a few readings. */
export interface JointSpread {
  names: string[];
  mean: number[];
  covariance: number[][];
  count: number;
}

/** Undefined when some reading is not positive in some draw. `rows` are draws, columns the names. */
export function jointSpread(
  names: readonly string[],
  rows: readonly (readonly number[])[],
): JointSpread | undefined {
  if (names.length < 2 || rows.length < 4 * names.length) return undefined;
  if (rows.some((row) => row.some((value) => !(value > 0)))) return undefined;
  const logs = rows.map((row) => row.map(Math.log));
  const mean = names.map((_, k) => logs.reduce((sum, row) => sum + row[k]!, 0) / logs.length);
  const covariance = names.map((_, a) =>
    names.map(
      (_, b) =>
        logs.reduce((sum, row) => sum + (row[a]! - mean[a]!) * (row[b]! - mean[b]!), 0) / (logs.length - 1),
    ),
  );
  return { names: [...names], mean, covariance, count: rows.length };
}

/** Distance of `values` (positive), each with its relative standard uncertainty, and the uncertainty that those give it. */
export function jointDistance(
  spread: JointSpread,
  values: readonly number[],
  relative: readonly number[],
): { distance: number; standardUncertainty: number } {
  const offset = values.map((value, k) => Math.log(value) - spread.mean[k]!);
  const weighted = solve(spread.covariance, offset);
  const square = offset.reduce((sum, value, k) => sum + value * weighted[k]!, 0);
  const distance = Math.sqrt(Math.max(0, square));
  // d(distance)/d(log value) = weighted / distance.
  const variance = weighted.reduce((sum, w, k) => sum + (w * relative[k]!) ** 2, 0);
  return {
    distance,
    standardUncertainty: distance > 0 ? Math.sqrt(variance) / distance : Math.sqrt(variance),
  };
}

/** Distance of `offset` from 0 in spreads of `covariance`. */
export function mahalanobis(covariance: readonly (readonly number[])[], offset: readonly number[]): number {
  const weighted = solve(covariance, offset);
  return Math.sqrt(
    Math.max(
      0,
      offset.reduce((sum, value, k) => sum + value * weighted[k]!, 0),
    ),
  );
}

/** Distance that a new good unit exceeds with probability 1 - `part`. */
export function jointLimit(spread: JointSpread, part: number): number {
  const p = spread.names.length;
  const n = spread.count;
  return Math.sqrt(((p * (n + 1) * (n - 1)) / (n * (n - p))) * fisherQuantile(part, p, n - p));
}

/** Gaussian elimination with pivoting; a small ridge keeps readings that always move together from being divided by nothing. */
function solve(matrix: readonly (readonly number[])[], right: readonly number[]): number[] {
  const n = right.length;
  const rows = matrix.map((row, i) => [
    ...row.map((value, j) => (i === j ? value * 1.0001 + 1e-6 : value)),
    right[i]!,
  ]);
  for (let column = 0; column < n; column++) {
    let pivot = column;
    for (let r = column + 1; r < n; r++) {
      if (Math.abs(rows[r]![column]!) > Math.abs(rows[pivot]![column]!)) pivot = r;
    }
    [rows[column], rows[pivot]] = [rows[pivot]!, rows[column]!];
    for (let r = column + 1; r < n; r++) {
      const factor = rows[r]![column]! / rows[column]![column]!;
      for (let c = column; c <= n; c++) rows[r]![c]! -= factor * rows[column]![c]!;
    }
  }
  const out = new Array<number>(n).fill(0);
  for (let r = n - 1; r >= 0; r--) {
    let sum = rows[r]![n]!;
    for (let c = r + 1; c < n; c++) sum -= rows[r]![c]! * out[c]!;
    out[r] = sum / rows[r]![r]!;
  }
  return out;
}
