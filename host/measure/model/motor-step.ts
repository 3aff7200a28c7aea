// One step of the motor's linear equations, exact for a terminal voltage that is a straight line over the step
// (matrix exponential of the 2 x 2 system), with its derivatives. The motor in electrical terms: armature R and L in
// series with a back-EMF e on a capacitance C = J / (ke kt), which friction discharges:
//   L di/dt = v - R i - drop - e,   C de/dt = i - g e - Ic sign(e),   g = b / (ke kt), Ic = Tc / kt.

import { CONDUCTANCE, DROP, LN_C, type MotorElectrical } from './motor-parameters.js';

/** Shaft free or held by friction; brushes below their knee act as a resistance. */
export interface StepMode {
  stands: boolean;
  belowKnee: boolean;
}

/** State and drive of a step, or what one of its results takes of each. */
export interface StepRow {
  /** Current and back-EMF at its start. */
  i: number;
  e: number;
  /** Terminal voltage at its start and its end. */
  u0: number;
  u1: number;
  /** What brushes and friction take: V and A. */
  drop: number;
  braking: number;
}

/** What makes current and back-EMF at the end of a step. */
export interface StepEntries {
  current: StepRow;
  emf: StepRow;
}

export interface MotorStep extends StepEntries {
  /** Derivatives by ln R, ln L, ln C, g and drop, the first parameters; undefined where nothing moves. */
  slopes: readonly (StepEntries | undefined)[];
}

/** One result of a step. */
export const through = (row: StepRow, { i, e, u0, u1, drop, braking }: StepRow): number =>
  row.i * i + row.e * e + row.u0 * u0 + row.u1 * u1 - row.drop * drop - row.braking * braking;

/** Relative step of the difference quotients; the entries are smooth and exact to 1e-14, so 1e-9 is left. */
const NUDGE = 1e-5;
/** A conductance below this is nudged as if it were so large. */
const LEAST_CONDUCTANCE_S = 1e-2;
/** Under so small an angle the sine is the angle itself, to double precision. */
const STRAIGHT = 1e-6;

/** The motor with one of the step's parameters moved, in the order of their places. */
const NUDGED: readonly ((motor: MotorElectrical, by: number) => MotorElectrical)[] = [
  (motor, by) => ({ ...motor, resistanceOhm: motor.resistanceOhm * Math.exp(by) }),
  (motor, by) => ({ ...motor, inductanceH: motor.inductanceH * Math.exp(by) }),
  (motor, by) => ({ ...motor, capacitanceF: motor.capacitanceF * Math.exp(by) }),
  (motor, by) => ({ ...motor, conductanceS: motor.conductanceS + by }),
  (motor, by) => ({ ...motor, brushDropV: motor.brushDropV + by }),
];

export function motorStep(motor: MotorElectrical, kneeA: number, stepS: number, mode: StepMode): MotorStep {
  const slopes = NUDGED.map((nudged, place) => {
    if (place === DROP && !mode.belowKnee) return undefined;
    if (mode.stands && (place === LN_C || place === CONDUCTANCE)) return undefined;
    const size = place === CONDUCTANCE ? NUDGE * Math.max(motor.conductanceS, LEAST_CONDUCTANCE_S) : NUDGE;
    const up = entriesOf(nudged(motor, size), kneeA, stepS, mode);
    const down = entriesOf(nudged(motor, -size), kneeA, stepS, mode);
    return {
      current: slope(up.current, down.current, 2 * size),
      emf: slope(up.emf, down.emf, 2 * size),
    };
  });
  return { ...entriesOf(motor, kneeA, stepS, mode), slopes };
}

const slope = (up: StepRow, down: StepRow, over: number): StepRow => ({
  i: (up.i - down.i) / over,
  e: (up.e - down.e) / over,
  u0: (up.u0 - down.u0) / over,
  u1: (up.u1 - down.u1) / over,
  drop: (up.drop - down.drop) / over,
  braking: (up.braking - down.braking) / over,
});

/** Takes nothing over: the state starts anew, or a shaft stands. */
export const NOTHING: StepRow = { i: 0, e: 0, u0: 0, u1: 0, drop: 0, braking: 0 };

function entriesOf(motor: MotorElectrical, kneeA: number, stepS: number, mode: StepMode): StepEntries {
  const { inductanceH, capacitanceF, conductanceS } = motor;
  const resistance = motor.resistanceOhm + (mode.belowKnee ? Math.max(0, motor.brushDropV) / kneeA : 0);
  if (mode.stands) {
    const decay = Math.exp((-resistance * stepS) / inductanceH);
    const held = -Math.expm1((-resistance * stepS) / inductanceH);
    // Ramp: int exp(-(h-s)/tau) s/h ds / L = (1 - tau/h (1 - exp(-h/tau))) / R.
    const ramp = (1 - (inductanceH / (resistance * stepS)) * held) / resistance;
    const drop = mode.belowKnee ? 0 : held / resistance;
    return {
      current: { i: decay, e: 0, u0: held / resistance - ramp, u1: ramp, drop, braking: 0 },
      emf: NOTHING,
    };
  }
  const a = -resistance / inductanceH;
  const b = -1 / inductanceH;
  const c = 1 / capacitanceF;
  const d = -conductanceS / capacitanceF;
  const half = (a + d) / 2;
  const { even, odd } = exponential(half, ((a - d) / 2) ** 2 + b * c, stepS);
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
  const row = (i: number, e: number, held: number, ramp: number, byFriction: number): StepRow => ({
    i,
    e,
    u0: (held - ramp) / inductanceH,
    u1: ramp / inductanceH,
    drop: mode.belowKnee ? 0 : held / inductanceH,
    braking: byFriction * c,
  });
  return { current: row(p00, p01, h00, r00, h01), emf: row(p10, p11, h10, r10, h11) };
}

/**
 * exp(A h) = exp(half h) (cosh I + sinh / root (A - half I)), root squared being `spread`; cos and sin when the poles
 * are a pair.
 */
function exponential(half: number, spread: number, stepS: number): { even: number; odd: number } {
  const root = Math.sqrt(Math.abs(spread));
  const isStraight = root * stepS <= STRAIGHT;
  if (spread > 0) {
    const slow = Math.exp((half + root) * stepS);
    const fast = Math.exp((half - root) * stepS);
    const even = (slow + fast) / 2;
    return { even, odd: isStraight ? stepS * even : (slow - fast) / (2 * root) };
  }
  const decay = Math.exp(half * stepS);
  const even = decay * Math.cos(root * stepS);
  return { even, odd: isStraight ? stepS * even : (decay * Math.sin(root * stepS)) / root };
}
