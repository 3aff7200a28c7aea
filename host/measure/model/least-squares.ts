// Non-linear least squares by Levenberg-Marquardt with scaled damping (J. J. More, 1978) on orthogonal triangles.
// Our own because ml-levenberg-marquardt 5.1.0, tried on the six NIST StRD sets of the tests, gives no standard errors,
// takes no analytic derivatives, and fails from the far starts of BoxBOD (throws) and MGH17 (stops far away).

import {
  backSubstitute,
  type ColumnMatrix,
  inverseSquare,
  type Triangular,
  triangularise,
} from './householder.js';

export interface LeastSquaresProblem {
  /** Rows: residuals, each already divided by its standard deviation where rows weigh differently. */
  rows: number;
  start: ArrayLike<number>;
  /**
   * Fills the residuals and, when asked, their derivatives by columns (entry at parameter * rows + row).
   * Residuals that are not finite refuse the trial.
   */
  evaluate(parameters: Float64Array, residuals: Float64Array, jacobian: Float64Array | undefined): void;
  maximumIterations?: number;
  /** First damping relative to the curvature: large is slow and safe from a far start, 0.01 suits a near one. */
  damping?: number;
  /** Relative step and relative gain below which the fit has arrived. */
  tolerance?: number;
  /** Relative fall of the sum of squares still to come below which the fit has arrived. */
  flatness?: number;
}

export interface LeastSquaresFit {
  parameters: Float64Array;
  residuals: Float64Array;
  /** Derivatives at the solution, by columns. */
  jacobian: Float64Array;
  residualSquares: number;
  /** Rows less parameters. */
  degreesOfFreedom: number;
  /** sqrt(residualSquares / degreesOfFreedom). */
  residualDeviation: number;
  /** Covariance at unit residual deviation, by rows. */
  unitCovariance: Float64Array;
  converged: boolean;
  iterations: number;
}

/** Brings in both far starts of the NIST sets; found by trial. */
const CAUTIOUS = 1e3;

const squaresOf = (values: Float64Array): number => {
  let sum = 0;
  for (const value of values) sum += value * value;
  return sum;
};

/** @throws RangeError when there are fewer rows than parameters or the start gives no finite residuals. */
export function leastSquares(problem: LeastSquaresProblem): LeastSquaresFit {
  const { rows, maximumIterations = 2000, tolerance = 1e-13, flatness = 1e-15 } = problem;
  const count = problem.start.length;
  if (rows < count) throw new RangeError(`leastSquares: ${rows} rows cannot fix ${count} parameters`);
  let parameters = Float64Array.from(problem.start);
  let residuals = new Float64Array(rows);
  const jacobian = new Float64Array(rows * count);
  problem.evaluate(parameters, residuals, jacobian);
  let squares = squaresOf(residuals);
  if (!Number.isFinite(squares)) throw new RangeError('leastSquares: the start gives no finite residuals');
  const scale = new Float64Array(count);
  let damping = problem.damping ?? CAUTIOUS;
  let growth = 2;
  let converged = false;
  let iterations = 0;
  let small = 0;
  while (!converged && iterations < maximumIterations) {
    iterations++;
    const triangle = triangularOf(rows, count, jacobian, residuals);
    for (let j = 0; j < count; j++) scale[j] = Math.max(scale[j]!, columnNorm(triangle, j));
    for (;;) {
      const step = dampedStep(triangle, scale, damping);
      const trial = parameters.map((value, j) => value + step[j]!);
      const trialResiduals = new Float64Array(rows);
      problem.evaluate(trial, trialResiduals, undefined);
      const trialSquares = squaresOf(trialResiduals);
      const predicted = predictedGain(triangle, scale, damping, step);
      const gain = squares - trialSquares;
      const isShort = step.every((value, j) => Math.abs(value) <= tolerance * Math.abs(parameters[j]!));
      const isFlat = predicted <= flatness * squares;
      if (gain > 0 || (isFlat && Math.abs(gain) <= 1e-12 * squares)) {
        const ratio = predicted > 0 ? gain / predicted : 1;
        // Nielsen's rule: damping follows how well the quadratic foretold the gain.
        damping = Math.max(1e-20, damping * Math.max(1 / 10, 1 - (2 * ratio - 1) ** 3));
        growth = 2;
        small = gain <= 1e-14 * squares ? small + 1 : 0;
        parameters = trial;
        residuals = trialResiduals;
        squares = trialSquares;
        converged = isShort || isFlat || small >= 3 || squares === 0;
        break;
      }
      if (isShort || isFlat || damping > 1e30) {
        converged = isShort || isFlat;
        iterations = converged ? iterations : maximumIterations;
        break;
      }
      damping *= growth;
      growth *= 2;
    }
    problem.evaluate(parameters, residuals, jacobian);
  }
  const degreesOfFreedom = rows - count;
  return {
    parameters,
    residuals,
    jacobian,
    residualSquares: squares,
    degreesOfFreedom,
    residualDeviation: degreesOfFreedom > 0 ? Math.sqrt(squares / degreesOfFreedom) : 0,
    unitCovariance: inverseSquare(triangularOf(rows, count, jacobian, residuals)),
    converged,
    iterations,
  };
}

function triangularOf(
  rows: number,
  columns: number,
  jacobian: Float64Array,
  residuals: Float64Array,
): Triangular {
  const matrix: ColumnMatrix = { rows, columns, values: jacobian };
  return triangularise(
    matrix,
    residuals.map((value) => -value),
  );
}

function columnNorm({ size, upper }: Triangular, column: number): number {
  let squares = 0;
  for (let i = 0; i <= column; i++) squares += upper[i * size + column]! ** 2;
  return Math.sqrt(squares);
}

/** Step of (J^T J + damping D^2) step = -J^T r, from the stacked triangle. */
function dampedStep(triangle: Triangular, scale: Float64Array, damping: number): Float64Array {
  const { size, upper, right } = triangle;
  const rows = 2 * size;
  const values = new Float64Array(rows * size);
  for (let j = 0; j < size; j++) {
    for (let i = 0; i <= j; i++) values[j * rows + i] = upper[i * size + j]!;
    values[j * rows + size + j] = Math.sqrt(damping) * (scale[j]! || 1);
  }
  const stacked = new Float64Array(rows);
  stacked.set(right);
  const solved = triangularise({ rows, columns: size, values }, stacked);
  return backSubstitute(solved, solved.right);
}

/** Fall of the sum of squares that the quadratic foretells for `step`. */
function predictedGain(
  triangle: Triangular,
  scale: Float64Array,
  damping: number,
  step: Float64Array,
): number {
  const { size, upper } = triangle;
  let sum = 0;
  for (let i = 0; i < size; i++) {
    let turned = 0;
    for (let j = i; j < size; j++) turned += upper[i * size + j]! * step[j]!;
    sum += turned * turned + 2 * damping * ((scale[i]! || 1) * step[i]!) ** 2;
  }
  return sum;
}
