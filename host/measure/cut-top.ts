// A start that was cut off before noise was put on: no two readings at the end of the range are equal, but the flanks on
// either side of the top foretell a higher one. A motor on a steady voltage takes i = a + b exp(-t/T) + c exp(-t/t0), T of its
// rotor and t0 of its winding (the textbook motor of two first-order lags); that is fitted to the flanks alone.

import { itemAt, sampleAt } from '../arrays/index.js';
import { type CutTop, corneredTopOf, type StartedCurrent } from './cornered-top.js';
import { meanOver, median, noiseOf, quantile, windowMeans } from './statistics.js';

/** The highest current: stray readings do not count; a start that is looked at lasts so long, and so many low readings end it. Choices of this program, no source. */
const HIGHEST = 0.999;
const SHORTEST_S = 0.03;
const LETS_GO = 3;
/** A start rises from below one part of the highest current to beyond the other within so long. Choices of this program, no source. */
const RISES = { from: 0.1, to: 0.4, s: 0.03, firstPart: 0.05 };
/** More starts of one capture tell no more. Choice of this program, no source. */
const MOST_STARTS = 4;

/** The level that a start of these readings was cut off at, the first that shows it. @param sign of the starts looked at */
export function cutTopIn(values: Float64Array, sign: 1 | -1, stepS: number): CutTop | undefined {
  const current = values.map((value) => sign * value);
  const highestA = quantile(current, HIGHEST);
  const shortest = Math.round(SHORTEST_S / stepS);
  if (!(highestA > 0)) return undefined;
  let starts = 0;
  for (let i = 1; i < current.length && starts < MOST_STARTS; i++) {
    if (!(sampleAt(current, i) > RISES.to * highestA)) continue;
    const least = Math.max(0, i - Math.round(RISES.s / stepS));
    let contact = i;
    while (contact > least && !(sampleAt(current, contact - 1) < RISES.firstPart * highestA)) contact--;
    const rises = contact > least || sampleAt(current, contact) < RISES.from * highestA;
    let to = i;
    for (let low = 0; to < current.length && low < LETS_GO; to++)
      low = sampleAt(current, to) < RISES.firstPart * highestA ? low + 1 : 0;
    if (rises && to - contact > shortest) {
      starts++;
      const start = { current, contact, to: to - LETS_GO, stepS };
      const found = cutTopOf(start) ?? corneredTopOf(start);
      if (found) return found;
    }
    i = to;
  }
  return undefined;
}

/** What is smoothed over, and what of it near the top is left out of the flanks. Choices of this program, no source. */
const SMOOTH_S = 0.001;
const TOP_PART = 0.9;
const NEAR = { part: 0.02, deviations: 2 };
/** Samples that are enough, and that a top and its flanks need. Choices of this program, no source. */
const MOST_BINS = 500;
const LEAST_TOP = { s: 0.0025, bins: 6 };
const LEAST_FLANK = 12;
/** The start is over where this part of its height is left; so many times as long is looked at. Choices of this program, no source. */
const OVER_PART = 0.25;
const LOOK = 2;
/** A current that runs on at this part of its top has no flank to look at. Choice of this program, no source. */
const RUNS_PART = 0.8;
/** Time constants looked for: of windings, and of rotors (L over R and run-up of small motors, common practice). */
const WINDING_S = { least: 0.0003, most: 0.012, steps: 14 };
const ROTOR_S = { least: 0.006, most: 0.6, steps: 18 };
/** The foretold top stands so far above the level, by the least of all fits as good as the best. Choices of this program, no source. */
const ABOVE_PART = 0.03;
const AS_GOOD = 9;
/** Scatter about one level that noise alone explains: so many deviations of a variance of few readings; and a little of the level. Choices of this program, no source. */
const FLAT = { deviations: 4, part: 0.003 };
/** Below this part of what it was a determinant is nothing: the curves are alike. */
const ALIKE = 1e-6;
/** What the flanks leave over, of the height: more is no such motor. Choice of this program, no source. */
const MISFIT_PART = 0.03;

/** The level that a start was cut off at; undefined where its top is its own, or where noise leaves that open. */
export function cutTopOf({ current, contact, to, stepS }: StartedCurrent): CutTop | undefined {
  const width = Math.max(1, Math.round(SMOOTH_S / stepS));
  const smooth = windowMeans(current, contact, to, width);
  if (smooth.length < LEAST_FLANK || smooth.some(Number.isNaN)) return undefined;
  const topA = quantile(smooth, 1 - Math.min(0.1, LEAST_TOP.s / stepS / smooth.length));
  const runsA = median(smooth, (3 * smooth.length) >> 2, smooth.length);
  if (!(topA > 0) || runsA > RUNS_PART * topA) return undefined;
  const over = lastAbove(smooth, runsA + OVER_PART * (topA - runsA));
  const span = Math.min(to - contact, LOOK * (over + 1) + width);
  const stride = Math.max(1, Math.ceil(span / MOST_BINS));
  const bins = Float64Array.from({ length: Math.floor(span / stride) }, (_, k) =>
    meanOver(current, contact + k * stride, contact + (k + 1) * stride),
  );
  const binS = stride * stepS;
  const [first, last] = [firstAbove(bins, TOP_PART * topA), lastAbove(bins, TOP_PART * topA)];
  if (last - first < LEAST_TOP.bins) return undefined;
  const noiseA = noiseOf(bins, first, bins.length);
  const levelA = median(bins, first, last + 1);
  const binWidth = Math.max(1, Math.round(SMOOTH_S / binS));
  const means = windowMeans(bins, 0, bins.length, binWidth);
  const nearA = levelA - Math.max(NEAR.part * levelA, (NEAR.deviations * noiseA) / Math.sqrt(binWidth));
  const [from, until] = [firstAbove(means, nearA), lastAbove(means, nearA) + binWidth];
  if ((until - from) * binS < LEAST_TOP.s || until - from < LEAST_TOP.bins) return undefined;
  if (!isFlat(bins, levelA, noiseA, [from + binWidth, until - binWidth])) return undefined;
  const aboveA = leastForetold(bins, binS, [from, until], MISFIT_PART * (topA - runsA) + noiseA);
  if (aboveA === undefined || aboveA - levelA < ABOVE_PART * levelA) return undefined;
  return { levelA, noiseA: noiseA * Math.sqrt(stride) };
}

