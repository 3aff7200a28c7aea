// Non-linear least squares by Levenberg-Marquardt with scaled damping (J. J. More, 1978) on orthogonal triangles.
// Our own because ml-levenberg-marquardt 5.1.0, tried on the six NIST StRD sets of the tests, gives no standard errors,
// takes no analytic derivatives, and fails from the far starts of BoxBOD (throws) and MGH17 (stops far away).

import { sampleAt } from '../../arrays/index.js';
import { backSubstitute, entryAt, inverseSquare, type Triangular, triangularise } from './householder.js';
import { dot } from './vectors.js';

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

/** First damping that brings in both far starts of the NIST sets; found by trial. */
const CAUTIOUS = 1e3;
/** Damping below which a step is the undamped one, and above which no step moves anything. */
const LEAST_DAMPING = 1e-20;
const MOST_DAMPING = 1e30;
/** Factor that the damping falls by at most after a step that gained as foretold. */
const MOST_EASED = 1 / 10;
/** Relative changes of the sum of squares that rounding alone makes: of a flat bottom, and of steps that gain no more. */
const ROUNDING = 1e-12;
const NO_GAIN = 1e-14;
/** So many steps in a row that gain no more have arrived. */
const ENOUGH_SMALL = 3;

/** Raised until a step gains, eased by how well the quadratic foretold the gain (H. B. Nielsen 1999). */
class Damping {
  private growth = 2;

  constructor(public value: number) {}

  ease(ratio: number): void {
    this.value = Math.max(LEAST_DAMPING, this.value * Math.max(MOST_EASED, 1 - (2 * ratio - 1) ** 3));
    this.growth = 2;
  }

  raise(): void {
    this.value *= this.growth;
    this.growth *= 2;
  }
}

/** Parameters with what they leave over. */
interface Point {
  parameters: Float64Array;
  residuals: Float64Array;
  squares: number;
}

/** @throws RangeError when there are fewer rows than parameters or the start gives no finite residuals. */
export function leastSquares(problem: LeastSquaresProblem): LeastSquaresFit {
  const { rows, maximumIterations = 2000 } = problem;
  const count = problem.start.length;
  if (rows < count) throw new RangeError(`leastSquares: ${rows} rows cannot fix ${count} parameters`);
  const jacobian = new Float64Array(rows * count);
  const triangleAt = ({ residuals }: Point): Triangular =>
    triangularise(
      { rows, columns: count, values: jacobian },
      residuals.map((value) => -value),
    );
  let here = pointAt(problem, Float64Array.from(problem.start), jacobian);
  if (!Number.isFinite(here.squares))
    throw new RangeError('leastSquares: the start gives no finite residuals');
  const scale = new Float64Array(count);
  const damping = new Damping(problem.damping ?? CAUTIOUS);
  let converged = false;
  let iterations = 0;
  let small = 0;
  while (!converged && iterations < maximumIterations) {
    iterations++;
    const triangle = triangleAt(here);
    scale.forEach((value, j) => {
      scale[j] = Math.max(value, columnNorm(triangle, j));
    });
    const step = stepFrom(problem, here, triangle, scale, damping);
    if (step.to) {
      small = here.squares - step.to.squares <= NO_GAIN * here.squares ? small + 1 : 0;
      here = step.to;
    }
    converged = step.isLast || small >= ENOUGH_SMALL || here.squares === 0;
    problem.evaluate(here.parameters, here.residuals, jacobian);
    if (!step.to) break;
  }
  const degreesOfFreedom = rows - count;
  return {
    parameters: here.parameters,
    residuals: here.residuals,
    jacobian,
    residualSquares: here.squares,
    degreesOfFreedom,
    residualDeviation: degreesOfFreedom > 0 ? Math.sqrt(here.squares / degreesOfFreedom) : 0,
    unitCovariance: inverseSquare(triangleAt(here)),
    converged,
    iterations,
  };
}

function pointAt(problem: LeastSquaresProblem, parameters: Float64Array, jacobian?: Float64Array): Point {
  const residuals = new Float64Array(problem.rows);
  problem.evaluate(parameters, residuals, jacobian);
  return { parameters, residuals, squares: dot(residuals, residuals) };
}

/** The next point, with the damping raised until a step gains; none where no step does. Last where it hardly moves. */
function stepFrom(
  problem: LeastSquaresProblem,
  here: Point,
  triangle: Triangular,
  scale: Float64Array,
  damping: Damping,
): { to?: Point; isLast: boolean } {
  const { tolerance = 1e-13, flatness = 1e-15 } = problem;
  for (;;) {
    const step = dampedStep(triangle, scale, damping.value);
    const trial = pointAt(
      problem,
      here.parameters.map((value, j) => value + sampleAt(step, j)),
    );
    const predicted = predictedGain(triangle, scale, damping.value, step);
    const gain = here.squares - trial.squares;
    const isFlat = predicted <= flatness * here.squares;
    const isShort = step.every(
      (value, j) => Math.abs(value) <= tolerance * Math.abs(sampleAt(here.parameters, j)),
    );
    const isLast = isShort || isFlat;
    if (gain > 0 || (isFlat && Math.abs(gain) <= ROUNDING * here.squares)) {
      damping.ease(predicted > 0 ? gain / predicted : 1);
      return { to: trial, isLast };
    }
    if (isLast || damping.value > MOST_DAMPING) return { isLast };
    damping.raise();
  }
}

function columnNorm(triangle: Triangular, column: number): number {
  let squares = 0;
  for (let i = 0; i <= column; i++) squares += entryAt(triangle, i, column) ** 2;
  return Math.sqrt(squares);
}

/** A parameter that nothing depends on keeps a scale. */
const scaleAt = (scale: Float64Array, j: number): number => sampleAt(scale, j) || 1;

/** Step of (J^T J + damping D^2) step = -J^T r, from the stacked triangle. */
function dampedStep(triangle: Triangular, scale: Float64Array, damping: number): Float64Array {
  const { size } = triangle;
  const rows = 2 * size;
  const values = new Float64Array(rows * size);
  for (let j = 0; j < size; j++) {
    for (let i = 0; i <= j; i++) values[j * rows + i] = entryAt(triangle, i, j);
    values[j * rows + size + j] = Math.sqrt(damping) * scaleAt(scale, j);
  }
  const stacked = new Float64Array(rows);
  stacked.set(triangle.right);
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
  return step.reduce((sum, length, i) => {
    let turned = 0;
    for (let j = i; j < triangle.size; j++) turned += entryAt(triangle, i, j) * sampleAt(step, j);
    return sum + (turned * turned + 2 * damping * (scaleAt(scale, i) * length) ** 2);
  }, 0);
}
