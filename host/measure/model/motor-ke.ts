// What makes the back-EMF constant known: a speed column, ripple with a known count a turn, or a known inertia.

import { rippleOf } from '../ripple.js';
import { commandedStretches } from '../trace.js';
import { CURRENT_OFFSET, DROP, GAIN_GAP, LN_R, VOLTAGE_OFFSET } from './motor-parameters.js';
import type { Response } from './motor-response.js';
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
): RippleKe | undefined {
  const { trace } = rows;
  const current = trace.channels.motorCurrentA!;
  const gradient = new Float64Array(parameters.length);
  let sum = 0;
  let squares = 0;
  let throws = 0;
  for (const { position, from, to } of commandedStretches(trace.position)) {
    if (position === 'rest') continue;
    const end = to - Math.ceil(0.003 / Math.max(trace.stepS, 1e-6));
    const begin = Math.max(from, Math.floor((from + end) / 2));
    const ripple = rippleOf(
      { current, timeS: trace.timeS, stepS: trace.stepS, from: begin, to: end },
      '',
    ).RippleHz;
    if (!ripple || ripple.fromS === undefined || ripple.toS === undefined) continue;
    let emf = 0;
    let amperes = 0;
    let common = 0;
    let weight = 0;
    for (let k = 0; k < rows.count; k++) {
      if (rows.timeS[k]! < ripple.fromS || rows.timeS[k]! > ripple.toS) continue;
      emf += response.emfV[k]! * rows.samples[k]!;
      amperes += response.currentA[k]! * rows.samples[k]!;
      common += rows.commonV[k]! * rows.samples[k]!;
      weight += rows.samples[k]!;
    }
    if (weight === 0) continue;
    const way = Math.sign(emf);
    const speedRadS = (2 * Math.PI * ripple.value) / perTurn;
    const ke = Math.abs(emf / weight) / speedRadS;
    sum += ke;
    squares += ((ke * ripple.standardUncertainty) / ripple.value) ** 2;
    throws++;
    // Running steadily e = u - R i - drop; what moves those moves e.
    const resistanceOhm = Math.exp(parameters[LN_R]!);
    gradient[LN_R]! -= (way * resistanceOhm * (amperes / weight)) / speedRadS;
    gradient[DROP]! -= 1 / speedRadS;
    gradient[VOLTAGE_OFFSET]! += way / speedRadS;
    gradient[GAIN_GAP]! += (way * common) / weight / speedRadS;
    gradient[CURRENT_OFFSET]! += (way * resistanceOhm) / speedRadS;
  }
  if (throws === 0) return undefined;
  return {
    backEmfVsPerRad: sum / throws,
    gradient: gradient.map((value) => value / throws),
    frequencyUncertainty: Math.sqrt(squares) / throws,
    throws,
  };
}
