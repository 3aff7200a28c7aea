// Places of a motor fit's parameters, and the motor that they stand for.

import type { MotorElectrical } from './motor-step.js';

/** Places of the parameters; the first five are those of a step. */
export const LN_R = 0;
export const LN_L = 1;
export const LN_C = 2;
export const CONDUCTANCE = 3;
export const DROP = 4;
export const COULOMB = 5;
/** True motor voltage less reading, V. */
export const VOLTAGE_OFFSET = 6;
/** Relative difference of the leads' gains. */
export const GAIN_GAP = 7;
/** Reading less true current, A. */
export const CURRENT_OFFSET = 8;
/** ln of the back-EMF constant; there when speed was read. */
export const LN_KE = 9;

export function electricalOf(parameters: ArrayLike<number>): MotorElectrical {
  return {
    resistanceOhm: Math.exp(parameters[LN_R]!),
    inductanceH: Math.exp(parameters[LN_L]!),
    capacitanceF: Math.exp(parameters[LN_C]!),
    conductanceS: parameters[CONDUCTANCE]!,
    coulombA: Math.max(0, parameters[COULOMB]!),
    brushDropV: Math.max(0, parameters[DROP]!),
  };
}
