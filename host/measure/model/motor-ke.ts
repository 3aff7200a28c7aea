// What makes the back-EMF constant known: a speed column, ripple with a known count a turn, or a known inertia.

import { sampleAt } from '../../arrays/index.js';
import { CURRENT_OFFSET, DROP, GAIN_GAP, LN_R, VOLTAGE_OFFSET } from './motor-parameters.js';
import type { Response } from './motor-response.js';
import { type RunningRipple, throwRipples } from './motor-ripple.js';
import type { MotorRows } from './motor-rows.js';

export interface RippleKe {
  backEmfVsPerRad: number;
  /** Derivatives by parameter place. */
  gradient: Float64Array;
  /** Standard uncertainty from the ripple's frequency. */
  frequencyUncertainty: number;
  throws: number;
}

/** From the ripple of each throw that shows one, weighed alike; undefined when none does. */
export function keFromRipple(
  rows: MotorRows,
  response: Response,
  parameters: Float64Array,
  perTurn: number,
  running: readonly RunningRipple[],
): RippleKe | undefined {
  const gradient = new Float64Array(parameters.length);
  let sum = 0;
  let squares = 0;
  const seen = throwRipples(rows, response, running);
  for (const { frequency, emfV, currentA, commonV } of seen) {
    const way = Math.sign(emfV);
    const speedRadS = (2 * Math.PI * frequency.value) / perTurn;
    const ke = Math.abs(emfV) / speedRadS;
    sum += ke;
    squares += ((ke * frequency.standardUncertainty) / frequency.value) ** 2;
    // Running steadily e = u - R i - drop; what moves those moves e.
    const resistanceOhm = Math.exp(sampleAt(parameters, LN_R));
    gradient[LN_R] = sampleAt(gradient, LN_R) - (way * resistanceOhm * currentA) / speedRadS;
    gradient[DROP] = sampleAt(gradient, DROP) - 1 / speedRadS;
    gradient[VOLTAGE_OFFSET] = sampleAt(gradient, VOLTAGE_OFFSET) + way / speedRadS;
    gradient[GAIN_GAP] = sampleAt(gradient, GAIN_GAP) + (way * commonV) / speedRadS;
    gradient[CURRENT_OFFSET] = sampleAt(gradient, CURRENT_OFFSET) + (way * resistanceOhm) / speedRadS;
  }
  const throws = seen.length;
  if (throws === 0) return undefined;
  return {
    backEmfVsPerRad: sum / throws,
    gradient: gradient.map((value) => value / throws),
    frequencyUncertainty: Math.sqrt(squares) / throws,
    throws,
  };
}
