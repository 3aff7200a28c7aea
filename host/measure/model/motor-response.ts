// Runs the motor's equations over the rows of a capture: current where a contact is closed, back-EMF where it is open,
// each less its reading, with forward sensitivities to every parameter. Friction sticks; brushes have a knee.

import {
  CONDUCTANCE,
  COULOMB,
  CURRENT_OFFSET,
  DROP,
  electricalOf,
  GAIN_GAP,
  LN_C,
  LN_KE,
  LN_R,
  VOLTAGE_OFFSET,
} from './motor-parameters.js';
import type { RippleStretch } from './motor-ripple.js';
import { BLIND, CLOSED, type MotorRows, OPEN, RESTART } from './motor-rows.js';
import { A, B, D, ENTRIES, F, motorStep, P, STEP_PARAMETERS } from './motor-step.js';

export interface ResponseSetup {
  rows: MotorRows;
  kneeA: number;
  /** Deviation of each row's current (closed) or voltage (open). */
  deviation: Float64Array;
  /** Speed at each row, NaN where not read; absent without a speed column. */
  speedRadS?: Float64Array;
  speedDeviation: number;
  /**
   * Last rows before a contact's new state can be followed: in front of a closed one the current is free within the
   * noise of its reading, in front of an open one the back-EMF within what the break between two samples leaves
   * unknown. Their parameters stand behind the fixed ones.
   */
  entries: readonly number[];
  /** Parameters in front of the entries: 9, or 10 with speed, and two of each stretch of ripple behind them. */
  fixed: number;
  /** In order of time. */
  ripple: readonly RippleStretch[];
}

export interface Response {
  /** Modelled back-EMF and current at each row. */
  emfV: Float64Array;
  currentA: Float64Array;
  /** For the adjoint: what carried (i, e) into each row, and what voltage at both ends added. */
  carry: Float64Array;
}

export const CARRY = 8;

/** Residual rows: one for each compared row, then one for each speed reading; priors are the caller's. */
export function residualCount({ rows, speedRadS }: ResponseSetup): number {
  return rows.count * (speedRadS ? 2 : 1);
}

/**
 * Fills `residuals` (reading less model over deviation; 0 where nothing is compared) and, when asked, `jacobian` by
 * columns of `stride` entries.
 */
