// A capture as the rows that a motor fit works on: motor voltage and current, what held the motor there (contact
// closed, open, or not to be told), noise, and quiet stretches averaged in blocks.

import { byteAt, itemAt, sampleAt } from '../../arrays/index.js';
import type { Capture } from '../../capture/index.js';
import { type Budgets, budgetOf } from '../budget.js';
import { median, noiseOf } from '../statistics.js';
import { HIDDEN, type Trace, traceOf } from '../trace.js';

/** `closed`: voltage drives current. `open`: no current, the voltage is the back-EMF. `blind`: current is taken as measured, nothing compared. */
export const CLOSED = 0;
export const OPEN = 1;
export const BLIND = 2;
/** First row after samples that are missing: the state starts anew from the readings. */
export const RESTART = 3;

export interface MotorRows {
  count: number;
  timeS: Float64Array;
  voltageV: Float64Array;
  /** Half the sum of the leads: what a difference of their gains multiplies. */
  commonV: Float64Array;
  currentA: Float64Array;
  mode: Uint8Array;
  /** Samples averaged into the row. */
  samples: Float64Array;
  /** False where the current ran beyond its range. */
  compared: Uint8Array;
  /** Steps in front of each row, s. */
  stepS: Float64Array;
  /** Noise of one sample as it shows in averages, V and A. */
  voltageNoiseV: number;
  currentNoiseA: number;
  /** Of single samples. */
  scatter: { voltageV: number; currentA: number };
  /** Noise of each row, V and A. */
  rowNoiseV: Float64Array;
  rowNoiseA: Float64Array;
  /** Directions that were driven. */
  ranForward: boolean;
  ranReverse: boolean;
  /** Stretch of back-EMF alone, s. */
  openS: number;
  sampleS: number;
  trace: Trace;
}

/** Part of a reading up to which the model's shape is trusted between samples; keeps single edges from ruling. */
export const MODEL_PART = 0.002;
/** Samples of a block in a quiet stretch: 2.2 ms at 5 kHz. */
const BLOCK = 11;
/** After an edge the current bends within a block, hidden in its noise; by then it no longer does. */
const SETTLED_S = 0.06;
/** A step of the voltage between two samples that only a contact makes. */
const EDGE_V = 1;
/** Below this across the motor it hardly turns; back-EMF under it says little. */
const STILL_V = 0.4;

