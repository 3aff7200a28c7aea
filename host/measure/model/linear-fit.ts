// Weighted linear least squares with covariance, as in the GUM's line fit (JCGM 100:2008, H.3).

import { itemAt, sampleAt } from '../../arrays/index.js';
import { backSubstitute, entryAt, inverseSquare, triangularise } from './householder.js';
import { dot } from './vectors.js';

export interface LinearFit {
  parameters: number[];
  /** By rows; from the scatter of the residuals, or from the given uncertainties. */
  covariance: number[][];
  /** Standard deviation of a reading of weight one about the fit. */
  residualDeviation: number;
  degreesOfFreedom: number;
}

/** A column that those before it tell but for this part of it tells nothing of its own. */
const TOLD = 1e-10;

/**
 * Fits values = rows x parameters. With `uncertainties` each row weighs 1/u^2, and the covariance is what these
 * uncertainties give, widened when the scatter is wider than they say.
 * @throws RangeError when there are fewer rows than parameters, or the rows do not fix every parameter.
 */
export function fitLinear(
  rows: readonly (readonly number[])[],
  values: readonly number[],
  uncertainties?: readonly number[],
): LinearFit {
  const count = rows[0]?.length ?? 0;
  if (count === 0 || rows.length < count)
    throw new RangeError(`fitLinear: ${rows.length} rows cannot fix ${count} parameters`);
  const matrix = new Float64Array(rows.length * count);
  const right = new Float64Array(rows.length);
  rows.forEach((row, i) => {
    const weight = uncertainties ? 1 / itemAt(uncertainties, i) : 1;
    right[i] = itemAt(values, i) * weight;
    row.forEach((value, j) => {
      matrix[j * rows.length + i] = value * weight;
    });
  });
  const triangle = triangularise({ rows: rows.length, columns: count, values: matrix }, right);
  for (let j = 0; j < count; j++) {
    const column = matrix.subarray(j * rows.length, (j + 1) * rows.length);
    if (!(Math.abs(entryAt(triangle, j, j)) > TOLD * Math.sqrt(dot(column, column))))
      throw new RangeError(`fitLinear: the points do not tell parameter ${j + 1} apart from those before it`);
  }
  const degreesOfFreedom = rows.length - count;
  const variance = degreesOfFreedom > 0 ? triangle.restSquares / degreesOfFreedom : 0;
  const factor = uncertainties ? Math.max(1, variance) : variance;
  const unit = inverseSquare(triangle);
  return {
    parameters: [...backSubstitute(triangle, triangle.right)],
    covariance: Array.from({ length: count }, (_, i) =>
      Array.from({ length: count }, (_, j) => factor * sampleAt(unit, i * count + j)),
    ),
    residualDeviation: Math.sqrt(variance),
    degreesOfFreedom,
  };
}

/** Value of the fit at a row of its design, with its standard uncertainty from the whole covariance (GUM 5.2.2). */
export function predictLinear(
  fit: LinearFit,
  row: readonly number[],
): { value: number; standardUncertainty: number } {
  let value = 0;
  let variance = 0;
  row.forEach((a, i) => {
    value += a * itemAt(fit.parameters, i);
    const covariance = itemAt(fit.covariance, i);
    row.forEach((b, j) => {
      variance += a * b * itemAt(covariance, j);
    });
  });
  return { value, standardUncertainty: Math.sqrt(Math.max(0, variance)) };
}
