// One step of the motor's linear equations, exact for a terminal voltage that is a straight line over the step
// (matrix exponential of the 2 x 2 system), with its derivatives. The motor in electrical terms: armature R and L in
// series with a back-EMF e on a capacitance C = J / (ke kt), which friction discharges:
//   L di/dt = v - R i - drop - e,   C de/dt = i - g e - Ic sign(e),   g = b / (ke kt), Ic = Tc / kt.

import { sampleAt } from '../../arrays/index.js';

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

/** Shaft free or held by friction; brushes below their knee act as a resistance. */
export interface StepMode {
  stands: boolean;
  belowKnee: boolean;
}

/** Entries of a step: x1 = P x0 + A u0 + B u1 - D drop - F Ic sign(e), with x = (i, e). */
export const P = 0;
export const A = 4;
export const B = 6;
export const D = 8;
export const F = 10;
export const ENTRIES = 12;

/** Parameters that change a step's entries, in the order of the derivatives behind them: ln R, ln L, ln C, g, drop. */
export const STEP_PARAMETERS = 5;

/** Relative step of the difference quotients; the entries are smooth and exact to 1e-14, so 1e-9 is left. */
const NUDGE = 1e-5;

/** The entries, then ENTRIES derivatives for each of the step parameters. */
export function motorStep(
  motor: MotorElectrical,
  kneeA: number,
  stepS: number,
  mode: StepMode,
): Float64Array {
  const step = new Float64Array(ENTRIES * (1 + STEP_PARAMETERS));
  entriesOf(motor, kneeA, stepS, mode, step, 0);
  const up = new Float64Array(ENTRIES);
  const down = new Float64Array(ENTRIES);
  for (let p = 0; p < STEP_PARAMETERS; p++) {
    if (p === 4 && !mode.belowKnee) continue;
    if (mode.stands && (p === 2 || p === 3)) continue;
    const size = p < 3 ? NUDGE : p === 3 ? NUDGE * Math.max(motor.conductanceS, 1e-2) : NUDGE;
    entriesOf(nudged(motor, p, size), kneeA, stepS, mode, up, 0);
    entriesOf(nudged(motor, p, -size), kneeA, stepS, mode, down, 0);
    const at = ENTRIES * (1 + p);
    for (let k = 0; k < ENTRIES; k++) step[at + k] = (sampleAt(up, k) - sampleAt(down, k)) / (2 * size);
  }
  return step;
}

function nudged(motor: MotorElectrical, parameter: number, size: number): MotorElectrical {
  switch (parameter) {
    case 0:
      return { ...motor, resistanceOhm: motor.resistanceOhm * Math.exp(size) };
    case 1:
      return { ...motor, inductanceH: motor.inductanceH * Math.exp(size) };
    case 2:
      return { ...motor, capacitanceF: motor.capacitanceF * Math.exp(size) };
    case 3:
      return { ...motor, conductanceS: motor.conductanceS + size };
    default:
      return { ...motor, brushDropV: motor.brushDropV + size };
  }
}

function entriesOf(
  motor: MotorElectrical,
  kneeA: number,
  stepS: number,
  mode: StepMode,
  out: Float64Array,
  at: number,
): void {
  const { inductanceH, capacitanceF, conductanceS } = motor;
  const resistance = motor.resistanceOhm + (mode.belowKnee ? Math.max(0, motor.brushDropV) / kneeA : 0);
  out.fill(0, at, at + ENTRIES);
  if (mode.stands) {
    const decay = Math.exp((-resistance * stepS) / inductanceH);
    const held = -Math.expm1((-resistance * stepS) / inductanceH);
    // Ramp: int exp(-(h-s)/tau) s/h ds / L = (1 - tau/h (1 - exp(-h/tau))) / R.
    const ramp = (1 - (inductanceH / (resistance * stepS)) * held) / resistance;
    out[at + P] = decay;
    out[at + A] = held / resistance - ramp;
    out[at + B] = ramp;
    out[at + D] = mode.belowKnee ? 0 : held / resistance;
    return;
  }
  const a = -resistance / inductanceH;
  const b = -1 / inductanceH;
  const c = 1 / capacitanceF;
  const d = -conductanceS / capacitanceF;
  const half = (a + d) / 2;
  const spread = ((a - d) / 2) ** 2 + b * c;
  // exp(A h) = exp(half h) (cosh I + sinh / root (A - half I)); cos and sin when the poles are a pair.
  let even: number;
  let odd: number;
  if (spread > 0) {
    const root = Math.sqrt(spread);
    const slow = Math.exp((half + root) * stepS);
    const fast = Math.exp((half - root) * stepS);
    even = (slow + fast) / 2;
    odd = root * stepS > 1e-6 ? (slow - fast) / (2 * root) : stepS * even;
  } else {
    const root = Math.sqrt(-spread);
    const decay = Math.exp(half * stepS);
    even = decay * Math.cos(root * stepS);
    odd = root * stepS > 1e-6 ? (decay * Math.sin(root * stepS)) / root : stepS * even;
  }
  const p00 = even + odd * (a - half);
  const p01 = odd * b;
  const p10 = odd * c;
  const p11 = even + odd * (d - half);
  // Held input: int exp = A^-1 (exp - I); ramp: A^-1 (held / h - I).
  const determinant = a * d - b * c;
  const [i00, i01, i10, i11] = [d / determinant, -b / determinant, -c / determinant, a / determinant];
  const h00 = i00 * (p00 - 1) + i01 * p10;
  const h01 = i00 * p01 + i01 * (p11 - 1);
  const h10 = i10 * (p00 - 1) + i11 * p10;
  const h11 = i10 * p01 + i11 * (p11 - 1);
  const r00 = i00 * (h00 / stepS - 1) + (i01 * h10) / stepS;
  const r10 = i10 * (h00 / stepS - 1) + (i11 * h10) / stepS;
  out[at + P] = p00;
  out[at + P + 1] = p01;
  out[at + P + 2] = p10;
  out[at + P + 3] = p11;
  out[at + A] = (h00 - r00) / inductanceH;
  out[at + A + 1] = (h10 - r10) / inductanceH;
  out[at + B] = r00 / inductanceH;
  out[at + B + 1] = r10 / inductanceH;
  out[at + D] = mode.belowKnee ? 0 : h00 / inductanceH;
  out[at + D + 1] = mode.belowKnee ? 0 : h10 / inductanceH;
  out[at + F] = h01 * c;
  out[at + F + 1] = h11 * c;
}
