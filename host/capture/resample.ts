// Brings a capture onto a uniform time grid: linear between neighbours, gaps kept, positions held.

import { type Capture, CHANNELS, type Feed } from './capture.js';
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
  const startS = timeS[0]!;
  const stepS = (timeS[last]! - startS) / last;
  for (let i = 1; i < last; i++) {
    if (Math.abs(timeS[i]! - startS - i * stepS) > GRID_TOLERANCE * stepS) return 0;
  }
  return niceRate(1 / stepS);
}

/**
 * Uniform version of a capture whose times are not. Rows missing from an otherwise regular grid become missing
 * samples; truly irregular times are interpolated on a grid of their median step. A note says which.
 */
export function makeUniform(capture: Capture): Capture {
  const { timeS } = capture;
  const steps = Float64Array.from({ length: timeS.length - 1 }, (_, i) => timeS[i + 1]! - timeS[i]!).sort();
  const medianS = steps[steps.length >> 1]!;
  const spanS = timeS[timeS.length - 1]! - timeS[0]!;
  const stepS = refine(timeS, medianS);
  if (stepS !== undefined && spanS / stepS < MOST_SAMPLES) {
    const uniform = onGrid(capture, stepS, 1.5 * stepS);
    const missing = uniform.timeS.length - timeS.length;
    return {
      ...uniform,
      notes: [...capture.notes, `${missing} rows are missing from a regular time grid and stay gaps.`],
    };
  }
  const usualS = steps[Math.floor((steps.length - 1) * 0.9)]!;
  const gridS = Math.max(medianS, spanS / MOST_SAMPLES);
  const holeS = Math.max(HOLE_FACTOR * usualS, 2.5 * gridS);
  const note =
    `Time steps were not uniform (${ms(steps[0]!)} to ${ms(steps.at(-1)!)} ms): resampled to ${ms(gridS)} ms by ` +
    `straight lines; steps above ${ms(holeS)} ms stay gaps.`;
  return { ...onGrid(capture, gridS, holeS), notes: [...capture.notes, note] };
}

/** Resamples to a given rate; stretches between samples further apart than `holeS` become gaps. */
export function resample(capture: Capture, sampleRateHz: number, holeS = Number.POSITIVE_INFINITY): Capture {
  if (!(sampleRateHz > 0 && Number.isFinite(sampleRateHz))) {
    throw new RangeError(`sampleRateHz ${sampleRateHz} must be positive and finite`);
  }
  return onGrid(capture, 1 / sampleRateHz, holeS);
}

/** The grid's exact step when every step is a whole number of median steps, else undefined. */
function refine(timeS: Float64Array, medianS: number): number | undefined {
  let count = 0;
  let stepS = medianS;
  for (let i = 1; i < timeS.length; i++) {
    const steps = Math.round((timeS[i]! - timeS[i - 1]!) / medianS);
    if (steps < 1) return undefined;
    count += steps;
    stepS = (timeS[i]! - timeS[0]!) / count;
    if (Math.abs(timeS[i]! - timeS[i - 1]! - steps * stepS) > 2 * GRID_TOLERANCE * medianS) return undefined;
  }
  return stepS;
}

function onGrid(capture: Capture, stepS: number, holeS: number): Capture {
  const source = capture.timeS;
  const startS = source[0] ?? 0;
  const last = source.length - 1;
  // Half a thousandth of a step: the last sample must not fall off by rounding.
  const length = last < 0 ? 0 : Math.floor((source[last]! - startS) / stepS + 5e-4) + 1;
  const timeS = Float64Array.from({ length }, (_, i) => startS + i * stepS);
  const names = CHANNELS.filter((name) => capture.channels[name] !== undefined);
  const channels: Capture['channels'] = {};
  for (const name of names) channels[name] = new Float64Array(length).fill(Number.NaN);
  const position: Capture['position'] = new Array(length);
  const feed = capture.feed && new Array<Feed>(length);
  const extraNames = Object.keys(capture.extraColumns ?? {});
  const extraColumns: Record<string, string[]> = Object.fromEntries(
    extraNames.map((name) => [name, new Array(length)]),
  );

  let before = 0;
  for (let i = 0; i < length; i++) {
    const atS = timeS[i]!;
    const slackS = GRID_TOLERANCE * stepS;
    while (before < last && source[before + 1]! <= atS + slackS) before += 1;
    position[i] = capture.position[before]!;
    if (feed) feed[i] = capture.feed![before]!;
    const beforeS = source[before]!;
    const isHit = Math.abs(atS - beforeS) <= slackS;
    const afterS = before < last ? source[before + 1]! : beforeS;
    const isHole = !isHit && afterS - beforeS > holeS;
    const weight = isHit || before === last ? 0 : (atS - beforeS) / (afterS - beforeS);
    for (const name of names) {
      const values = capture.channels[name]!;
      if (isHole) continue;
      channels[name]![i] =
        weight === 0 ? values[before]! : values[before]! * (1 - weight) + values[before + 1]! * weight;
    }
    for (const name of extraNames)
      extraColumns[name]![i] = isHole ? '' : capture.extraColumns![name]![before]!;
  }
  return {
    ...capture,
    timeS,
    position,
    ...(feed === undefined ? {} : { feed }),
    channels,
    gaps: missingStretches(timeS, channels, 'no samples'),
    sampleRateHz: niceRate(1 / stepS),
    notes: [...capture.notes],
    ...(capture.extraColumns === undefined ? {} : { extraColumns }),
  };
}

/** 4999.999999 is 5000: a rate within a millionth of a whole number is that number. */
function niceRate(rateHz: number): number {
  const whole = Math.round(rateHz);
  return whole > 0 && Math.abs(rateHz - whole) < 1e-6 * whole ? whole : rateHz;
}

const ms = (seconds: number): string => String(Number((seconds * 1000).toPrecision(3)));
