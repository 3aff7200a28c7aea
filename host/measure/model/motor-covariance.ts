// Covariance of a motor fit when the voltage that drives the model is noisy itself: J, the covariance of the readings
// carried through the model by its adjoint, J again (the sandwich of White 1980). Voltage noise passes through L/R
// and so lies in many residuals at once, which 1 / (J^T J) alone would not see.

import { byteAt, itemAt, sampleAt } from '../../arrays/index.js';
import type { Response, ResponseSetup } from './motor-response.js';
import { CLOSED, MODEL_PART, OPEN } from './motor-rows.js';
import { dot } from './vectors.js';

export interface CovarianceInput {
  setup: ResponseSetup;
  response: Response;
  /** By columns; rows as in the residuals, the priors last. */
  jacobian: Float64Array;
  stride: number;
  /** First row of the priors. */
  priorsFrom: number;
  /** Covariance at unit deviation, by rows. */
  unitCovariance: Float64Array;
  perKe: number;
}

export function motorCovariance(input: CovarianceInput): Float64Array {
  const { unitCovariance } = input;
  const size = Math.round(Math.sqrt(unitCovariance.length));
  const own = ownNoise(input.setup);
  const scores = Array.from({ length: size }, (_, p) => scoreOf(input, p, own));
  const middle = new Float64Array(size * size);
  scores.forEach((score, p) => {
    for (let q = p; q < size; q++)
      middle[p * size + q] = middle[q * size + p] = dot(score, itemAt(scores, q));
  });
  const rowOf = (matrix: Float64Array, i: number): Float64Array => matrix.subarray(i * size, (i + 1) * size);
  // Both are symmetric: rows serve as columns.
  const product = (a: Float64Array, symmetric: Float64Array): Float64Array =>
    a.map((_, n) => dot(rowOf(a, Math.floor(n / size)), rowOf(symmetric, n % size)));
  return product(product(unitCovariance, middle), unitCovariance);
}

/** Noise of the score of one parameter, as a vector of independent unit parts. */
function scoreOf(input: CovarianceInput, parameter: number, own: Float64Array): Float64Array {
  const { setup, jacobian, stride, priorsFrom } = input;
  const { rows, deviation, speedRadS } = setup;
  const { count } = rows;
  const column = jacobian.subarray(parameter * stride, (parameter + 1) * stride);
  const byVoltage = adjoint(input, column);
  const score = new Float64Array(count * 2 + stride - priorsFrom + count);
  for (let k = 0; k < count; k++) {
    score[k] = sampleAt(byVoltage, k) * sampleAt(rows.rowNoiseV, k);
    score[count + k] = (sampleAt(column, k) * sampleAt(own, k)) / sampleAt(deviation, k);
  }
  score.set(column.subarray(priorsFrom), 2 * count);
  if (speedRadS) score.set(column.subarray(count, 2 * count), 2 * count + stride - priorsFrom);
  return score;
}

/** Noise of each reading itself: what the model's own shape is trusted to counts like it. */
const ownNoise = ({ rows, slack }: ResponseSetup): Float64Array =>
  Float64Array.from(rows.mode, (now, k) => {
    const left = slack ? sampleAt(slack, k) : 0;
    if (now === CLOSED)
      return Math.hypot(sampleAt(rows.rowNoiseA, k), MODEL_PART * sampleAt(rows.currentA, k), left);
    return now === OPEN ? Math.hypot(MODEL_PART * sampleAt(rows.voltageV, k), left) : 0;
  });

/** How a parameter's score goes with each voltage reading: its column carried back through the model. */
function adjoint({ setup, response, perKe }: CovarianceInput, column: Float64Array): Float64Array {
  const { rows, deviation, speedRadS, speedDeviation } = setup;
  const { count, mode, compared } = rows;
  const byVoltage = new Float64Array(count);
  let ai = 0;
  let ae = 0;
  let behindV = 0;
  for (let k = count - 1; k >= 0; k--) {
    const slope = sampleAt(column, k) / sampleAt(deviation, k);
    const now = byteAt(mode, k);
    if (now === CLOSED && compared[k] === 1) ai -= slope;
    else if (now === OPEN) {
      ae -= slope;
      behindV += slope;
    }
    if (speedRadS && !Number.isNaN(sampleAt(speedRadS, k)) && speedDeviation > 0)
      ae -= (sampleAt(column, count + k) * perKe) / speedDeviation;
    const { current, emf } = itemAt(response.carried, k);
    byVoltage[k] = behindV + (current.u1 * ai + emf.u1 * ae);
    behindV = current.u0 * ai + emf.u0 * ae;
    const before = current.i * ai + emf.i * ae;
    ae = current.e * ai + emf.e * ae;
    ai = before;
  }
  return byVoltage;
}
