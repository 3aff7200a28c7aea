// Covariance of a motor fit when the voltage that drives the model is noisy itself: J, the covariance of the readings
// carried through the model by its adjoint, J again (the sandwich of White 1980). Voltage noise passes through L/R
// and so lies in many residuals at once, which 1 / (J^T J) alone would not see.

import { itemAt, sampleAt } from '../../arrays/index.js';
import { CARRY, type Response, type ResponseSetup } from './motor-response.js';
import { CLOSED, MODEL_PART, OPEN } from './motor-rows.js';

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
  const { setup, response, jacobian, stride, priorsFrom, unitCovariance, perKe } = input;
  const { rows, deviation, speedRadS, speedDeviation } = setup;
  const { count, mode, compared } = rows;
  const size = Math.round(Math.sqrt(unitCovariance.length));
  // Noise of the score, as vectors of independent unit parts: columns of `parts` by parameter.
  const scores = Array.from(
    { length: size },
    () => new Float64Array(count * 2 + stride - priorsFrom + count),
  );
  for (let p = 0; p < size; p++) {
    const column = p * stride;
    const score = itemAt(scores, p);
    const byVoltage = new Float64Array(count);
    let ai = 0;
    let ae = 0;
    for (let k = count - 1; k >= 0; k--) {
      const slope = sampleAt(jacobian, column + k) / sampleAt(deviation, k);
      if (mode[k] === CLOSED && compared[k] === 1) ai -= slope;
      else if (mode[k] === OPEN) {
        ae -= slope;
        byVoltage[k] = sampleAt(byVoltage, k) + slope;
      }
      if (speedRadS && !Number.isNaN(sampleAt(speedRadS, k)) && speedDeviation > 0)
        ae -= (sampleAt(jacobian, column + count + k) * perKe) / speedDeviation;
      const at = CARRY * k;
      byVoltage[k] =
        sampleAt(byVoltage, k) +
        (sampleAt(response.carry, at + 6) * ai + sampleAt(response.carry, at + 7) * ae);
      if (k > 0)
        byVoltage[k - 1] =
          sampleAt(byVoltage, k - 1) +
          (sampleAt(response.carry, at + 4) * ai + sampleAt(response.carry, at + 5) * ae);
      const before = sampleAt(response.carry, at) * ai + sampleAt(response.carry, at + 2) * ae;
      ae = sampleAt(response.carry, at + 1) * ai + sampleAt(response.carry, at + 3) * ae;
      ai = before;
    }
    for (let k = 0; k < count; k++) {
      score[k] = sampleAt(byVoltage, k) * sampleAt(rows.rowNoiseV, k);
      // What the model's own shape is trusted to counts like noise of the reading.
      const own =
        mode[k] === CLOSED
          ? Math.hypot(sampleAt(rows.rowNoiseA, k), MODEL_PART * sampleAt(rows.currentA, k))
          : mode[k] === OPEN
            ? MODEL_PART * sampleAt(rows.voltageV, k)
            : 0;
      score[count + k] = (sampleAt(jacobian, column + k) * own) / sampleAt(deviation, k);
    }
    for (let row = priorsFrom; row < stride; row++)
      score[2 * count + row - priorsFrom] = sampleAt(jacobian, column + row);
    if (speedRadS) {
      const from = 2 * count + stride - priorsFrom;
      for (let k = 0; k < count; k++) score[from + k] = sampleAt(jacobian, column + count + k);
    }
  }
  const middle = new Float64Array(size * size);
  for (let p = 0; p < size; p++) {
    for (let q = p; q < size; q++) {
      let sum = 0;
      const [a, b] = [itemAt(scores, p), itemAt(scores, q)];
      for (let k = 0; k < a.length; k++) sum += sampleAt(a, k) * sampleAt(b, k);
      middle[p * size + q] = middle[q * size + p] = sum;
    }
  }
  return sandwich(unitCovariance, middle, size);
}

function sandwich(outer: Float64Array, middle: Float64Array, size: number): Float64Array {
  const product = (a: Float64Array, b: Float64Array): Float64Array => {
    const out = new Float64Array(size * size);
    for (let i = 0; i < size; i++)
      for (let k = 0; k < size; k++)
        for (let j = 0; j < size; j++)
          out[i * size + j] =
            sampleAt(out, i * size + j) + sampleAt(a, i * size + k) * sampleAt(b, k * size + j);
    return out;
  };
  return product(product(outer, middle), outer);
}
