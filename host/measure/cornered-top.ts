// A start cut off so little below its peak that its flanks foretell hardly more: the shape of the top itself tells. A top
// that is its own is round: it lasts, a depth below its highest, in proportion to the root of that depth (the first term of
// its series that does not vanish), so that at a quarter of a depth half of the time is left. One that is cut off has corners:
// there nearly all of it is left.

import { sampleAt } from '../arrays/index.js';
import { leastStep, median, noiseOf, quantile, windowMeans } from './statistics.js';

/** What is smoothed over; a wider window rounds the corners. Choice of this program, no source. */
const SMOOTH_S = 0.0007;
/** Depths that are looked at, of the height, the lesser of each pair, and how many times as deep the other lies. Choices of this program, no source. */
const DEPTHS = [0.004, 0.006, 0.01, 0.015];
const DEEPER = 4;
/** The lesser depth stands so many deviations of the smoothed noise, and steps of the converter, below the top. Choices of this program, no source. */
const CLEAR = { deviations: 4, steps: 2.5 };
/** The highest of many noisy readings lies so many deviations above them. Choice of this program, no source. */
const HIGHEST_BY = 1.5;
/** Between the half of a round top and the whole of a square one. Seen on starts whose truth is known: round 0.30 to 0.61 (tests). */
const CORNERED = 0.68;
/** Hum bends a top as well: what swings so long before the contact counts as noise. Two periods of the mains. */
const BEFORE_S = 0.04;
/** Samples, and time, that the deeper cut must hold. Choices of this program, no source. */
const LEAST = { samples: 10, s: 0.0025 };
/** A current that runs on at this part of its top has no start to look at. Choice of this program, no source. */
const RUNS_PART = 0.8;

/** Current of one start, its sign taken out: samples [contact, to) of it, to where it is let go. */
export interface StartedCurrent {
  current: Float64Array;
  contact: number;
  to: number;
  stepS: number;
}

export interface CutTop {
  levelA: number;
  /** Noise of one sample at that level. */
  noiseA: number;
}

/** The level whose corners show that a start was cut off at it; undefined where its top is round, or where noise leaves that open. */
export function corneredTopOf({ current, contact, to, stepS }: StartedCurrent): CutTop | undefined {
  const width = 2 * Math.floor(SMOOTH_S / stepS / 2) + 1;
  const smooth = windowMeans(current, contact, to, width);
  if (smooth.length < LEAST.samples || smooth.some(Number.isNaN)) return undefined;
  const at = smooth.reduce((best, value, i) => (value > sampleAt(smooth, best) ? i : best), 0);
  const highestA = sampleAt(smooth, at);
  if (median(smooth, (3 * smooth.length) >> 2, smooth.length) > RUNS_PART * highestA) return undefined;
  const noiseA = noiseOf(current, contact, to);
  const smoothNoiseA = noiseA / Math.sqrt(width);
  const leastA = Math.max(
    CLEAR.deviations * smoothNoiseA,
    CLEAR.steps * leastStep(current),
    swingBefore(current, contact, { width, stepS }),
  );
  const topA = highestA - HIGHEST_BY * smoothNoiseA;
  for (const part of DEPTHS) {
    const depthA = part * highestA;
    if (depthA < leastA) continue;
    const [near, deep] = [cutAt(smooth, at, topA - depthA), cutAt(smooth, at, topA - DEEPER * depthA)];
    if (near === undefined || deep === undefined) return undefined;
    const samples = deep.to - deep.from;
    if (samples < LEAST.samples || samples * stepS < LEAST.s) continue;
    if (near.to - near.from > CORNERED * samples)
      return { levelA: median(smooth, Math.ceil(near.from), Math.floor(near.to) + 1), noiseA };
  }
  return undefined;
}

/** By how much the current swings with nothing driven; 0 where the capture begins at the contact. */
function swingBefore(
  current: Float64Array,
  contact: number,
  { width, stepS }: { width: number; stepS: number },
): number {
  const [from, to] = [Math.max(0, contact - Math.round(BEFORE_S / stepS)), contact - width];
  if (to - from < LEAST.samples * width) return 0;
  const still = windowMeans(current, from, to, width);
  return quantile(still, 0.95) - quantile(still, 0.05);
}

/** Where a top stands above a level, between samples; undefined where it does to the end of what was read. */
function cutAt(values: Float64Array, at: number, levelA: number): { from: number; to: number } | undefined {
  let [first, last] = [at, at];
  while (first > 0 && sampleAt(values, first - 1) > levelA) first--;
  while (last < values.length - 1 && sampleAt(values, last + 1) > levelA) last++;
  if (first === 0 || last === values.length - 1) return undefined;
  const beyond = (inside: number, outside: number): number =>
    (sampleAt(values, inside) - levelA) / (sampleAt(values, inside) - sampleAt(values, outside));
  return { from: first - beyond(first, first - 1), to: last + beyond(last, last + 1) };
}
