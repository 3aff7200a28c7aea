// Hum of the mains that a clamp or its leads pick up: with nothing driven the current swings 50 or 60 times a second all the
// same. What swings so in the rests, in step through the whole record, is the instrument's; it is taken away. A charger's
// ripple flows only while it drives something, and stays.

import { itemAt, sampleAt } from '../arrays/index.js';
import type { Capture, Channel } from '../capture/index.js';
import { significant } from '../tell/index.js';
import { type Budgets, budgetOf } from './budget.js';
import type { CaptureDoubt } from './capture-doubt.js';
import { fitLinear } from './model/index.js';
import { quantile } from './statistics.js';

export interface WithoutHum {
  /** With the hum taken away; the same where there is none. */
  capture: Capture;
  /** Channels that it was taken from, with what may be left of it, as a standard uncertainty. */
  left: Partial<Record<Channel, number>>;
  doubts: CaptureDoubt[];
  notes: string[];
}

/** Mains, and by how much of that they and the instrument's clock may be off (EN 50160: 1 % in 99.5 % of a year). */
const MAINS_HZ = [50, 60];
const OFF_PART = 0.01;
/** Fine enough that ten seconds stay in step. Choice of this program, no source. */
const STEP_HZ = 0.02;
/** Harmonics that strays have. */
const HARMONICS = [1, 2, 3];
const BLOCK_S = 0.001;
const LEAST_RATE_HZ = 400;
const MOST_BLOCKS = 6000;
/** So much rest is needed, and around whatever flows so much is left out. Choices of this program, no source. */
const LEAST_REST_S = 0.06;
const CLEAR_S = 0.04;
/** A mean over one period beyond this part of the highest is a current. Choice of this program, no source. */
const FLOWS_PART = 0.04;
/** Of the variance at rest, hum is at least so much; what is left of it once taken away, as a part. Choices of this program, no source. */
const LEAST_SHARE = 0.5;
const LEFT_PART = 0.05;
/** Of the highest: what swings by more is told as a doubt. Choice of this program, no source. */
const DOUBT_PART = 0.05;

/** A first glance, short enough that any mains is in step, and what it must show. Choices of this program, no source. */
const GLANCE_S = 0.25;
const LEAST_GLANCED = 0.3;

/** Times that were written with few decimals. */
const ROUNDED_PART = 0.01;

const CURRENTS: readonly Channel[] = ['motorCurrentA', 'feedCurrentA'];

export function withoutHum(capture: Capture): WithoutHum {
  const told: WithoutHum = { capture, left: {}, doubts: [], notes: [] };
  const { timeS } = capture;
  const lastedS = sampleAt(timeS, timeS.length - 1) - sampleAt(timeS, 0);
  // By the times themselves: slow samples fold hum and its multiples into each other.
  if (!((timeS.length - 1) / lastedS > (1 - ROUNDED_PART) * LEAST_RATE_HZ)) return told;
  const channels = { ...capture.channels };
  for (const channel of CURRENTS) {
    const values = channels[channel];
    const hum = values && humIn(values, capture.timeS);
    if (!values || !hum) continue;
    channels[channel] = values.map((value, i) => value - hum.at(sampleAt(capture.timeS, i)));
    told.left[channel] = (LEFT_PART * hum.amplitudeA) / Math.SQRT2;
    const swings = `With nothing thrown the current swings ${hum.hz} times a second by ${significant(hum.amplitudeA, 2, 'A')} either way: the clamp or its leads pick up the mains. That was taken away`;
    if (hum.amplitudeA < DOUBT_PART * hum.highestA) told.notes.push(`${swings}.`);
    else
      told.doubts.push({
        kind: 'mains',
        channels: ['motorCurrentA', 'feedCurrentA'],
        sentence: `${swings}; keep them off mains leads and chargers, and repeat.`,
      });
  }
  return Object.keys(told.left).length === 0 ? told : { ...told, capture: { ...capture, channels } };
}

/** Budgets with what may be left of the hum. */
export function withLeftHum(budgets: Budgets, left: WithoutHum['left'] = {}): Budgets {
  const told: Budgets = { ...budgets };
  for (const channel of CURRENTS) {
    const hum = left[channel];
    if (hum !== undefined) told[channel] = { ...budgetOf(budgets, channel), hum };
  }
  return told;
}

interface Hum {
  hz: number;
  amplitudeA: number;
  highestA: number;
  at: (timeS: number) => number;
}

function humIn(values: Float64Array, timeS: Float64Array): Hum | undefined {
  const stepS = (sampleAt(timeS, timeS.length - 1) - sampleAt(timeS, 0)) / (timeS.length - 1);
  const width = Math.max(1, Math.round(BLOCK_S / stepS));
  const count = Math.min(MOST_BLOCKS, Math.floor(values.length / width));
  const blocks = new Float64Array(count);
  const times = new Float64Array(count);
  for (let k = 0; k < count; k++) {
    for (let i = k * width; i < (k + 1) * width; i++) {
      blocks[k] = sampleAt(blocks, k) + sampleAt(values, i) / width;
      times[k] = sampleAt(times, k) + sampleAt(timeS, i) / width;
    }
  }
  if (blocks.some(Number.isNaN)) return undefined;
  const highestA = quantile(blocks.map(Math.abs), 0.999);
  const found = MAINS_HZ.flatMap((hz) => humAt(hz, { blocks, times, blockS: width * stepS, highestA }) ?? []);
  const best = found.sort((a, b) => b.share - a.share)[0];
  return best && best.share > LEAST_SHARE ? { ...best, highestA } : undefined;
}