/** Undefined, with a reason, when the capture does not hold what a fit needs. */
export function motorRows(capture: Capture, budgets: Budgets): MotorRows | string {
  const trace = traceOf(capture);
  const { leadAVoltageV: a, leadBVoltageV: b, motorCurrentA } = trace.channels;
  if (!a || !b || !trace.motorVoltageV) return 'Both lead voltages are needed to fit the motor.';
  if (!motorCurrentA) return 'The motor current is needed to fit the motor.';
  if (capture.positionKnown === false && !motorCurrentA.some((value) => Math.abs(value) > 0.5))
    return 'No current flows in the capture.';
  const voltage = trace.motorVoltageV;
  const count = voltage.length;
  const raw = {
    voltage: coarseNoise(voltage, budgetOf(budgets, 'leadAVoltageV').resolution * Math.SQRT2),
    current: coarseNoise(motorCurrentA, budgetOf(budgets, 'motorCurrentA').resolution),
  };
  const mode = modesOf(trace, voltage, motorCurrentA, raw.current, capture.positionKnown !== false);
  const range = budgetOf(budgets, 'motorCurrentA');
  const clipped = (value: number): boolean =>
    value >= range.maximum - range.resolution || value <= range.minimum + range.resolution;

  const calm = calmOf(mode, Math.ceil(SETTLED_S / Math.max(trace.stepS, 1e-6)));
  const bends = {
    voltage: bendLimit(voltage, calm, voltage, raw.voltage),
    current: bendLimit(motorCurrentA, calm, voltage, raw.current),
  };
  const starts: number[] = [];
  const lengths: number[] = [];
  for (let i = 0; i < count; ) {
    if (Number.isNaN(sampleAt(voltage, i)) || Number.isNaN(sampleAt(motorCurrentA, i))) {
      i++;
      continue;
    }
    const quiet =
      calm[i] === 1 && i + BLOCK <= count && isQuiet(i, BLOCK, mode, voltage, motorCurrentA, bends, clipped);
    starts.push(i);
    lengths.push(quiet ? BLOCK : 1);
    i += quiet ? BLOCK : 1;
  }
  const rows: MotorRows = {
    count: starts.length,
    timeS: new Float64Array(starts.length),
    voltageV: new Float64Array(starts.length),
    commonV: new Float64Array(starts.length),
    currentA: new Float64Array(starts.length),
    mode: new Uint8Array(starts.length),
    samples: new Float64Array(starts.length),
    compared: new Uint8Array(starts.length),
    stepS: new Float64Array(starts.length),
    voltageNoiseV: raw.voltage,
    currentNoiseA: raw.current,
    scatter: { voltageV: raw.voltage, currentA: raw.current },
    rowNoiseV: new Float64Array(starts.length),
    rowNoiseA: new Float64Array(starts.length),
    ranForward: false,
    ranReverse: false,
    openS: 0,
    sampleS: trace.stepS,
    trace,
  };
  starts.forEach((from, row) => {
    const length = itemAt(lengths, row);
    const to = from + length;
    rows.timeS[row] = (sampleAt(trace.timeS, from) + sampleAt(trace.timeS, to - 1)) / 2;
    rows.voltageV[row] = mean(voltage, from, to);
    rows.commonV[row] = (mean(a, from, to) + mean(b, from, to)) / 2;
    rows.currentA[row] = mean(motorCurrentA, from, to);
    rows.samples[row] = length;
    rows.compared[row] = length > 1 || !clipped(sampleAt(motorCurrentA, from)) ? 1 : 0;
    const before = row === 0 ? -1 : itemAt(starts, row - 1) + itemAt(lengths, row - 1);
    rows.mode[row] = from === before ? byteAt(mode, from) : RESTART;
    rows.stepS[row] =
      row === 0
        ? trace.stepS
        : Math.round((sampleAt(rows.timeS, row) - sampleAt(rows.timeS, row - 1)) * 1e9) / 1e9;
    if (mode[from] === CLOSED && Math.abs(sampleAt(rows.voltageV, row)) > STILL_V * 4) {
      if (sampleAt(rows.currentA, row) > 4 * raw.current && sampleAt(rows.voltageV, row) > 0)
        rows.ranForward = true;
      if (sampleAt(rows.currentA, row) < -4 * raw.current && sampleAt(rows.voltageV, row) < 0)
        rows.ranReverse = true;
    }
    if (mode[from] === OPEN) rows.openS += length * trace.stepS;
  });
  rows.voltageNoiseV = blockNoise(rows, rows.voltageV, raw.voltage);
  rows.currentNoiseA = blockNoise(rows, rows.currentA, raw.current);
  for (let row = 0; row < rows.count; row++) {
    rows.rowNoiseV[row] = rowNoise(sampleAt(rows.samples, row), rows.voltageNoiseV, raw.voltage);
    rows.rowNoiseA[row] = rowNoise(sampleAt(rows.samples, row), rows.currentNoiseA, raw.current);
  }
  return rows;
}

const mean = (values: Float64Array, from: number, to: number): number => {
  let sum = 0;
  for (let i = from; i < to; i++) sum += sampleAt(values, i);
  return sum / (to - from);
};

/** Never below the rounding of one count (GUM F.2.2.1). */
function coarseNoise(values: Float64Array, resolution: number): number {
  const seen = [0.2, 0.5, 0.8].map((part) => {
    const middle = Math.floor(part * values.length);
    return noiseOf(values, Math.max(0, middle - 1000), Math.min(values.length, middle + 1000));
  });
  return Math.max(median(Float64Array.from(seen)), resolution / Math.sqrt(12), 1e-9);
}

