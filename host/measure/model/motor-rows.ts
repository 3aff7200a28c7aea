// A capture as the rows that a motor fit works on: motor voltage and current, what held the motor there (contact
// closed, open, or not to be told), noise, and quiet stretches averaged in blocks.

import { byteAt, sampleAt } from '../../arrays/index.js';
import { acrossLeads, type Capture } from '../../capture/index.js';
import { type Budgets, budgetOf } from '../budget.js';
import { type Run, runsWhere } from '../runs.js';
import { largestOf, meanOver, median, noiseOf } from '../statistics.js';
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
  /** False where the current ran beyond its range, or a capacitor drew it. */
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
/** More across the motor, with a current along it that stands so clear of its noise: it is driven. Choices of this program, no source. */
const DRIVEN_V = 4 * STILL_V;
const CLEAR_OF_NOISE = 4;
/** Less flows in no motor that a fit could tell. Choice of this program, no source. */
const FLOWS_A = 0.5;
/** No current: so many deviations of its noise, and this part of the largest. Choices of this program, no source. */
const NONE_DEVIATIONS = 5;
const NONE_PART = 0.02;
/** A shorter interruption shows no back-EMF, only the contact's own spark and spike. */
const SPARK_S = 0.0015;
const SLOW_STEP_S = 1e-3;
const LEAST_STEP_S = 1e-6;
/** A block whose bend is so many times the usual, or this part of its level, is not quiet. Choices of this program, no source. */
const BEND_TIMES = 4;
const BEND_PART = 0.005;
/** So many blocks tell what is usual. */
const ENOUGH_BLOCKS = 20;

/** What rows are made from: the motor's voltage and current by sample, and what is known of both. */
interface Samples {
  voltage: Float64Array;
  current: Float64Array;
  /** Half the sum of the leads. */
  commonAt: (from: number, to: number) => number;
  mode: Uint8Array;
  calm: Uint8Array;
  /** Bends up to which a block counts as quiet. */
  bends: { voltage: number; current: number };
  /** Cut off by the end of the range, or a capacitor's. */
  isNotMotors: (index: number) => boolean;
  trace: Trace;
}

/** Samples beside a spike that tell what stood there, by how much it stands above both sides, and how long it rings on. Choices of this program, no source. */
const SPIKE = { beside: 6, part: 1.3, deviations: 8, leastA: 1, ringsS: 0.0003 };

/**
 * The current without what charges a capacitor across the motor, which is over within a sample or two and stands above
 * what was and what comes: straight lines in its place, and where they are.
 */
function withoutSpikes(
  read: Float64Array,
  stepS: number,
  noiseA: number,
): { current: Float64Array; isSpike: Uint8Array } {
  const isSpike = new Uint8Array(read.length);
  const { beside, part, deviations, leastA, ringsS } = SPIKE;
  const rings = Math.max(1, Math.ceil(ringsS / Math.max(stepS, LEAST_STEP_S)));
  for (let i = beside; i + beside + 2 <= read.length; i++) {
    const value = sampleAt(read, i);
    if (!(Math.abs(value) > leastA)) continue;
    // Beside a gap nobody knows from where it came.
    if (Number.isNaN(sampleAt(read, i - 1)) || Number.isNaN(sampleAt(read, i + 1))) continue;
    // Most samples stand beside one as high: the medians are asked of the others alone.
    if (
      Math.abs(value) < part * Math.abs(sampleAt(read, i - 2)) ||
      Math.abs(value) < part * Math.abs(sampleAt(read, i + 2))
    )
      continue;
    const side = (from: number): number => Math.sign(value) * median(read, from, from + beside);
    const besideA = Math.max(side(i - beside), side(i + 2), 0);
    if (Math.abs(value) > part * besideA + deviations * noiseA + leastA) isSpike.fill(1, i, i + rings);
  }
  const current = read.slice();
  for (const { from, to } of runsWhere(1, read.length - 1, (i) => isSpike[i] === 1)) {
    const [before, behind] = [sampleAt(read, from - 1), sampleAt(read, to)];
    for (let i = from; i < to; i++)
      current[i] = before + ((behind - before) * (i - from + 1)) / (to - from + 1);
  }
  return { current, isSpike };
}

