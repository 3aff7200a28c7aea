// Brings a capture onto a uniform time grid: linear between neighbours, gaps kept, positions held.

import { byteAt, itemAt, sampleAt, wholeAt } from '../arrays/index.js';
import { shortly } from '../tell/index.js';
import { type Capture, withRows } from './capture.js';
import { missingStretches } from './gaps.js';

/** A grid never gets more samples than this. */
const MOST_SAMPLES = 4_000_000;
/** Deviation from the grid, as a fraction of a step, that rounding in a file may cause. */
const GRID_TOLERANCE = 0.02;
/** A step longer than this many usual ones (nine of ten are no longer) is a hole in jittered samples. */
const HOLE_FACTOR = 5;

/** Rate of the grid when the times stand on one within a fiftieth of a step, else 0. */
export function uniformRateHz(timeS: Float64Array): number {
  const last = timeS.length - 1;
  if (last < 1) return 0;
  const startS = sampleAt(timeS, 0);
  const stepS = (sampleAt(timeS, last) - startS) / last;
  for (let i = 1; i < last; i++) {
    if (Math.abs(sampleAt(timeS, i) - startS - i * stepS) > GRID_TOLERANCE * stepS) return 0;
  }
  return niceRate(1 / stepS);
}

/**
 * Uniform version of a capture whose times are not. Rows missing from an otherwise regular grid become missing
 * samples; truly irregular times are interpolated on a grid of their median step. A note says which.
 */
export function makeUniform(capture: Capture): Capture {
  const { timeS } = capture;
  const steps = timeS
    .subarray(1)
    .map((atS, i) => atS - sampleAt(timeS, i))
    .sort();
  const medianS = sampleAt(steps, steps.length >> 1);
  const spanS = sampleAt(timeS, timeS.length - 1) - sampleAt(timeS, 0);
  const stepS = refine(timeS, medianS);
  if (stepS !== undefined && spanS / stepS < MOST_SAMPLES) {
    const uniform = onGrid(capture, stepS, 1.5 * stepS);
    const missing = uniform.timeS.length - timeS.length;
    return {
      ...uniform,
      notes: [...capture.notes, `${missing} rows are missing from a regular time grid and stay gaps.`],
    };
  }
  const usualS = sampleAt(steps, Math.floor((steps.length - 1) * 0.9));
  const gridS = Math.max(medianS, spanS / MOST_SAMPLES);
  const holeS = Math.max(HOLE_FACTOR * usualS, 2.5 * gridS);
  const note =
    `Time steps were not uniform (${ms(sampleAt(steps, 0))} to ${ms(sampleAt(steps, steps.length - 1))} ms): resampled to ${ms(gridS)} ms by ` +
    `straight lines; steps above ${ms(holeS)} ms stay gaps.`;
  return { ...onGrid(capture, gridS, holeS), notes: [...capture.notes, note] };
}

/** The grid's exact step when every step is a whole number of median steps, else undefined. */
function refine(timeS: Float64Array, medianS: number): number | undefined {
  let count = 0;
  let stepS = medianS;
  for (let i = 1; i < timeS.length; i++) {
    const betweenS = sampleAt(timeS, i) - sampleAt(timeS, i - 1);
    const steps = Math.round(betweenS / medianS);
    if (steps < 1) return undefined;
    count += steps;
    stepS = (sampleAt(timeS, i) - sampleAt(timeS, 0)) / count;
    if (Math.abs(betweenS - steps * stepS) > 2 * GRID_TOLERANCE * medianS) return undefined;
  }
  return stepS;
}

function onGrid(capture: Capture, stepS: number, holeS: number): Capture {
  const grid = gridOver(capture.timeS, stepS, holeS);
  const { timeS, before, isHole } = grid;
  const held = <T extends string>(cells: readonly T[]): T[] => Array.from(before, (at) => itemAt(cells, at));
  const lined = withRows(
    capture,
    (values) => onLines(values, grid),
    held,
    (cells) => held(cells).map((cell, i) => (byteAt(isHole, i) === 1 ? '' : cell)),
  );
  const gaps = missingStretches(timeS, lined.channels, 'no samples');
  return { ...lined, timeS, gaps, sampleRateHz: niceRate(1 / stepS) };
}

/** Where each point of a uniform grid lies among the samples. */
interface Grid {
  timeS: Float64Array;
  /** Index of the sample before it or at it. */
  before: Int32Array;
  /** How far it is towards the sample behind it, 0 to 1; 0 where it is on a sample. */
  weight: Float64Array;
  /** 1 where the samples around it are too far apart for a line. */
  isHole: Uint8Array;
}

function gridOver(source: Float64Array, stepS: number, holeS: number): Grid {
  const startS = source[0] ?? 0;
  const last = source.length - 1;
  // Half a thousandth of a step: the last sample must not fall off by rounding.
  const length = last < 0 ? 0 : Math.floor((sampleAt(source, last) - startS) / stepS + 5e-4) + 1;
  const grid: Grid = {
    timeS: Float64Array.from({ length }, (_, i) => startS + i * stepS),
    before: new Int32Array(length),
    weight: new Float64Array(length),
    isHole: new Uint8Array(length),
  };
  const slackS = GRID_TOLERANCE * stepS;
  let before = 0;
  for (let i = 0; i < length; i++) {
    const atS = sampleAt(grid.timeS, i);
    while (before < last && sampleAt(source, before + 1) <= atS + slackS) before += 1;
    grid.before[i] = before;
    const beforeS = sampleAt(source, before);
    if (before === last || Math.abs(atS - beforeS) <= slackS) continue;
    const afterS = sampleAt(source, before + 1);
    grid.weight[i] = (atS - beforeS) / (afterS - beforeS);
    if (afterS - beforeS > holeS) grid.isHole[i] = 1;
  }
  return grid;
}

/** Straight lines between the samples around each point; missing in a hole. */
function onLines(values: Float64Array, { before, weight, isHole }: Grid): Float64Array {
  const out = new Float64Array(before.length).fill(Number.NaN);
  for (let i = 0; i < out.length; i++) {
    if (byteAt(isHole, i) === 1) continue;
    const at = wholeAt(before, i);
    const part = sampleAt(weight, i);
    out[i] =
      part === 0 ? sampleAt(values, at) : sampleAt(values, at) * (1 - part) + sampleAt(values, at + 1) * part;
  }
  return out;
}

/** 4999.999999 is 5000: a rate within a millionth of a whole number is that number. */
function niceRate(rateHz: number): number {
  const whole = Math.round(rateHz);
  return whole > 0 && Math.abs(rateHz - whole) < 1e-6 * whole ? whole : rateHz;
}

const ms = (seconds: number): string => shortly(1000 * seconds);
