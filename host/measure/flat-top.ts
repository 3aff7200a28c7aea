// The flat top of a current-limited supply: the current stands at the limit while the voltage comes up, then breaks away.

import { sampleAt } from '../arrays/index.js';
import { type Budgets, budgetOf, systematic } from './budget.js';
import { lineOf, type Quantity, quantityOf } from './quantity.js';
import { type Run, runsWhere } from './runs.js';
import { meanOver, quantile, summarise, windowMeans } from './statistics.js';
import { indexAt, samplesIn, type Trace } from './trace.js';

/** A start's own rounded peak stays within the tolerance for less than this (common practice, no source). */
const SHORTEST_S = 0.008;
const TOLERANCE_PART = 0.01;
/** Noise of the smoothed current goes beyond this many deviations once in eighty samples. */
const TOLERANCE_DEVIATIONS = 2.5;
/** A wider tolerance holds a rounded top as long. Choice of this program, no source. */
const TOLERANCE_MOST_PART = 0.03;
/** A rounded top falls by most of its tolerance from its middle to its ends, one that is cut off by none of it. Choice of this program, no source. */
const BENT_PART = 0.5;
/** While the limit holds, the starved voltage rises by at least this part of the supply as the motor speeds up. */
const VOLTAGE_RISE_PART = 0.05;
/** Without a voltage: what the current must fall in as long again. */
const FALL_PART = 0.15;
const SMOOTH_S = 0.001;
/** A motor has started by then. Choice of this program, no source. */
const WITHIN_S = 1;
/** Widths of the smoothing that a start has at least. Choice of this program, no source. */
const LEAST_WIDTHS = 5;

export interface FlatTop {
  currentA: Quantity;
  lastedS: Quantity;
}

/** A start: samples from its contact up to `to` of a current whose sign is taken out. */
export interface Start {
  current: Float64Array;
  channel: 'motorCurrentA' | 'feedCurrentA';
  contact: number;
  to: number;
  supplyV: number;
}

/** Flat top of a current after its contact; undefined when there is none. */
export function flatTopOf(trace: Trace, start: Start, budgets: Budgets): FlatTop | undefined {
  const { current, channel, contact, to } = start;
  const end = indexAt(trace, sampleAt(trace.timeS, contact) + WITHIN_S, contact, to);
  const width = Math.max(1, Math.round(samplesIn(trace, SMOOTH_S)));
  if (end - contact < LEAST_WIDTHS * width) return undefined;
  const smooth = windowMeans(current, contact, end, width);
  // A spike shorter than the top must not stand for it.
  const needed = Math.round(samplesIn(trace, SHORTEST_S));
  if (smooth.length < needed || smooth.some(Number.isNaN)) return undefined;
  const topA = quantile(smooth, 1 - Math.min(0.5, (0.5 * needed) / smooth.length));
  const noiseA = (trace.noise[channel] ?? 0) / Math.sqrt(width);
  const toleranceA = TOLERANCE_PART * topA + TOLERANCE_DEVIATIONS * noiseA;
  if (toleranceA > TOLERANCE_MOST_PART * topA) return undefined;
  const longestWithin = (withinA: number): Run<boolean> | undefined =>
    runsWhere(0, smooth.length, (i) => Math.abs(sampleAt(smooth, i) - topA) <= withinA).sort(
      (a, b) => b.to - b.from - (a.to - a.from),
    )[0];
  const top = longestWithin(toleranceA);
  if (!top || top.to - top.from < needed || top.to >= smooth.length) return undefined;
  if (bendOf(smooth, top) > BENT_PART * toleranceA) return undefined;
  const first = contact + top.from;
  const last = contact + top.to + width - 1;
  const breaksAway = voltageRises(trace, first, last, start.supplyV) ?? currentFalls(smooth, top, topA);
  if (!breaksAway) return undefined;
  const { mean, deviation, count } = summarise(current, first + width, last - width);
  if (count < 3) return undefined;
  const stretch = { fromS: sampleAt(trace.timeS, first), toS: sampleAt(trace.timeS, last) };
  return {
    currentA: quantityOf(
      mean,
      'A',
      [
        lineOf(deviation / Math.sqrt(count), undefined, count - 1),
        ...systematic(budgetOf(budgets, channel), mean, deviation),
      ],
      stretch,
    ),
    lastedS: quantityOf(
      stretch.toS - stretch.fromS - width * trace.stepS,
      's',
      [
        lineOf(width * trace.stepS, 'smoothing', 50),
        // A rippled top ends where its tolerance says: twice as wide a one tells what that is worth.
        lineOf(
          (lengthOf(longestWithin(2 * toleranceA)) - lengthOf(top)) * (trace.stepS / 2 / Math.sqrt(3)),
          'tolerance',
        ),
      ],
      stretch,
    ),
  };
}

/** By how much the parabola through a top falls from its middle to its ends: of thirds, means of a parabola lie 4/9 apart. */
function bendOf(smooth: Float64Array, { from, to }: Run<boolean>): number {
  const third = Math.max(1, Math.floor((to - from) / 3));
  const middle = from + ((to - from - third) >> 1);
  const ends = (meanOver(smooth, from, from + third) + meanOver(smooth, to - third, to)) / 2;
  return (9 / 4) * (meanOver(smooth, middle, middle + third) - ends);
}

const lengthOf = (run: Run<boolean> | undefined): number => (run ? run.to - run.from : 0);

/** Whether a motor sped up under the top of samples [first, last); undefined when no voltage tells. */
function voltageRises(trace: Trace, first: number, last: number, supplyV: number): boolean | undefined {
  const voltage = trace.motorVoltageV ?? trace.channels.supplyVoltageV;
  if (!voltage) return undefined;
  const fifth = Math.max(2, Math.floor((last - first) / 5));
  const late = summarise(voltage, last - fifth, last).mean;
  const early = summarise(voltage, first + 2, first + 2 + fifth).mean;
  return Math.abs(late) - Math.abs(early) > VOLTAGE_RISE_PART * supplyV;
}

/** Whether the current, as long again behind its top, has fallen well below it. */
function currentFalls(smooth: Float64Array, { from, to }: Run<boolean>, topA: number): boolean {
  const next = to + (to - from);
  return next < smooth.length && sampleAt(smooth, next) < (1 - FALL_PART) * topA;
}