/**
 * Deviation of one sample as averages feel it, from second differences of neighbouring blocks: it holds what
 * interpolation, ripple and rounding do to averages, which the scatter of single samples does not.
 */
function blockNoise(rows: MotorRows, values: Float64Array, fallback: number): number {
  const squares: number[] = [];
  for (let row = 1; row + 1 < rows.count; row++) {
    if (rows.samples[row - 1] !== BLOCK || rows.samples[row] !== BLOCK || rows.samples[row + 1] !== BLOCK)
      continue;
    if (rows.mode[row - 1] !== rows.mode[row] || rows.mode[row] !== rows.mode[row + 1]) continue;
    // Rest before anything is fed may be quieter than the running motor: it does not count.
    if (Math.abs(sampleAt(rows.voltageV, row)) < STILL_V) continue;
    squares.push(
      (sampleAt(values, row - 1) - 2 * sampleAt(values, row) + sampleAt(values, row + 1)) ** 2 / 6,
    );
  }
  if (squares.length < 20) return fallback;
  squares.sort((p, q) => p - q);
  // The largest fiftieth holds bends that are no noise.
  const kept = squares.slice(0, Math.ceil(0.98 * squares.length));
  const variance = kept.reduce((sum, square) => sum + square, 0) / kept.length / 0.95;
  return Math.max(Math.sqrt(BLOCK * variance), 0.2 * fallback);
}

/**
 * Ripple slower than a block rules the noise of averages while the motor runs; single samples stand where it starts and
 * stops, and feel little of it: there no more than the noise of a sample counts, and what interpolation hides of that.
 */
const rowNoise = (samples: number, ofAverages: number, ofSamples: number): number =>
  samples > 1 ? ofAverages / Math.sqrt(samples) : Math.min(ofAverages, HIDDEN * ofSamples);

/** Nothing but noise moves within the block: half means agree, no edge, one mode. */
function isQuiet(
  from: number,
  length: number,
  mode: Uint8Array,
  voltage: Float64Array,
  current: Float64Array,
  bends: { voltage: number; current: number },
  clipped: (value: number) => boolean,
): boolean {
  const to = from + length;
  // Next to an edge single samples: a block's middle is too far from it.
  if (mode[from - 1] !== mode[from] || mode[to] !== mode[from]) return false;
  for (let i = from; i < to; i++) {
    if (mode[i] !== mode[from] || Number.isNaN(sampleAt(voltage, i)) || Number.isNaN(sampleAt(current, i)))
      return false;
    if (clipped(sampleAt(current, i))) return false;
    if (i > from && Math.abs(sampleAt(voltage, i) - sampleAt(voltage, i - 1)) > EDGE_V) return false;
  }
  return (
    bendOf(current, from) < Math.max(bends.current, 0.005 * Math.abs(sampleAt(current, from))) &&
    bendOf(voltage, from) < Math.max(bends.voltage, 0.005 * Math.abs(sampleAt(voltage, from)))
  );
}

const THIRD = Math.floor(BLOCK / 3);

/** A straight slope is no harm to the mean at the block's middle; a bend is. */
const bendOf = (values: Float64Array, from: number): number =>
  Math.abs(
    mean(values, from, from + THIRD) +
      mean(values, from + BLOCK - THIRD, from + BLOCK) -
      2 * mean(values, from + THIRD, from + BLOCK - THIRD),
  );

/**
 * Bend up to which a block counts as quiet: what noise makes, or ripple slower than a block where the motor runs. A
 * limit below the ripple's own bend would pick the blocks by their place on it.
 */