/** Undefined, with a reason, when the capture does not hold what a fit needs. */
export function motorRows(capture: Capture, budgets: Budgets): MotorRows | string {
  const trace = traceOf(capture);
  const { motorCurrentA: read } = trace.channels;
  // Of a voltage between the leads the parts above and below zero stand for them.
  const voltage = trace.motorVoltageV;
  const isBetween = capture.leadsByDifference && voltage !== undefined;
  const { leadAVoltageV: a, leadBVoltageV: b } = isBetween ? acrossLeads(voltage) : trace.channels;
  if (!a || !b || !voltage)
    return 'The voltage of both leads, or across the motor, is needed to fit the motor.';
  if (!read) return 'The motor current is needed to fit the motor.';
  const { current, isSpike } = withoutSpikes(read, trace.stepS, noiseOf(read, 0, read.length));
  const isPositionKnown = capture.positionKnown !== false;
  if (!isPositionKnown && !current.some((value) => Math.abs(value) > FLOWS_A))
    return 'No current flows in the capture.';
  const { resolution, minimum, maximum } = budgetOf(budgets, 'motorCurrentA');
  const scatter = {
    voltageV: coarseNoise(voltage, budgetOf(budgets, 'leadAVoltageV').resolution * Math.SQRT2),
    currentA: coarseNoise(current, resolution),
  };
  const mode = modesOf(trace, voltage, current, scatter.currentA, isPositionKnown);
  // A record that begins on live leads may begin right behind the edge.
  const beginsLive = Math.abs(sampleAt(voltage, 0)) > STILL_V;
  const calm = calmOf(mode, Math.ceil(SETTLED_S / Math.max(trace.stepS, LEAST_STEP_S)), beginsLive);
  const samples: Samples = {
    ...{ voltage, current, mode, calm, trace },
    commonAt: (from, to) => (meanOver(a, from, to) + meanOver(b, from, to)) / 2,
    bends: {
      voltage: bendLimit(voltage, calm, voltage, scatter.voltageV),
      current: bendLimit(current, calm, voltage, scatter.currentA),
    },
    isNotMotors: (index) => {
      const value = sampleAt(current, index);
      return value >= maximum - resolution || value <= minimum + resolution || isSpike[index] === 1;
    },
  };
  return rowsOf(samples, scatter);
}

function rowsOf(samples: Samples, scatter: MotorRows['scatter']): MotorRows {
  const { voltage, current, mode, trace } = samples;
  const blocks = blocksOf(samples);
  const count = blocks.length;
  const rows: MotorRows = {
    count,
    timeS: Float64Array.from(
      blocks,
      ({ from, to }) => (sampleAt(trace.timeS, from) + sampleAt(trace.timeS, to - 1)) / 2,
    ),
    voltageV: Float64Array.from(blocks, ({ from, to }) => meanOver(voltage, from, to)),
    commonV: Float64Array.from(blocks, ({ from, to }) => samples.commonAt(from, to)),
    currentA: Float64Array.from(blocks, ({ from, to }) => meanOver(current, from, to)),
    mode: Uint8Array.from(blocks, ({ from }, row) =>
      from === blocks[row - 1]?.to ? byteAt(mode, from) : RESTART,
    ),
    samples: Float64Array.from(blocks, ({ from, to }) => to - from),
    compared: Uint8Array.from(blocks, ({ from, to }) =>
      to - from > 1 || !samples.isNotMotors(from) ? 1 : 0,
    ),
    stepS: new Float64Array(count).fill(trace.stepS),
    voltageNoiseV: scatter.voltageV,
    currentNoiseA: scatter.currentA,
    scatter,
    rowNoiseV: new Float64Array(count),
    rowNoiseA: new Float64Array(count),
    ranForward: false,
    ranReverse: false,
    openS: 0,
    sampleS: trace.stepS,
    trace,
  };
  blocks.forEach(({ from, to }, row) => {
    if (row > 0)
      rows.stepS[row] = Math.round((sampleAt(rows.timeS, row) - sampleAt(rows.timeS, row - 1)) * 1e9) / 1e9;
    const volts = sampleAt(rows.voltageV, row);
    const way = Math.sign(volts);
    if (mode[from] === OPEN) rows.openS += (to - from) * trace.stepS;
    if (mode[from] !== CLOSED || !(Math.abs(volts) > DRIVEN_V)) return;
    if (!(way * sampleAt(rows.currentA, row) > CLEAR_OF_NOISE * scatter.currentA)) return;
    if (way > 0) rows.ranForward = true;
    else rows.ranReverse = true;
  });
  rows.voltageNoiseV = blockNoise(rows, rows.voltageV, scatter.voltageV);
  rows.currentNoiseA = blockNoise(rows, rows.currentA, scatter.currentA);
  rows.rowNoiseV = rows.samples.map((of) => rowNoise(of, rows.voltageNoiseV, scatter.voltageV));
  rows.rowNoiseA = rows.samples.map((of) => rowNoise(of, rows.currentNoiseA, scatter.currentA));
  return rows;
}

