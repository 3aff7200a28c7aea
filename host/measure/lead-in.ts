// Where the current channels stand with everything off: a rig's capture begins before the feed comes on, so that the
// offsets of this very run are seen and taken off. A current that no offset explains is told instead.

import { sampleAt } from '../arrays/index.js';
import { type Capture, CHANNEL, CHANNELS, type Channel } from '../capture/index.js';
import { amount, milli } from '../tell/index.js';
import { type Budgets, budgetOf, offsetAtEnd } from './budget.js';
import { QUANTITIES } from './quantities.js';
import { type Component, combine, lineOf, quantityOf, spanAt } from './quantity.js';
import { type Measured, puttingInto } from './reading.js';
import { roundingUncertainty } from './rounding.js';
import { LEAD_IN } from './run-stretch.js';
import { independentCount, type Summary, summarise } from './statistics.js';

const CURRENTS = ['feedCurrentA', 'motorCurrentA', 'coilCurrentA'] as const satisfies readonly Channel[];
/** Shorter than this, noise of the zero would not be worth it. */
const LEAST_S = 0.05;
/** A zero with more of it lost is none. Choice of this program, no source. */
const SAMPLED_PART = 0.8;
/** Straight lines between slow conversions may reach across either end by a millisecond. */
const EDGE_S = 0.002;
/** Beyond so many of its own uncertainties, and a count, a zero is no drift of the channel. */
const PLAUSIBLE = 5;
/** At the end of the range the channel does not show what lies beyond: its mean would be no zero. */
const CLIPPED_PART = 0.01;
/** Counts by which a zero with the converter's usual noise stands clear of the end. */
const CLEAR_COUNTS = 2;

export interface LeadIn {
  /** With the zeros taken off, and the offsets as uncertain as the zeros are; the same capture when nothing was. */
  capture: Capture;
  budgets: Budgets;
  /** Every channel as it read with everything off. */
  measured: Measured;
  notes: string[];
}

/** Reads the lead-in of a capture that tells its feed; without one everything is given back as it came. */
export function withLeadInZero(capture: Capture, budgets: Budgets): LeadIn {
  const untouched: LeadIn = { capture, budgets, measured: {}, notes: [] };
  const stretch = leadInStretch(capture);
  if (!stretch) return untouched;
  const [from, to] = stretch;
  const span = spanAt(capture.timeS, from, to);
  const measured: Measured = {};
  const put = puttingInto(measured, LEAD_IN);
  const channels = { ...capture.channels };
  const corrected = { ...budgets };
  const taken: string[] = [];
  const notes: string[] = [];
  for (const channel of CHANNELS) {
    const values = capture.channels[channel];
    if (!values) continue;
    const summary = summarise(values, from, to);
    if (summary.count < SAMPLED_PART * (to - from) || summary.count < 3) continue;
    const budget = budgetOf(budgets, channel);
    const lines = readingLines(values.subarray(from, to), summary, budget.resolution);
    put(channel, quantityOf(summary.mean, QUANTITIES[channel].unit, lines, span));
    if (!CURRENTS.some((name) => name === channel) || budgets[channel] === undefined) continue;
    if (clippedPart(values, from, to, budget) > CLIPPED_PART) {
      corrected[channel] = {
        ...budget,
        offsetAtEnd: offsetAtEnd(budget.offset, CLEAR_COUNTS * budget.resolution),
      };
      continue;
    }
    if (Math.abs(summary.mean) > PLAUSIBLE * budget.offset + budget.resolution) {
      notes.push(
        `${CHANNEL[channel].label} reads ${amount(summary.mean, 'A', 3)} with everything off, more than its zero can be off by: something feeds the unit, or the rig's sensor is at fault. Nothing was taken off.`,
      );
      continue;
    }
    channels[channel] = values.map((value) => value - summary.mean);
    corrected[channel] = {
      ...budget,
      offset: combine(lines).standardUncertainty,
      minimum: budget.minimum - summary.mean,
      maximum: budget.maximum - summary.mean,
    };
    taken.push(`${milli(summary.mean, 'A', CHANNEL[channel].decimals - 1)} of ${CHANNEL[channel].words}`);
  }
  if (taken.length === 0) return { ...untouched, budgets: corrected, measured, notes };
  notes.unshift(`Read with everything off before the feed came on, and taken off: ${taken.join(', ')}.`);
  return { capture: { ...capture, channels }, budgets: corrected, measured, notes };
}

/** Samples [from, to) at the start with feed off and nothing thrown; undefined when there are none or too few. */
function leadInStretch({
  timeS,
  position,
  positionKnown,
  feed,
}: Capture): readonly [number, number] | undefined {
  if (!feed || positionKnown === false) return undefined;
  let end = 0;
  while (end < timeS.length && feed[end] === 'off' && position[end] === 'rest') end++;
  if (end === 0 || end === timeS.length) return undefined;
  let from = 0;
  while (from < end && sampleAt(timeS, from) < sampleAt(timeS, 0) + EDGE_S) from++;
  let to = end;
  while (to > from && sampleAt(timeS, to - 1) > sampleAt(timeS, end - 1) - EDGE_S) to--;
  return to - from >= 3 && sampleAt(timeS, to - 1) - sampleAt(timeS, from) >= LEAST_S
    ? [from, to]
    : undefined;
}

function readingLines(values: Float64Array, summary: Summary, resolution: number): Component[] {
  const { deviation } = summary;
  const independent = independentCount(values, summary);
  return [
    lineOf(deviation / Math.sqrt(independent), 'scatter of the zero', independent - 1),
    lineOf(roundingUncertainty(resolution, deviation), 'rounding of the zero'),
  ];
}

function clippedPart(
  values: Float64Array,
  from: number,
  to: number,
  { minimum, maximum, resolution }: { minimum: number; maximum: number; resolution: number },
): number {
  let clipped = 0;
  for (let i = from; i < to; i++)
    if (sampleAt(values, i) < minimum + resolution / 2 || sampleAt(values, i) > maximum - resolution / 2)
      clipped++;
  return clipped / (to - from);
}