function bendLimit(values: Float64Array, calm: Uint8Array, voltage: Float64Array, noise: number): number {
  const seen: number[] = [];
  for (let i = 0; i + BLOCK <= values.length; i += BLOCK) {
    if (calm[i] !== 1 || calm[i + BLOCK - 1] !== 1 || !(Math.abs(sampleAt(voltage, i)) > STILL_V)) continue;
    const bend = bendOf(values, i);
    if (!Number.isNaN(bend)) seen.push(bend);
  }
  return Math.max(4 * Math.sqrt(6 / THIRD) * noise, seen.length < 20 ? 0 : 4 * median(seen));
}

/** Where nothing but noise and ripple moves: open, where only friction bends the voltage, or closed since long. */
function calmOf(mode: Uint8Array, settled: number): Uint8Array {
  const calm = new Uint8Array(mode.length);
  let edge = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < mode.length; i++) {
    if (mode[i] === BLIND) edge = i;
    calm[i] = mode[i] === OPEN || (mode[i] === CLOSED && i > edge + settled) ? 1 : 0;
  }
  return calm;
}

/** What held the motor at each sample, from the waveform. */
function modesOf(
  trace: Trace,
  voltage: Float64Array,
  current: Float64Array,
  noiseA: number,
  positionKnown: boolean,
): Uint8Array {
  const count = voltage.length;
  const mode = new Uint8Array(count);
  // A sample on each side of an edge may lie between two conversions; where samples are slow only one side is lost.
  const after = trace.stepS < 1e-3 ? 2 : 1;
  const largest = largestOf(current);
  const noneA = Math.max(5 * noiseA, 0.02 * largest);
  for (let i = 0; i < count; i++) {
    let sum = 0;
    let seen = 0;
    for (let k = Math.max(0, i - 2); k <= Math.min(count - 1, i + 2); k++) {
      if (Number.isNaN(sampleAt(current, k))) continue;
      sum += sampleAt(current, k);
      seen++;
    }
    const flowing = seen > 0 ? sum / seen : 0;
    if (Math.abs(flowing) > noneA || Math.abs(sampleAt(current, i)) > noneA) continue;
    const isReleased = positionKnown && trace.position[i] === 'rest';
    // Once open it stays so until current flows again, down to standstill.
    if (isReleased && i > 0 && mode[i - 1] === OPEN) mode[i] = OPEN;
    else if (Math.abs(sampleAt(voltage, i)) > STILL_V) mode[i] = isReleased ? OPEN : BLIND;
  }
  // Short of 1.5 ms an interruption shows no back-EMF, only the contact's own spark and spike.
  const shortest = Math.max(3, Math.round(0.0015 / Math.max(trace.stepS, 1e-6)));
  for (let i = 0; i < count; ) {
    if (mode[i] !== OPEN) {
      i++;
      continue;
    }
    let to = i;
    while (to < count && mode[to] === OPEN) to++;
    if (to - i < shortest) mode.fill(BLIND, i, to);
    else mode.fill(BLIND, i, Math.min(to, i + after + 1));
    i = to;
  }
  for (let i = 0; i + 1 < count; i++) {
    if (!(Math.abs(sampleAt(voltage, i + 1) - sampleAt(voltage, i)) > EDGE_V)) continue;
    for (let k = i + 1; k <= Math.min(count - 1, i + after); k++) mode[k] = BLIND;
  }
  // What bounce leaves between two edges is no back-EMF.
  for (let i = 0; i < count; ) {
    let to = i + 1;
    while (to < count && mode[to] === mode[i]) to++;
    const isBetween = i > 0 && to < count && mode[i - 1] === BLIND && mode[to] === BLIND;
    if (isBetween && mode[i] === OPEN && to - i < shortest) mode.fill(BLIND, i, to);
    i = to;
  }
  return mode;
}

function largestOf(values: Float64Array): number {
  let largest = 0;
  for (const value of values) if (Math.abs(value) > largest) largest = Math.abs(value);
  return largest;
}
