// Throws of a lone current: no voltage says when the motor is driven, so that brakes and what a clamp leaves over have to be
// told from throws by their course.

import { sampleAt } from '../arrays/index.js';
import { known } from '../fields/index.js';
import { median, noiseOf, quantile } from './statistics.js';
import { indexAt, samplesIn, type Trace } from './trace.js';
import {
  durationS,
  merged,
  OPENED_PART,
  SAME_THROW_S,
  SHORTEST_THROW_S,
  type Throw,
  throwsAbove,
} from './waveform-throws.js';

/** A brake current falls all the way; a throw holds on to its running level. */
const BRAKE_LONGEST_S = 0.6;
/** Parts of a stretch whose levels are held against each other, and what a brake current keeps between them. Choice of this program, no source. */
const MIDDLE_FROM = 0.45;
const MIDDLE_TO = 0.6;
const END_FROM = 0.85;
const BRAKE_KEEPS = 0.6;
const SMOOTH_S = 0.001;
/** Where a current starts without rest before it, this part of its highest value is no zero error. */
const ZERO_ERROR_PART = 0.15;
/** Time, and samples at least, that the zero is read over. Choice of this program, no source. */
const ZERO_S = 0.01;
const ZERO_SAMPLES = 20;
/** A current that flows: this part of the highest, so many deviations of noise, and this much. Choice of this program, no source. */
const FLOWING = { part: 0.01, deviations: 8, leastA: 0.005 };
/** The highest current: single spikes do not count. Choice of this program, no source. */
const HIGHEST = 0.999;
/** Samples that are enough to tell the noise of a long import. */
const NOISE_SAMPLES = 200_000;
/**
 * A lone current before it first flows (this part of the highest, so long before): what it swings by there, as many times
 * over as a throw must stand clear of it, and no more than this part of the highest. Choices of this program, no source.
 */
const SWING = { flowingPart: 0.2, clearS: 0.02, leastS: 0.05, part: 0.95, times: 3, mostPart: 0.1 };
/**
 * What is left of a current behind a throw: a contact opens within `fallS`; a throw rises within `riseS` and shows its
 * start, the highest of `startS`, above its level; what is left lasts, and is a smaller `part` of what ran. Choices of
 * this program, no source.
 */
const LEFT = {
  ...{ fallS: 0.004, riseS: 0.02, startS: 0.1, peak: 0.95 },
  ...{ leastS: 0.06, part: 0.35, steady: 1.3, steadyPart: 0.1 },
};

export interface Left {
  atS: number;
  levelA: number;
  beforeA: number;
}

/** A current as it was read, and what tells where it flows. */
interface SeenCurrent {
  raw: Float64Array;
  zeroA: number;
  closedA: number;
  /** Samples that were smoothed over. */
  width: number;
}

export function currentThrows(trace: Trace, raw: Float64Array): { throws: Throw[]; left?: Left } {
  const width = Math.max(1, Math.round(samplesIn(trace, SMOOTH_S)));
  const zeroA = zeroOf(trace, raw);
  const smooth = runningMean(withoutStrays(raw), width, zeroA);
  const highestA = quantile(smooth.map(Math.abs), HIGHEST);
  if (!(highestA > 0)) return { throws: [] };
  const noiseA = noiseOf(raw, 0, Math.min(raw.length, NOISE_SAMPLES)) / Math.sqrt(width);
  const closedA = Math.max(
    ...[FLOWING.part * highestA, FLOWING.deviations * noiseA, FLOWING.leastA],
    swingBefore(trace, smooth, highestA),
  );
  if (highestA < 2 * closedA) return { throws: [] };
  const throws = merged(trace, throwsAbove(smooth, closedA, closedA / 2)).filter(
    ({ from, to }) => durationS(trace, from, to) >= SHORTEST_THROW_S,
  );
  const kept: Throw[] = [];
  let left: Left | undefined;
  const leaves = (at: number, levelA: number): void => {
    if (Math.abs(levelA) > Math.abs(left?.levelA ?? 0))
      left = { atS: sampleAt(trace.timeS, at), levelA: levelA + zeroA, beforeA: zeroA };
  };
  for (const found of throws) {
    const before = kept.at(-1);
    const follows =
      before && before.way !== found.way && durationS(trace, before.to, found.from) < SAME_THROW_S;
    if (follows && isBrake(trace, smooth, found)) continue;
    if (isLeftOver(trace, smooth, found, { before: follows ? before : undefined, closedA })) {
      leaves(found.from, median(smooth, found.from, found.to));
      continue;
    }
    const to = letGoAt(trace, smooth, found, closedA);
    if (to < found.to) leaves(to, median(smooth, to, found.to));
    kept.push(sharpened({ raw, zeroA, closedA, width }, { ...found, to }));
  }
  return { throws: kept, ...known({ left }) };
}

