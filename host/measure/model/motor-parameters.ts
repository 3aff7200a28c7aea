// Places of a motor fit's parameters, and the motor that they stand for.

import { sampleAt } from '../../arrays/index.js';

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

/** What terminal voltage and current alone can tell of a motor. */
export interface MotorElectrical {
  resistanceOhm: number;
  inductanceH: number;
  /** J / (ke kt). */
  capacitanceF: number;
  /** b / (ke kt). */
  conductanceS: number;
  /** Tc / kt. */
  coulombA: number;
  brushDropV: number;
}

export function electricalOf(parameters: Float64Array): MotorElectrical {
  const at = (place: number): number => sampleAt(parameters, place);
  return {
    resistanceOhm: Math.exp(at(LN_R)),
    inductanceH: Math.exp(at(LN_L)),
    capacitanceF: Math.exp(at(LN_C)),
    conductanceS: at(CONDUCTANCE),
    coulombA: Math.max(0, at(COULOMB)),
    brushDropV: Math.max(0, at(DROP)),
  };
}
