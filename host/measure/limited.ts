// A stretch driven through the limited feed: where the leads stand and what flows. No inrush, no running level.

import type { Channel } from '../capture/index.js';
import { type Budgets, budgetOf, systematic } from './budget.js';
import { differenceOf, unitOf } from './level.js';
import { type Measured, type Quantity, quantityOf } from './quantity.js';
import type { Segment } from './segment.js';
import { tailLevels } from './tail-levels.js';
import type { CommandedStretch, Trace } from './trace.js';

/** Levels come from the last part: relay, bounce and the motor's first movement are over. */
const TAIL_PART = 0.3;
const TAIL_S = 0.1;
/** A relay that buzzes shorts for a few milliseconds at a time (operate and release times of published relays: 3 to 10 ms). */
const COLLAPSE_S = 0.002;
/** A steady lead's lowest stretch lies well above this part of its mean. */
const COLLAPSED_PART = 0.7;

/** Levels of every channel, named `limitedForwardLeadAVoltageV` and so on; sets the segment's level stretch. */
export function limitedLevels(
  trace: Trace,
  stretch: CommandedStretch,
  budgets: Budgets,
  segment: Segment,
): Measured {
  const tail = { part: TAIL_PART, mostS: TAIL_S, word: segment.name };
  const { measured, from } = tailLevels(trace, stretch, budgets, segment, tail);
  Object.assign(measured, collapse(trace, from, stretch.to, budgets, segment.name, measured));
  const a = measured[`${segment.name}LeadAVoltageV`];
  const b = measured[`${segment.name}LeadBVoltageV`];
  if (a && b && stretch.position !== 'rest') measured[`${segment.name}MotorVoltageV`] = differenceOf(a, b);
  return measured;
}

/**
 * Where the leads break down again and again, as a buzzing relay makes them: the higher lead and the feed current over
 * the stretch where that lead stands lowest, as `limitedForwardCollapsedLeadVoltageV` and `…CollapsedFeedCurrentA`.
 * Nothing for a steady stretch.
 */
function collapse(
  trace: Trace,
  from: number,
  to: number,
  budgets: Budgets,
  name: string,
  levels: Measured,
): Measured {
  const { leadAVoltageV: a, leadBVoltageV: b } = trace.channels;
  const [meanA, meanB] = [levels[`${name}LeadAVoltageV`], levels[`${name}LeadBVoltageV`]];
  if (!a || !b || !meanA || !meanB) return {};
  const width = Math.max(3, Math.round(COLLAPSE_S / Math.max(trace.stepS, 1e-6)));
  let lowestV = Number.POSITIVE_INFINITY;
  let at = from;
  for (let i = from; i + width <= to; i++) {
    const highV = Math.max(meanOf(a, i, width), meanOf(b, i, width));
    if (highV < lowestV) {
      lowestV = highV;
      at = i;
    }
  }
  if (!(lowestV < COLLAPSED_PART * Math.max(meanA.value, meanB.value))) return {};
  // The lead moves within so short a stretch: its scatter is no uncertainty of its mean.
  const over = (channel: Channel): Quantity | undefined => {
    const values = trace.channels[channel];
    if (!values) return undefined;
    const mean = meanOf(values, at, width);
    const noise = (trace.noise[channel] ?? 0) / Math.sqrt(width);
    return quantityOf(
      mean,
      unitOf(channel),
      [
        { standardUncertainty: noise, degreesOfFreedom: Number.POSITIVE_INFINITY },
        ...systematic(budgetOf(budgets, channel), mean),
      ],
      { fromS: trace.timeS[at]!, toS: trace.timeS[at + width - 1]! },
    );
  };
  const isAHigher = meanOf(a, at, width) >= meanOf(b, at, width);
  const lead = over(isAHigher ? 'leadAVoltageV' : 'leadBVoltageV');
  const feed = over('feedCurrentA');
  return lead && feed
    ? { [`${name}CollapsedLeadVoltageV`]: lead, [`${name}CollapsedFeedCurrentA`]: feed }
    : {};
}

function meanOf(values: Float64Array, from: number, count: number): number {
  let sum = 0;
  for (let i = from; i < from + count; i++) sum += values[i]!;
  return sum / count;
}
