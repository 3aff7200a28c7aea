// The start of a throw: inrush peak, its time, the supply under it, the run-up to the running level.

import { sampleAt } from '../arrays/index.js';
import { amount, milli } from '../tell/index.js';
import { bouncesAtStart } from './bounced-start.js';
import { systematic } from './budget.js';
import type { DriveCurrent } from './drive-current.js';
import { type Inrush, inrushOf } from './inrush.js';
import { levelOf } from './level.js';
import { lineOf, type Quantity, quantityOf } from './quantity.js';
import { atStart } from './run-stretch.js';
import { fallTo37, settle } from './running.js';
import { meanOver, summarise } from './statistics.js';
import type { HeldThrow } from './throw.js';
import { indexAt } from './trace.js';

/** Inrush is over by then on any motor met here (settling of a loaded window 50-200 ms, common practice). */
const INRUSH_WITHIN_S = 0.3;
/** A feed current without sign may fall between slow samples; from here a peak is followed. */
const FOLLOWS_FEED_S = 0.0006;
/** A peak lasts a millisecond or two: sampled more slowly than this it may be missed. */
const COARSE_S = 0.0005;
/** What the quadratic leaves of the peak's shape, as a part of it, rectangular: seen on starts whose truth is known (tests). */
const SHAPE_PART = 0.003;
const COARSE_PART = 0.05;
/**
 * More slowly still the peak itself goes by: behind it the current of a small motor falls by a tenth in 2 to 5 ms (run-up
 * of 20 to 50 ms, common practice), and samples may lie half a step off. What was read is then its least.
 */
const MISSED_S = 0.004;
/** This near the end of its range a reading counts as cut off. */
const CLIPPED_PART = 0.99;
/** The supply at the peak is the mean of about so long. */
const SUPPLY_AT_PEAK_S = 0.001;
const SPIKE_SPAN_S = 0.002;

export interface Start extends Inrush {
  peak: Quantity;
}

/**
 * Puts what the start tells; undefined where no contact was seen, or no peak was followed.
 * @param running the current once the motor runs; undefined where none flows
 */
export function readStart(held: HeldThrow, running: Quantity | undefined): Start | undefined {
  const { trace, stretch, put, contact, startS, current, levelsTo, notes, of } = held;
  if (!current || contact === undefined || running === undefined) return undefined;
  const { channel, noiseA, budget } = current;
  const isFollowed = channel === 'motorCurrentA' || trace.stepS < FOLLOWS_FEED_S || !held.isCommanded;
  const until = Math.min(levelsTo, indexAt(trace, startS + INRUSH_WITHIN_S, stretch.from, stretch.to));
  const inrush = isFollowed ? inrushOf(current.values, contact, until, trace.stepS, noiseA) : undefined;
  if (!inrush) return undefined;
  const isCoarse = trace.stepS > COARSE_S;
  // Another instrument ends elsewhere; a feed current flows one way only.
  const isByRig = trace.source.isForeign !== true && !budget.endsSeen;
  const endA = channel === 'feedCurrentA' ? budget.maximum : Math.min(budget.maximum, -budget.minimum);
  const rangeA = isByRig ? endA : Number.POSITIVE_INFINITY;
  notesOn(held, inrush, isCoarse, rangeA);
  const shape = ((isCoarse ? COARSE_PART : SHAPE_PART) * inrush.peakA) / Math.sqrt(3);
  const peak = quantityOf(
    inrush.peakA,
    'A',
    [
      lineOf(inrush.fitUncertaintyA, 'scatter around the peak', 8),
      lineOf(shape, 'shape of the peak', 50),
      ...systematic(budget, inrush.peakA, noiseA),
    ],
    { fromS: startS, toS: sampleAt(trace.timeS, until - 1) },
  );
  const bounces = bouncesAtStart(trace, current.values, contact, until);
  if (bounces !== undefined)
    notes.push(
      `${atStart(of)}: the contact still opens and closes ${milli(bounces, 's', 0)} after it first closed, as under a hand; a start without that is at least as high.`,
    );
  const isMissed = trace.stepS > MISSED_S || bounces !== undefined;
  put('inrushPeakA', isMissed ? { ...peak, atLeast: true } : peak);
  const peakS = sampleAt(trace.timeS, inrush.at);
  const span = { fromS: startS, toS: peakS };
  const timeLines = [
    lineOf(1.5 * trace.stepS, 'peak between samples'),
    // A rippled top has no one instant that is its peak: what the definition is worth is the width of the top.
    lineOf(inrush.flatS / Math.sqrt(3), 'flat top'),
  ];
  const peakTime = quantityOf(peakS - startS, 's', timeLines, span);
  if (!isMissed) put('inrushTimeS', peakTime);
  const after = indexAt(trace, peakS + SUPPLY_AT_PEAK_S, stretch.from, stretch.to);
  const near = [Math.max(stretch.from, inrush.at - 2), Math.max(after, inrush.at + 3)] as const;
  put('inrushSupplyVoltageV', levelOf(trace, 'supplyVoltageV', near, held.budgets));
  if (inrush.spikeA !== undefined && !isMissed) {
    const lines = [lineOf(noiseA, undefined, 50), ...systematic(budget, inrush.spikeA)];
    put('spikeA', quantityOf(inrush.spikeA, 'A', lines, { fromS: startS, toS: startS + SPIKE_SPAN_S }));
  }
  if (held.segment.brief) return { ...inrush, peak };
  const settled = settle(current, inrush, levelsTo, running.value, startS);
  // A supply that dips meanwhile runs the motor up in its own time.
  const untilS = startS + (settled?.value ?? 0);
  if (held.moves.some(({ fromS }) => fromS < untilS)) return { ...inrush, peak };
  if (bounces === undefined) put('settleS', settled);
  const unsharp = { peakTimeU: peakTime.standardUncertainty, rippleA: rippleOf(held, current) };
  if (!isMissed) put('fallTo37S', fallTo37(current, inrush, levelsTo, running.value, unsharp));
  return { ...inrush, peak };
}

/** What means over two milliseconds still swing by while the motor runs: a deviation. */
function rippleOf({ trace, levelsFrom, levelsTo }: HeldThrow, { values }: DriveCurrent): number {
  const width = Math.max(1, Math.round(0.002 / trace.stepS));
  const means: number[] = [];
  for (let i = levelsFrom; i + width <= levelsTo; i += width) means.push(meanOver(values, i, i + width));
  const { deviation } = summarise(means);
  return deviation;
}

function notesOn(
  { notes, of, trace }: HeldThrow,
  { peakA }: Inrush,
  isCoarse: boolean,
  rangeA: number,
): void {
  if (peakA >= rangeA * CLIPPED_PART)
    notes.push(
      `${atStart(of)}: the current ran beyond the rig's range of ${amount(rangeA, 'A', 0)}; the peak is at least that.`,
    );
  if (isCoarse)
    notes.push(
      `${atStart(of)}: sampled every ${milli(trace.stepS, 's', 1)}; the inrush peak may be missed between samples.`,
    );
}
