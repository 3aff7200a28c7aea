// Correlation of many readings from few units: what the units show, drawn towards no correlation by as much as their
// number leaves open (Ledoit and Wolf 2004, on readings in spreads of their own; they call it well-conditioned).

import { itemAt } from '../arrays/index.js';
import { dot } from './symmetric.js';

/** Readings that always went together, as of many units, are still not divided by nothing. Choice of this program, no source. */
const LEAST_PART = 1e-3;

export interface Shrunk {
  /** How far it was drawn towards no correlation, 0 to 1. */
  part: number;
  correlation: number[][];
}

/**
 * @param rows one of each unit, a column a quantity, each column with mean 0 and mean square 1
 */
export function shrunkCorrelation(rows: readonly (readonly number[])[]): Shrunk {
  const count = rows.length;
  const columns = (rows[0] ?? []).map((_, k) => rows.map((row) => itemAt(row, k)));
  const half = columns.map((column, i) => columns.slice(0, i + 1).map((other) => dot(column, other) / count));
  const sample = columns.map((_, i) =>
    columns.map((__, j) => itemAt(itemAt(half, Math.max(i, j)), Math.min(i, j))),
  );
  // Squared distances by Frobenius' norm: of the sample from no correlation, and of each unit's product from the sample.
  let away = 0;
  let ofSample = 0;
  sample.forEach((row, i) => {
    row.forEach((value, j) => {
      away += (value - (i === j ? 1 : 0)) ** 2;
      ofSample += value * value;
    });
  });
  const fourth = rows.reduce((sum, row) => sum + dot(row, row) ** 2, 0);
  const noise = (fourth / count - ofSample) / count;
  const part = away > 0 ? Math.min(1, Math.max(LEAST_PART, noise / away)) : 1;
  return {
    part,
    correlation: sample.map((row, i) => row.map((value, j) => (i === j ? 1 : (1 - part) * value))),
  };
}