/** Hum and drift that the current shows before it first flows: what does not rise clear of them is no throw. */
function swingBefore(trace: Trace, smooth: Float64Array, highestA: number): number {
  const first = smooth.findIndex((value) => Math.abs(value) > SWING.flowingPart * highestA);
  const to = indexAt(trace, sampleAt(trace.timeS, Math.max(0, first)) - SWING.clearS, 0, smooth.length);
  if (first < 0 || sampleAt(trace.timeS, to) - sampleAt(trace.timeS, 0) < SWING.leastS) return 0;
  const swingA = quantile(smooth.subarray(0, to).map(Math.abs), SWING.part);
  return Math.min(SWING.times * swingA, SWING.mostPart * highestA);
}

/**
 * Whether a current is what a clamp is left with rather than a throw: it comes up slowly, or it lies the other way
 * right behind a throw, without a start and far below what ran.
 */
function isLeftOver(
  trace: Trace,
  smooth: Float64Array,
  { way, from, to }: Throw,
  { before, closedA }: { before: Throw | undefined; closedA: number },
): boolean {
  const at = sampleAt(trace.timeS, from);
  // Sampled more slowly than that, a throw has risen from one reading to the next.
  const riseS = Math.max(LEFT.riseS, 1.5 * trace.stepS);
  const sinceI = indexAt(trace, at - riseS, 0, from);
  const untilI = indexAt(trace, at + riseS, from, to - 1);
  const roseA = way * (sampleAt(smooth, untilI) - sampleAt(smooth, sinceI));
  if (from > 0 && !before && roseA < closedA) return true;
  if (!before) return false;
  const startA =
    way *
    quantile(smooth, way > 0 ? LEFT.peak : 1 - LEFT.peak, from, indexAt(trace, at + LEFT.startS, from, to));
  const levelA = way * median(smooth, (from + to) >> 1, to);
  const ranA = Math.abs(median(smooth, (before.from + before.to) >> 1, before.to));
  return (
    durationS(trace, from, to) > LEFT.leastS && levelA < LEFT.part * ranA && startA < LEFT.steady * levelA
  );
}

/**
 * Where the current falls all at once and what is left flows on steadily: the contact opened, and a zero that moved or a
 * leak stands behind it. `to` where nothing of that is seen; a load that lets go takes the time of the rotor.
 */
function letGoAt(trace: Trace, smooth: Float64Array, { way, from, to }: Throw, closedA: number): number {
  const [fallI, leastI] = [samplesIn(trace, LEFT.fallS), samplesIn(trace, LEFT.leastS)];
  if (fallI < 2) return to;
  const half = Math.ceil(fallI / 2);
  for (let i = from + Math.ceil(leastI); i + leastI < to; i += half) {
    const beforeA = way * sampleAt(smooth, i - half);
    const afterA = way * sampleAt(smooth, i + half);
    if (beforeA - afterA < 2 * closedA || afterA > LEFT.part * beforeA) continue;
    const restA = [0.05, 0.5, 0.95].map((part) => way * quantile(smooth, part, i + half, to));
    const [low = 0, middle = 0, high = 0] = restA;
    const isSteady = Math.max(low, high) - Math.min(low, high) < Math.max(closedA, LEFT.steadyPart * beforeA);
    if (isSteady && middle < LEFT.part * beforeA) return i;
  }
  return to;
}