/** Samples [from, to) of each row: a block where it is quiet, else one; none where samples are missing. */
function blocksOf(samples: Samples): { from: number; to: number }[] {
  const { voltage, current, calm } = samples;
  const blocks: { from: number; to: number }[] = [];
  for (let from = 0; from < voltage.length; ) {
    if (Number.isNaN(sampleAt(voltage, from)) || Number.isNaN(sampleAt(current, from))) {
      from++;
      continue;
    }
    const isBlock = calm[from] === 1 && from + BLOCK <= voltage.length && isQuiet(samples, from);
    const to = from + (isBlock ? BLOCK : 1);
    blocks.push({ from, to });
    from = to;
  }
  return blocks;
}

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
  if (squares.length < ENOUGH_BLOCKS) return fallback;
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
function isQuiet({ mode, voltage, current, bends, isNotMotors }: Samples, from: number): boolean {
  const to = from + BLOCK;
  // Next to an edge single samples: a block's middle is too far from it.
  if (mode[from - 1] !== mode[from] || mode[to] !== mode[from]) return false;
  for (let i = from; i < to; i++) {
    const volts = sampleAt(voltage, i);
    if (mode[i] !== mode[from] || Number.isNaN(volts) || Number.isNaN(sampleAt(current, i))) return false;
    if (isNotMotors(i)) return false;
    if (i > from && Math.abs(volts - sampleAt(voltage, i - 1)) > EDGE_V) return false;
  }
  return (
    bendOf(current, from) < Math.max(bends.current, BEND_PART * Math.abs(sampleAt(current, from))) &&
    bendOf(voltage, from) < Math.max(bends.voltage, BEND_PART * Math.abs(sampleAt(voltage, from)))
  );
}

const THIRD = Math.floor(BLOCK / 3);

/** A straight slope is no harm to the mean at the block's middle; a bend is. */
const bendOf = (values: Float64Array, from: number): number =>
  Math.abs(
    meanOver(values, from, from + THIRD) +
      meanOver(values, from + BLOCK - THIRD, from + BLOCK) -
      2 * meanOver(values, from + THIRD, from + BLOCK - THIRD),
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
  return Math.max(
    BEND_TIMES * Math.sqrt(6 / THIRD) * noise,
    seen.length < ENOUGH_BLOCKS ? 0 : BEND_TIMES * median(seen),
  );
}

/** Where nothing but noise and ripple moves: open, where only friction bends the voltage, or closed since long. */
function calmOf(mode: Uint8Array, settled: number, beginsLive: boolean): Uint8Array {
  const calm = new Uint8Array(mode.length);
  let edge = beginsLive ? 0 : Number.NEGATIVE_INFINITY;
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
  const after = trace.stepS < SLOW_STEP_S ? 2 : 1;
  const noneA = Math.max(NONE_DEVIATIONS * noiseA, NONE_PART * largestOf(current));
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
  const shortest = Math.max(3, Math.round(SPARK_S / Math.max(trace.stepS, LEAST_STEP_S)));
  const opened = (): Run<boolean>[] => runsWhere(0, count, (i) => mode[i] === OPEN);
  for (const { from, to } of opened())
    mode.fill(BLIND, from, to - from < shortest ? to : Math.min(to, from + after + 1));
  for (let i = 0; i + 1 < count; i++) {
    if (!(Math.abs(sampleAt(voltage, i + 1) - sampleAt(voltage, i)) > EDGE_V)) continue;
    for (let k = i + 1; k <= Math.min(count - 1, i + after); k++) mode[k] = BLIND;
  }
  // What bounce leaves between two edges is no back-EMF.
  for (const { from, to } of opened())
    if (to - from < shortest && mode[from - 1] === BLIND && mode[to] === BLIND) mode.fill(BLIND, from, to);
  return mode;
}