function firstAbove(values: Float64Array, leastA: number): number {
  const at = values.findIndex((value) => value >= leastA);
  return at < 0 ? values.length : at;
}
const lastAbove = (values: Float64Array, leastA: number): number =>
  values.findLastIndex((value) => value >= leastA);

function isFlat(
  values: Float64Array,
  levelA: number,
  noiseA: number,
  [from, to]: readonly [number, number],
): boolean {
  let squares = 0;
  for (let i = from; i < to; i++) squares += (sampleAt(values, i) - levelA) ** 2;
  const count = Math.max(1, to - from);
  const most = 1 + FLAT.deviations * Math.sqrt(2 / count);
  return squares / count < most * noiseA ** 2 + (FLAT.part * levelA) ** 2;
}

/**
 * What the flanks foretell on average over [from, until): the least of all fits about as good as the best; undefined where
 * too little of them is there, or where nothing fits them.
 */
function leastForetold(
  bins: Float64Array,
  binS: number,
  [from, until]: readonly [number, number],
  mostMisfitA: number,
): number | undefined {
  const flank = [...bins.keys()].filter((k) => k < from || k >= until);
  if (flank.length < LEAST_FLANK || bins.length - until < LEAST_FLANK / 2 || from < 2) return undefined;
  const places = Float64Array.from(flank);
  const readings = Float64Array.from(flank, (k) => sampleAt(bins, k));
  const top = Float64Array.from({ length: until - from }, (_, k) => from + k);
  const lag = (at: Float64Array, tauS: number): Float64Array =>
    at.map((k) => Math.exp((-(k + 0.5) * binS) / tauS));
  const lags = (at: Float64Array, which: Lags): Float64Array[] => stepsOf(which).map((tauS) => lag(at, tauS));
  const [rotors, windings] = [lags(places, ROTOR_S), lags(places, WINDING_S)];
  const [rotorTops, windingTops] = [ROTOR_S, WINDING_S].map((which) =>
    lags(top, which).map((curve) => meanOver(curve, 0, curve.length)),
  );
  const fits: { squares: number; foretoldA: number }[] = [];
  stepsOf(WINDING_S).forEach((windingS, w) => {
    stepsOf(ROTOR_S).forEach((rotorS, r) => {
      if (rotorS < 2 * windingS) return;
      const found = fitted(readings, itemAt(rotors, r), itemAt(windings, w));
      if (found === undefined) return;
      const [a, b, c] = found.factors;
      const foretoldA = a + b * itemAt(rotorTops ?? [], r) + c * itemAt(windingTops ?? [], w);
      fits.push({ squares: found.squares, foretoldA });
    });
  });
  const best = Math.min(...fits.map(({ squares }) => squares));
  const degrees = flank.length - 5;
  if (!(Math.sqrt(best / degrees) < mostMisfitA)) return undefined;
  const good = fits.filter(({ squares }) => squares <= best * (1 + AS_GOOD / degrees));
  return Math.min(...good.map(({ foretoldA }) => foretoldA));
}

interface Lags {
  least: number;
  most: number;
  steps: number;
}
const stepsOf = ({ least, most, steps }: Lags): number[] =>
  Array.from({ length: steps }, (_, k) => least * (most / least) ** (k / (steps - 1)));

/** Least squares of a constant and two curves, by Cramer's rule; undefined where they are alike. */
function fitted(
  y: Float64Array,
  p: Float64Array,
  q: Float64Array,
): { factors: readonly [number, number, number]; squares: number } | undefined {
  const n = y.length;
  let [sp, sq, pp, pq, qq, sy, py, qy, yy] = [0, 0, 0, 0, 0, 0, 0, 0, 0];
  for (let k = 0; k < n; k++) {
    const [yk, pk, qk] = [sampleAt(y, k), sampleAt(p, k), sampleAt(q, k)];
    sp += pk;
    sq += qk;
    pp += pk * pk;
    pq += pk * qk;
    qq += qk * qk;
    sy += yk;
    py += pk * yk;
    qy += qk * yk;
    yy += yk * yk;
  }
  // Without the constant: moments about the means.
  const [cpp, cpq, cqq] = [pp - (sp * sp) / n, pq - (sp * sq) / n, qq - (sq * sq) / n];
  const [cpy, cqy, cyy] = [py - (sp * sy) / n, qy - (sq * sy) / n, yy - (sy * sy) / n];
  const all = cpp * cqq - cpq * cpq;
  if (!(all > ALIKE * cpp * cqq)) return undefined;
  const b = (cpy * cqq - cqy * cpq) / all;
  const c = (cqy * cpp - cpy * cpq) / all;
  return {
    factors: [(sy - b * sp - c * sq) / n, b, c],
    squares: Math.max(0, cyy - b * cpy - c * cqy),
  };
}