interface Blocks {
  blocks: Float64Array;
  times: Float64Array;
  blockS: number;
  highestA: number;
}

function humAt(hz: number, seen: Blocks): (Omit<Hum, 'highestA'> & { share: number }) | undefined {
  const { blocks, times, blockS } = seen;
  const rests = restsOf(seen, Math.max(1, Math.round(1 / hz / blockS)));
  if (rests.length * blockS < LEAST_REST_S) return undefined;
  const lastS = sampleAt(times, itemAt(rests, rests.length - 1)) - sampleAt(times, itemAt(rests, 0));
  const stepHz = Math.max(STEP_HZ, 0.05 / Math.max(1, lastS));
  const steps = Math.ceil((OFF_PART * hz) / stepHz);
  let best: { squares: number; hz: number; factors: number[] } | undefined;
  const readings = rests.map((k) => sampleAt(blocks, k));
  const at = rests.map((k) => sampleAt(times, k));
  const few = Math.round(GLANCE_S / blockS);
  if (!(shareOf(readings.slice(0, few), at.slice(0, few), hz) > LEAST_GLANCED)) return undefined;
  for (let n = -steps; n <= steps; n++) {
    const tried = hz + n * stepHz;
    const { factors, squares } = swingFit(readings, at, tried);
    if (!best || squares < best.squares) best = { squares, hz: tried, factors };
  }
  if (!best) return undefined;
  // A block's mean flattens what swings within it.
  const full = best.factors.map((factor, i) => {
    const x = Math.PI * best.hz * itemAt(HARMONICS, Math.max(0, (i - 1) >> 1)) * blockS;
    return i === 0 ? 0 : (factor * x) / Math.sin(x);
  });
  const swing = best.hz;
  return {
    hz,
    amplitudeA: Math.hypot(itemAt(full, 1), itemAt(full, 2)),
    share: 1 - best.squares / Math.max(Number.MIN_VALUE, squaresOf(readings)),
    at: (time) => sumOf(full, time, swing),
  };
}

/** Part of the variance that a swing at `hz` explains. */
const shareOf = (readings: readonly number[], at: readonly number[], hz: number): number =>
  readings.length < TERMS
    ? 0
    : 1 - swingFit(readings, at, hz).squares / Math.max(Number.MIN_VALUE, squaresOf(readings));

function squaresOf(readings: readonly number[]): number {
  const mean = readings.reduce((sum, reading) => sum + reading, 0) / readings.length;
  return readings.reduce((sum, reading) => sum + (reading - mean) ** 2, 0);
}

/** Factors of the terms, and the squares that they leave over. */
function swingFit(
  readings: readonly number[],
  at: readonly number[],
  hz: number,
): { factors: number[]; squares: number } {
  const rows = at.map((timeS) => termsAt(timeS, hz));
  const { parameters, residualDeviation, degreesOfFreedom } = fitLinear(rows, readings);
  return { factors: parameters, squares: residualDeviation ** 2 * degreesOfFreedom };
}

/** Blocks about which nothing flows, by the mean over a period. */
function restsOf({ blocks, blockS, highestA }: Blocks, period: number): number[] {
  const clear = Math.round(CLEAR_S / blockS);
  const isQuiet = new Uint8Array(blocks.length);
  let sum = 0;
  for (let k = 0; k < blocks.length; k++) {
    sum += sampleAt(blocks, k) - (k >= period ? sampleAt(blocks, k - period) : 0);
    if (k + 1 >= period && Math.abs(sum / period) < FLOWS_PART * highestA) isQuiet[k - (period >> 1)] = 1;
  }
  const rests: number[] = [];
  let run = 0;
  for (let k = 0; k <= blocks.length; k++) {
    if (k < blocks.length && (isQuiet[k] === 1 || k < period >> 1 || k + (period >> 1) >= blocks.length)) {
      run++;
      continue;
    }
    const from = k - run === 0 ? 0 : k - run + clear;
    const to = k === blocks.length ? k : k - clear;
    for (let i = from; i < to; i++) rests.push(i);
    run = 0;
  }
  return rests;
}

const TERMS = 1 + 2 * HARMONICS.length;

/** A constant, then sine and cosine of each harmonic. */
function termsAt(timeS: number, hz: number): number[] {
  const terms = [1];
  for (const times of HARMONICS) {
    const angle = 2 * Math.PI * times * hz * timeS;
    terms.push(Math.sin(angle), Math.cos(angle));
  }
  return terms;
}

const sumOf = (factors: readonly number[], timeS: number, hz: number): number =>
  termsAt(timeS, hz).reduce((sum, term, i) => sum + term * itemAt(factors, i), 0);
