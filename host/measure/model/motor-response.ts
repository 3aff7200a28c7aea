// Runs the motor's equations over the rows of a capture: current where a contact is closed, back-EMF where it is open,
// each less its reading, with forward sensitivities to every parameter.

import { byteAt, sampleAt } from '../../arrays/index.js';
import { freesEmf } from './motor-entries.js';
import { CURRENT_OFFSET, GAIN_GAP, LN_KE, VOLTAGE_OFFSET } from './motor-parameters.js';
import { BLIND, CLOSED, type MotorRows, OPEN, RESTART } from './motor-rows.js';
import { MotorState, type StepEnds } from './motor-state.js';
import type { StepEntries } from './motor-step.js';
import { RIPPLE_PARTS, RippleCourse, type RippleStretch } from './ripple-course.js';
import { addTo } from './vectors.js';

export interface ResponseSetup {
  rows: MotorRows;
  kneeA: number;
  /** Deviation of each row's current (closed) or voltage (open). */
  deviation: Float64Array;
  /** What a first fit left over in each row beyond its noise, as a deviation; absent where it left none. */
  slack?: Float64Array;
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
  /** For the adjoint: what carried current and back-EMF into each row, and what voltage at both ends added. */
  carried: StepEntries[];
}

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
  const { rows, entries, fixed, ripple } = setup;
  const { count, mode, voltageV, commonV, currentA: readA, stepS } = rows;
  const offsetV = sampleAt(parameters, VOLTAGE_OFFSET);
  const gap = sampleAt(parameters, GAIN_GAP);
  const state = new MotorState(parameters, setup.kneeA, fixed, jacobian !== undefined);
  const course = new RippleCourse(ripple, parameters, fixed - RIPPLE_PARTS * ripple.length);
  const compare = comparison(setup, parameters, residuals, jacobian, stride);
  const emfV = new Float64Array(count);
  const currentA = new Float64Array(count);
  const carried: StepEntries[] = [];
  const ends: StepEnds = { u0: 0, u1: 0, w0: 0, w1: 0 };
  let entry = 0;
  for (let k = 0; k < count; k++) {
    ends.w1 = sampleAt(commonV, k);
    const seenV = sampleAt(voltageV, k) + offsetV + gap * ends.w1;
    const ripples = course.comesTo(k);
    ends.u1 = ripples ? seenV - course.voltageV : seenV;
    const now = byteAt(mode, k);
    if (now === RESTART) state.restart(sampleAt(readA, k), ends);
    else if (now === BLIND) {
      const beforeA = byteAt(mode, k - 1) === OPEN ? undefined : sampleAt(readA, k - 1);
      state.readThrough(sampleAt(stepS, k), beforeA, sampleAt(readA, k));
    } else if (now === OPEN) state.open(sampleAt(stepS, k));
    else state.close(sampleAt(stepS, k), ends, ripples ? course : undefined);
    if (entries[entry] === k)
      state.enter(fixed + entry++, freesEmf(rows, k), now === RESTART ? Math.sign(seenV) : 0);
    state.fade();
    ends.u0 = ends.u1;
    ends.w0 = ends.w1;
    emfV[k] = state.emfV;
    currentA[k] = state.currentA;
    carried.push(state.carried);
    compare(k, state, seenV);
  }
  return { emfV, currentA, carried };
}

/** Holds the state behind a row, and the voltage seen there, against what was read. */
type Compare = (k: number, state: MotorState, seenV: number) => void;

function comparison(
  { rows, deviation, speedRadS, speedDeviation }: ResponseSetup,
  parameters: Float64Array,
  residuals: Float64Array,
  jacobian: Float64Array | undefined,
  stride: number,
): Compare {
  const { count, mode, commonV, currentA: readA, compared } = rows;
  const size = parameters.length;
  const offsetA = sampleAt(parameters, CURRENT_OFFSET);
  const perKe = speedRadS ? Math.exp(-sampleAt(parameters, LN_KE)) : 0;
  const ofReading: Compare = (k, { currentA, emfV, currentBy, emfBy, live }, seenV) => {
    const now = byteAt(mode, k);
    const isCurrent = now === CLOSED && compared[k] === 1;
    const isVoltage = now === OPEN;
    const weight = 1 / sampleAt(deviation, k);
    const left = isCurrent ? sampleAt(readA, k) - offsetA - currentA : isVoltage ? seenV - emfV : 0;
    residuals[k] = left * weight;
    if (!jacobian) return;
    const slopes = isCurrent ? currentBy : emfBy;
    const followed = isCurrent || isVoltage ? live : 0;
    for (let p = 0; p < size; p++)
      jacobian[p * stride + k] = p < followed ? -sampleAt(slopes, p) * weight : 0;
    if (isCurrent) addTo(jacobian, CURRENT_OFFSET * stride + k, -weight);
    if (!isVoltage) return;
    addTo(jacobian, VOLTAGE_OFFSET * stride + k, weight);
    addTo(jacobian, GAIN_GAP * stride + k, sampleAt(commonV, k) * weight);
  };
  if (!speedRadS) return ofReading;
  return (k, state, seenV) => {
    ofReading(k, state, seenV);
    const row = count + k;
    const seen = sampleAt(speedRadS, k);
    const isUsed = !Number.isNaN(seen) && speedDeviation > 0;
    residuals[row] = isUsed ? (seen - state.emfV * perKe) / speedDeviation : 0;
    if (!jacobian) return;
    const followed = isUsed ? state.live : 0;
    for (let p = 0; p < size; p++)
      jacobian[p * stride + row] = p < followed ? (-sampleAt(state.emfBy, p) * perKe) / speedDeviation : 0;
    if (isUsed) addTo(jacobian, LN_KE * stride + row, (state.emfV * perKe) / speedDeviation);
  };
}
