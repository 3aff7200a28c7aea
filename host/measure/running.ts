// How a start settles to the running level, what the running current scatters by and how high it goes.

import { sampleAt } from '../arrays/index.js';
import { systematic } from './budget.js';
import type { DriveCurrent } from './drive-current.js';
import type { Inrush } from './inrush.js';
import { lineOf, type Quantity, quantityOf, spanAt } from './quantity.js';
import { HIDDEN } from './trace.js';

/** A start that peaks less above the running level has no run-up to read. Choice of this program, no source. */
const STANDS_OUT = 1.3;
/** Of the way from peak to running level that is left when the motor counts as up to speed. Definition of this quantity. */
const LEFT_PART = 0.1;
/** Commutation ripple and noise go from a mean over so long. */
const SMOOTH_S = 0.002;
/** By which ripple and noise move the crossing, as a part of the time: size seen on starts whose truth is known (tests). */
const CROSSING_PART = 0.012;

/** Time from contact until the current has fallen nine tenths of the way from its peak to the running level. */
export function settle(
  { trace, values: current }: DriveCurrent,
  { at: peakAt, peakA }: Pick<Inrush, 'at' | 'peakA'>,
  to: number,
  runningA: number,
  startS: number,
): Quantity | undefined {
  if (!(peakA > STANDS_OUT * runningA)) return undefined;
  const level = runningA + LEFT_PART * (peakA - runningA);
  const width = Math.max(1, Math.round(SMOOTH_S / trace.stepS));
  let sum = 0;
  for (let i = peakAt; i < to; i++) {
    sum += sampleAt(current, i);
    if (i - width >= peakAt) sum -= sampleAt(current, i - width);
    if (i - peakAt + 1 >= width && sum / width <= level) {
      const at = sampleAt(trace.timeS, i) - (width * trace.stepS) / 2;
      return quantityOf(
        at - startS,
        's',
        [lineOf(1.5 * trace.stepS + CROSSING_PART * (at - startS), 'crossing of the level', 50)],
        { fromS: startS, toS: at },
      );
    }
    if (Number.isNaN(sum)) return undefined;
  }
  return undefined;
}

/** The 37 % of an exponential's time constant. */
const ONE_OVER_E = Math.exp(-1);

/**
 * Time from the inrush peak until the current has come down to 37 % of its height above the running level. What ripple
 * leaves of the smoothed current moves the crossing by so much more the flatter the fall is, and the peak's own time
 * counts with it.
 * @param peakTimeU standard uncertainty of the peak's time, s
 */
export function fallTo37(
  { trace, values: current, noiseA }: DriveCurrent,
  { at: peakAt, peakA }: Pick<Inrush, 'at' | 'peakA'>,
  to: number,
  runningA: number,
  { peakTimeU, rippleA }: { peakTimeU: number; rippleA: number },
): Quantity | undefined {
  if (!(peakA > STANDS_OUT * runningA)) return undefined;
  const level = runningA + ONE_OVER_E * (peakA - runningA);
  const width = Math.max(1, Math.round(SMOOTH_S / trace.stepS));
  const peakS = sampleAt(trace.timeS, peakAt);
  // Ripple of many samples a period is not averaged as noise is: all of it may stand in the crossing.
  const offA = Math.max(rippleA, noiseA / Math.sqrt(width));
  const crossing = (levelA: number): number | undefined => {
    let sum = 0;
    for (let i = peakAt; i < to; i++) {
      sum += sampleAt(current, i);
      if (i - width >= peakAt) sum -= sampleAt(current, i - width);
      if (Number.isNaN(sum)) return undefined;
      if (i - peakAt + 1 >= width && sum / width <= levelA)
        return sampleAt(trace.timeS, i) - (width * trace.stepS) / 2;
    }
    return undefined;
  };
  const [early, at, late] = [level + offA, level, level - offA].map(crossing);
  if (early === undefined || at === undefined || late === undefined) return undefined;
  return quantityOf(
    at - peakS,
    's',
    [
      lineOf(1.5 * trace.stepS, 'crossing of the level', 50),
      lineOf((late - early) / 2 / Math.sqrt(3), 'ripple and noise at the level'),
      lineOf(peakTimeU, 'time of the peak'),
    ],
    { fromS: peakS, toS: at },
  );
}

export function scatter(
  { trace, values: current }: DriveCurrent,
  from: number,
  to: number,
): Quantity | undefined {
  let count = 0;
  let mean = 0;
  let squares = 0;
  for (let i = from; i < to; i++) {
    const value = sampleAt(current, i);
    if (Number.isNaN(value)) continue;
    count++;
    const offset = value - mean;
    mean += offset / count;
    squares += offset * (value - mean);
  }
  if (count < 10) return undefined;
  const deviation = Math.sqrt(squares / (count - 1));
  return quantityOf(
    deviation,
    'A',
    [lineOf(deviation / Math.sqrt(2 * (count - 1)), undefined, count - 1)],
    spanAt(trace.timeS, from, to),
  );
}

/** A tight spot of a gear lasts longer; ripple and noise have gone from a mean over so long. */
const TIGHT_SPOT_S = 0.01;

/** Highest mean over 10 ms of the running current, from samples [from, to); undefined where samples are missing. */
export function runningPeak(
  { trace, values: current, noiseA, budget }: DriveCurrent,
  from: number,
  to: number,
): Quantity | undefined {
  const width = Math.max(1, Math.round(TIGHT_SPOT_S / trace.stepS));
  if (to - from < 3 * width) return undefined;
  let sum = 0;
  let best = { mean: Number.NEGATIVE_INFINITY, end: from };
  for (let i = from; i < to; i++) {
    sum += sampleAt(current, i);
    if (i - from >= width) sum -= sampleAt(current, i - width);
    if (Number.isNaN(sum)) return undefined;
    if (i - from + 1 >= width && sum / width > best.mean) best = { mean: sum / width, end: i };
  }
  const ofOneA = (HIDDEN * noiseA) / Math.sqrt(width);
  // The highest of n means of noise alone stands about sqrt(2 ln n) deviations above theirs (extremes of a normal).
  const aboveA = ofOneA * Math.sqrt(2 * Math.log((to - from) / width));
  return quantityOf(
    best.mean - aboveA,
    'A',
    [
      lineOf(ofOneA / 2, 'noise', 50),
      lineOf(aboveA / 2 / Math.sqrt(3), 'highest of many'),
      ...systematic(budget, best.mean, noiseA),
    ],
    spanAt(trace.timeS, from, to),
  );
}
