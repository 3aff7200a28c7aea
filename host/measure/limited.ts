// A stretch driven through the limited feed: where the leads stand and what flows. No inrush, no running level.

import { sampleAt } from '../arrays/index.js';
import type { Channel } from '../capture/index.js';
import { type Budgets, budgetOf, systematic } from './budget.js';
import { differenceOf } from './level.js';
import { QUANTITIES } from './quantities.js';
import { lineOf, type Quantity, quantityOf } from './quantity.js';
import { type Measured, puttingInto, readingOf } from './reading.js';
import { isThrow } from './run-stretch.js';
import type { Segment } from './segment.js';
import { meanOver } from './statistics.js';
import { tailLevels } from './tail-levels.js';
import type { CommandedStretch, Trace } from './trace.js';

/** Levels come from the last part: relay, bounce and the motor's first movement are over. */
const TAIL = { part: 0.3, mostS: 0.1 };
/** A relay that buzzes shorts for a few milliseconds at a time (operate and release times of published relays: 3 to 10 ms). */
const COLLAPSE_S = 0.002;
/** A steady lead's lowest stretch lies well above this part of its mean. */
const COLLAPSED_PART = 0.7;

/** Puts the levels of every channel into `measured`; sets the segment's level stretch. */
export function limitedLevels(
  trace: Trace,
  stretch: CommandedStretch,
  segment: Segment,
  into: { budgets: Budgets; measured: Measured },
): void {
  const { measured } = into;
  const from = tailLevels(trace, stretch, segment, TAIL, into);
  const a = readingOf(measured, 'leadAVoltageV', segment.of);
  const b = readingOf(measured, 'leadBVoltageV', segment.of);
  if (!a || !b) return;
  const put = puttingInto(measured, segment.of);
  const collapsed = collapse(trace, [from, stretch.to], Math.max(a.value, b.value), into.budgets);
  put('collapsedLeadVoltageV', collapsed?.lead);
  put('collapsedFeedCurrentA', collapsed?.feed);
  if (isThrow(segment.of)) put('motorVoltageV', differenceOf(a, b));
}

/**
 * Where the leads break down again and again, as a buzzing relay makes them: the higher lead and the feed current over
 * the stretch where that lead stands lowest. Nothing for a steady stretch, whose higher lead stands at `meanV`.
 */
function collapse(
  trace: Trace,
  [from, to]: readonly [number, number],
  meanV: number,
  budgets: Budgets,
): { lead: Quantity; feed: Quantity } | undefined {
  const { leadAVoltageV: a, leadBVoltageV: b } = trace.channels;
  if (!a || !b) return undefined;
  const width = Math.max(3, Math.round(COLLAPSE_S / Math.max(trace.stepS, 1e-6)));
  let lowestV = Number.POSITIVE_INFINITY;
  let at = from;
  for (let i = from; i + width <= to; i++) {
    const highV = Math.max(meanOver(a, i, i + width), meanOver(b, i, i + width));
    if (highV < lowestV) {
      lowestV = highV;
      at = i;
    }
  }
  if (!(lowestV < COLLAPSED_PART * meanV)) return undefined;
  // The lead moves within so short a stretch: its scatter is no uncertainty of its mean.
  const over = (channel: Channel): Quantity | undefined => {
    const values = trace.channels[channel];
    if (!values) return undefined;
    const mean = meanOver(values, at, at + width);
    const noise = lineOf((trace.noise[channel] ?? 0) / Math.sqrt(width), 'noise');
    return quantityOf(
      mean,
      QUANTITIES[channel].unit,
      [noise, ...systematic(budgetOf(budgets, channel), mean)],
      {
        fromS: sampleAt(trace.timeS, at),
        toS: sampleAt(trace.timeS, at + width - 1),
      },
    );
  };
  const isAHigher = meanOver(a, at, at + width) >= meanOver(b, at, at + width);
  const lead = over(isAHigher ? 'leadAVoltageV' : 'leadBVoltageV');
  const feed = over('feedCurrentA');
  return lead && feed ? { lead, feed } : undefined;
}