/** Zero of a clamp meter: what it read before the first throw, when that is small against what came after. */
function zeroOf(trace: Trace, raw: Float64Array): number {
  const lead = Math.max(ZERO_SAMPLES, indexAt(trace, sampleAt(trace.timeS, 0) + ZERO_S, 0, raw.length));
  const first = median(raw, 0, lead);
  const highestA = quantile(raw.map(Math.abs), HIGHEST);
  return Math.abs(first) < ZERO_ERROR_PART * highestA ? first : 0;
}

/** Running median of five: a stray sample or two is no current, a contact's first closing lasts longer. */
export function withoutStrays(values: Float64Array): Float64Array {
  const out = values.slice();
  const five = new Float64Array(5);
  for (let i = 2; i + 2 < values.length; i++) {
    const here = sampleAt(values, i);
    if (Number.isNaN(here)) continue;
    for (let k = 0; k < 5; k++) {
      const value = sampleAt(values, i - 2 + k);
      five[k] = Number.isNaN(value) ? here : value;
    }
    out[i] = sampleAt(five.sort(), 2);
  }
  return out;
}

/** Mean of the samples within half of `width` that are there, less `zero`; a lost sample stays lost. */
function runningMean(values: Float64Array, width: number, zero: number): Float64Array {
  if (width < 3) return values.map((value) => value - zero);
  const half = width >> 1;
  let sum = 0;
  let present = 0;
  const take = (i: number, weight: 1 | -1): void => {
    const value = values[i];
    if (value === undefined || Number.isNaN(value)) return;
    sum += weight * value;
    present += weight;
  };
  for (let i = 0; i < half; i++) take(i, 1);
  return values.map((value, i) => {
    take(i + half, 1);
    take(i - half - 1, -1);
    return Number.isNaN(value) || present === 0 ? Number.NaN : sum / present - zero;
  });
}

/** A current against the throw before it that starts high and dies away without a running level. */
function isBrake(trace: Trace, smooth: Float64Array, { from, to }: Throw): boolean {
  if (durationS(trace, from, to) > BRAKE_LONGEST_S) return false;
  const at = (part: number): number => from + Math.floor(part * (to - from));
  const middleA = Math.abs(median(smooth, at(MIDDLE_FROM), at(MIDDLE_TO) + 1));
  return Math.abs(median(smooth, at(END_FROM), to)) < BRAKE_KEEPS * middleA;
}

/** Moves the ends, which smoothing blurred, to the samples where the current itself comes and goes. */
function sharpened({ raw, zeroA, closedA, width }: SeenCurrent, { way, from, to }: Throw): Throw {
  const reach = width + 2;
  const flowsAbove = (i: number, leastA: number): boolean => way * (sampleAt(raw, i) - zeroA) > leastA;
  let start = from;
  if (from > 0 && !Number.isNaN(sampleAt(raw, from))) {
    for (let i = Math.max(0, from - reach); i < Math.min(from + reach, to, raw.length - 1); i++) {
      if (flowsAbove(i, closedA) && flowsAbove(i + 1, closedA)) {
        start = i;
        break;
      }
    }
  }
  const tail = Math.max(start + 1, to - Math.max(reach, (to - start) >> 2));
  const runningA = Math.abs(median(raw, tail, to) - zeroA);
  let end = to;
  for (let i = Math.min(raw.length, to + reach) - 1; i > start; i--) {
    if (flowsAbove(i, Math.max(closedA, OPENED_PART * runningA))) {
      end = Math.max(start + 1, i + 1);
      break;
    }
  }
  return { way, from: start, to: end };
}