export function motorResponse(
  setup: ResponseSetup,
  parameters: Float64Array,
  residuals: Float64Array,
  jacobian: Float64Array | undefined,
  stride: number,
): Response {
  const { rows, kneeA, deviation, speedRadS, speedDeviation, entries, fixed, ripple } = setup;
  const { count, mode, voltageV, commonV, currentA: readA, stepS } = rows;
  const motor = electricalOf(parameters);
  const size = parameters.length;
  const drop = motor.brushDropV;
  const coulomb = motor.coulombA;
  const dropMoves = parameters[DROP]! > 0 ? 1 : 0;
  const coulombMoves = parameters[COULOMB]! > 0 ? 1 : 0;
  const offset = parameters[VOLTAGE_OFFSET]!;
  const gap = parameters[GAIN_GAP]!;
  const currentOffset = parameters[CURRENT_OFFSET]!;
  const perKe = speedRadS ? Math.exp(-parameters[LN_KE]!) : 0;
  const cache = new Map<number, Float64Array>();
  const stepFor = (seconds: number, stands: boolean, belowKnee: boolean): Float64Array => {
    const key = Math.round(seconds * 1e9) * 4 + (stands ? 1 : 0) + (belowKnee ? 2 : 0);
    let step = cache.get(key);
    if (!step) {
      step = motorStep(motor, kneeA, seconds, { stands, belowKnee });
      cache.set(key, step);
    }
    return step;
  };
  const emfV = new Float64Array(count);
  const currentA = new Float64Array(count);
  const carry = new Float64Array(CARRY * count);
  // Sensitivities of (i, e); those of an entry are followed only while they live.
  const si = new Float64Array(size);
  const se = new Float64Array(size);
  let i = 0;
  let e = 0;
  let u0 = 0;
  let w0 = 0;
  let entry = 0;
  let live = fixed;
  const rippleFrom = fixed - 2 * ripple.length;
  let stretch = 0;
  /** Of the stretch that the step lies in: its first parameter, -1 outside; what the parameters add in all. */
  let ripplePlace = -1;
  let rippleTorqueA = 0;

  const restart = (k: number, u: number): void => {
    i = readA[k]! - currentOffset;
    si.fill(0);
    se.fill(0);
    si[CURRENT_OFFSET] = -1;
    const side = Math.abs(i) > kneeA ? Math.sign(i) : 0;
    const standing = Math.abs(u) < 0.4 && Math.abs(i) < 2 * kneeA;
    e = standing ? 0 : u - motor.resistanceOhm * i - drop * side;
    if (standing) return;
    se[LN_R] = -motor.resistanceOhm * i;
    se[DROP] = -side * dropMoves;
    se[VOLTAGE_OFFSET] = 1;
    se[GAIN_GAP] = commonV[k]!;
    se[CURRENT_OFFSET] = motor.resistanceOhm;
  };

  /** Back-EMF alone over `h`, driven by a known current of the mean `q`. */
  const coast = (h: number, q: number, k: number, qOffset: number): void => {
    const side = e !== 0 ? Math.sign(e) : Math.abs(q) > coulomb ? Math.sign(q) : 0;
    if (side === 0) {
      se.fill(0, 0, live);
      return;
    }
    const { capacitanceF, conductanceS } = motor;
    const perC = h / capacitanceF;
    const x = conductanceS * perC;
    const decay = Math.exp(-x);
    const small = Math.abs(x) < 1e-4;
    const held = small ? perC * (1 - x / 2 + (x * x) / 6) : (1 - decay) / conductanceS;
    const heldByG = small ? perC * perC * (-0.5 + x / 3) : (decay * perC - held) / conductanceS;
    const net = q - coulomb * side;
    const next = decay * e + held * net;
    for (let p = 0; p < live; p++) se[p] = decay * se[p]!;
    se[LN_C] = se[LN_C]! + decay * x * e - decay * perC * net;
    se[CONDUCTANCE] = se[CONDUCTANCE]! - decay * perC * e + heldByG * net;
    se[COULOMB] = se[COULOMB]! - held * side * coulombMoves;
    se[CURRENT_OFFSET] = se[CURRENT_OFFSET]! - held * qOffset;
    carry[CARRY * k + 3] = decay;
    if (e !== 0 && next * e <= 0) {
      e = 0;
      se.fill(0, 0, live);
      carry[CARRY * k + 3] = 0;
    } else e = next;
  };

  /** Takes the step that ends in row `k`; gives what ripple takes from the voltage there. */
  const rippleAt = (k: number): number => {
    while (stretch < ripple.length && ripple[stretch]!.to <= k) stretch++;
    const now = ripple[stretch];
    ripplePlace = -1;
    rippleTorqueA = 0;
    if (!now || k <= now.from) return 0;
    const n = k - now.from;
    ripplePlace = rippleFrom + 2 * stretch;
    const [inPhase, behind] = [parameters[ripplePlace]!, parameters[ripplePlace + 1]!];
    const [a, b] = now.torqueA;
    rippleTorqueA = (inPhase * (a[n - 1]! + a[n]!) + behind * (b[n - 1]! + b[n]!)) / 2;
    return inPhase * now.emfV[0][n]! + behind * now.emfV[1][n]!;
  };

  const close = (h: number, u1: number, w1: number, k: number): void => {
    const stands = e === 0 && Math.abs(i) <= coulomb;
    const turning = e !== 0 ? Math.sign(e) : stands ? 0 : Math.sign(i);
    const brakingA = coulomb * turning - rippleTorqueA;
    let below = Math.abs(i) <= kneeA && drop > 0;
    let side = below ? 0 : Math.sign(i);
    let step = stepFor(h, stands, below);
    let next = currentBehind(step, i, e, u0, u1, drop * side, brakingA);
    // The side on which the step ends rules where the knee is passed at once.
    if (below && Math.abs(next) > 2 * kneeA) {
      below = false;
      side = Math.sign(next);
      step = stepFor(h, stands, false);
      next = currentBehind(step, i, e, u0, u1, drop * side, brakingA);
    } else if (!below && drop > 0 && next * i < 0) {
      below = true;
      side = 0;
      step = stepFor(h, stands, true);
      next = currentBehind(step, i, e, u0, u1, drop * side, brakingA);
    }
    let nextE =
      step[P + 2]! * i +
      step[P + 3]! * e +
      step[A + 1]! * u0 +
      step[B + 1]! * u1 -
      step[D + 1]! * drop * side -
      step[F + 1]! * brakingA;
    const at = CARRY * k;
    for (let n = 0; n < 4; n++) {
      carry[at + n] = step[P + n]!;
      carry[at + 4 + n] = step[A + n]!;
    }
    const before = i;
    if (jacobian) {
      const [p00, p01, p10, p11] = [step[P]!, step[P + 1]!, step[P + 2]!, step[P + 3]!];
      for (let p = 0; p < live; p++) {
        const a = si[p]!;
        const b = se[p]!;
        si[p] = p00 * a + p01 * b;
        se[p] = p10 * a + p11 * b;
      }
      for (let p = 0; p < STEP_PARAMETERS; p++) {
        const o = ENTRIES * (1 + p);
        const moves = p === DROP ? dropMoves : 1;
        si[p]! +=
          moves *
          (step[o + P]! * i +
            step[o + P + 1]! * e +
            step[o + A]! * u0 +
            step[o + B]! * u1 -
            step[o + D]! * drop * side -
            step[o + F]! * brakingA);
        se[p]! +=
          moves *
          (step[o + P + 2]! * i +
            step[o + P + 3]! * e +
            step[o + A + 1]! * u0 +
            step[o + B + 1]! * u1 -
            step[o + D + 1]! * drop * side -
            step[o + F + 1]! * brakingA);
      }
      si[DROP]! -= step[D]! * side * dropMoves;
      se[DROP]! -= step[D + 1]! * side * dropMoves;
      si[COULOMB]! -= step[F]! * turning * coulombMoves;
      se[COULOMB]! -= step[F + 1]! * turning * coulombMoves;
      si[VOLTAGE_OFFSET]! += step[A]! + step[B]!;
      se[VOLTAGE_OFFSET]! += step[A + 1]! + step[B + 1]!;
      si[GAIN_GAP]! += step[A]! * w0 + step[B]! * w1;
      se[GAIN_GAP]! += step[A + 1]! * w0 + step[B + 1]! * w1;
      if (ripplePlace >= 0) {
        const { from, emfV: byEmf, torqueA: byTorque } = ripple[stretch]!;
        for (let side = 0; side < 2; side++) {
          const [v0, v1] = [byEmf[side]![k - 1 - from]!, byEmf[side]![k - from]!];
          const torque = (byTorque[side]![k - 1 - from]! + byTorque[side]![k - from]!) / 2;
          si[ripplePlace + side]! += step[F]! * torque - step[A]! * v0 - step[B]! * v1;
          se[ripplePlace + side]! += step[F + 1]! * torque - step[A + 1]! * v0 - step[B + 1]! * v1;
        }
      }
    }
    i = next;
    if (stands) {
      nextE = 0;
      se.fill(0, 0, live);
      const over = Math.abs(i) - coulomb;
      if (over > 0) {
        // Set off within the step: the net drive rises from nothing, so e = h over^2 / (2 C rise).
        const way = Math.sign(i);
        const rise = Math.max(Math.abs(i) - before * way, over);
        const scale = h / (2 * motor.capacitanceF);
        nextE = (way * scale * over * over) / rise;
        if (jacobian) {
          const byI = scale * ((2 * over) / rise - (over / rise) ** 2);
          for (let p = 0; p < live; p++) se[p] = byI * si[p]!;
          se[LN_C]! -= nextE;
          se[COULOMB]! -= way * scale * ((2 * over) / rise) * coulombMoves;
        }
      }
    } else if (e !== 0 && nextE * e <= 0) {
      nextE = 0;
      se.fill(0, 0, live);
      carry[at + 2] = carry[at + 3] = carry[at + 5] = carry[at + 7] = 0;
    }
    e = nextE;
  };

  let lives = 0;
  let isEmf = false;
  for (let k = 0; k < count; k++) {
    const w1 = commonV[k]!;
    const u1 = voltageV[k]! + offset + gap * w1;
    const now = mode[k]!;
    const h = stepS[k]!;
    const rippleV1 = ripple.length > 0 ? rippleAt(k) : 0;
    if (now === RESTART) restart(k, u1);
    else if (now === BLIND) {
      const from = mode[k - 1] === OPEN ? 0 : readA[k - 1]! - currentOffset;
      const to = readA[k]! - currentOffset;
      coast(h, (from + to) / 2, k, mode[k - 1] === OPEN ? 0.5 : 1);
      i = to;
      si.fill(0);
      si[CURRENT_OFFSET] = -1;
    } else if (now === OPEN) {
      coast(h, 0, k, 0);
      i = 0;
      si.fill(0);
    } else close(h, u1 - rippleV1, w1, k);
    if (entry < entries.length && entries[entry] === k) {
      const p = fixed + entry;
      // One entry at a time: the one before has died away by now, or dies here.
      for (let q = fixed; q < size; q++) si[q] = se[q] = 0;
      isEmf = mode[k + 1] === OPEN;
      if (isEmf) {
        e += parameters[p]!;
        se[p] = 1;
      } else {
        i += parameters[p]!;
        si[p] = 1;
      }
      live = p + 1;
      lives = 0;
      entry++;
    }
    // An entry's own current dies with L/R; what it leaves in e is followed for a while, then left.
    if (live > fixed && !isEmf && ++lives > 400) {
      for (let q = fixed; q < size; q++) si[q] = se[q] = 0;
      live = fixed;
    }
    u0 = u1 - rippleV1;
    w0 = w1;
    emfV[k] = e;
    currentA[k] = i;
    const weight = 1 / deviation[k]!;
    let compared = rows.compared[k] === 1;
    if (now === CLOSED) {
      residuals[k] = compared ? (readA[k]! - currentOffset - i) * weight : 0;
    } else if (now === OPEN) {
      residuals[k] = (u1 - e) * weight;
      compared = true;
    } else {
      residuals[k] = 0;
      compared = false;
    }
    if (jacobian) {
      for (let p = 0; p < size; p++) {
        const slope = !compared || p >= live ? 0 : now === CLOSED ? si[p]! : se[p]!;
        jacobian[p * stride + k] = -slope * weight;
      }
      if (compared && now === CLOSED) jacobian[CURRENT_OFFSET * stride + k]! -= weight;
      if (compared && now === OPEN) {
        jacobian[VOLTAGE_OFFSET * stride + k]! += weight;
        jacobian[GAIN_GAP * stride + k]! += w1 * weight;
      }
    }
    if (speedRadS) {
      const row = count + k;
      const seen = speedRadS[k]!;
      const used = !Number.isNaN(seen) && speedDeviation > 0;
      residuals[row] = used ? (seen - e * perKe) / speedDeviation : 0;
      if (jacobian) {
        for (let p = 0; p < size; p++)
          jacobian[p * stride + row] = used && p < live ? (-se[p]! * perKe) / speedDeviation : 0;
        if (used) jacobian[LN_KE * stride + row]! += (e * perKe) / speedDeviation;
      }
    }
  }
  return { emfV, currentA, carry };
}

/** Current at the end of a step from the state and the voltages at its ends. */
const currentBehind = (
  step: Float64Array,
  i: number,
  e: number,
  u0: number,
  u1: number,
  dropV: number,
  brakingA: number,
): number =>
  step[P]! * i + step[P + 1]! * e + step[A]! * u0 + step[B]! * u1 - step[D]! * dropV - step[F]! * brakingA;
