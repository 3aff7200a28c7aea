// Weighted linear least squares with covariance, as in the GUM's line fit (JCGM 100:2008, H.3).

import { backSubstitute, inverseSquare, triangularise } from './householder.js';

export interface LinearFit {
  parameters: number[];
  /** By rows; from the scatter of the residuals, or from the given uncertainties. */
  covariance: number[][];
  /** Standard deviation of a reading of weight one about the fit. */
  residualDeviation: number;
  degreesOfFreedom: number;
}

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
  const norms = new Float64Array(count);
  rows.forEach((row, i) => {
    const weight = uncertainties ? 1 / uncertainties[i]! : 1;
    right[i] = values[i]! * weight;
    for (let j = 0; j < count; j++) {
      matrix[j * rows.length + i] = row[j]! * weight;
      norms[j]! += (row[j]! * weight) ** 2;
    }
  });
  const triangle = triangularise({ rows: rows.length, columns: count, values: matrix }, right);
  for (let j = 0; j < count; j++) {
    if (!(Math.abs(triangle.upper[j * count + j]!) > 1e-10 * Math.sqrt(norms[j]!)))
      throw new RangeError(`fitLinear: the points do not tell parameter ${j + 1} apart from those before it`);
  }
  const degreesOfFreedom = rows.length - count;
  const variance = degreesOfFreedom > 0 ? triangle.restSquares / degreesOfFreedom : 0;
  const factor = uncertainties ? Math.max(1, variance) : variance;
  const unit = inverseSquare(triangle);
  return {
    parameters: [...backSubstitute(triangle, triangle.right)],
    covariance: Array.from({ length: count }, (_, i) =>
      Array.from({ length: count }, (_, j) => factor * unit[i * count + j]!),
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
    value += a * fit.parameters[i]!;
    row.forEach((b, j) => {
      variance += a * b * fit.covariance[i]![j]!;
    });
  });
  return { value, standardUncertainty: Math.sqrt(Math.max(0, variance)) };
}
