// Level of one channel over a stretch, with its budget.

import type { Channel } from '../capture/index.js';
import { type Budgets, budgetOf, type ChannelBudget, systematic } from './budget.js';
import { QUANTITIES } from './quantities.js';
import {
  type Component,
  lineOf,
  type Quantity,
  quantityOf,
  scaledLines,
  spanAt,
  spanOf,
} from './quantity.js';
import { independentCount, type Summary, summarise } from './statistics.js';
import { HIDDEN, type Trace } from './trace.js';

/** A level stands only on a stretch of which at least this part was sampled. */
const NEEDED_PART = 0.8;

/**
 * Mean of `channel` over samples [from, to), times `sign`. Undefined when the channel is absent or too much of
 * the stretch was lost. Scatter counts by the samples that are independent; where the reading itself moves within a
 * short stretch (`isMoving`), noise alone counts.
 */
export function levelOf(
  trace: Trace,
  channel: Channel,
  [from, to]: readonly [number, number],
  budgets: Budgets,
  options: { sign?: number; leaveOut?: readonly (readonly [number, number])[]; isMoving?: boolean } = {},
): Quantity | undefined {
  const values = trace.channels[channel];
  if (!values || to - from < 3) return undefined;
  let window = values.subarray(from, to);
  if (options.leaveOut?.length) {
    window = window.slice();
    for (const [a, b] of options.leaveOut)
      window.fill(Number.NaN, Math.max(0, a - from), Math.max(0, b - from));
  }
  const summary = summarise(window);
  if (summary.count < NEEDED_PART * (to - from) && !options.leaveOut?.length) return undefined;
  if (summary.count < 3) return undefined;
  const level = quantityOf(
    (options.sign ?? 1) * summary.mean,
    QUANTITIES[channel].unit,
    [
      options.isMoving
        ? noiseOf(trace, channel, summary)
        : scatterOf(window, summary, trace.isIdeal === true),
      ...systematic(budgetOf(budgets, channel), summary.mean, summary.deviation),
    ],
    spanAt(trace.timeS, from, to),
  );
  const isCurrent = QUANTITIES[channel].unit === 'A';
  return isCurrent && isCutOffAtEnd(window, budgetOf(budgets, channel)) ? { ...level, isAtEnd: true } : level;
}

/** So many of the samples at the last count are no stray ones. Choice of this program, no source. */
const AT_END_PART = 0.1;

/** Whether a current runs beyond what its rig's channel reads; another instrument's end is told by its own rule. */
function isCutOffAtEnd(window: Float64Array, { maximum, resolution, endsSeen }: ChannelBudget): boolean {
  if (endsSeen || !Number.isFinite(maximum)) return false;
  const count = window.reduce((sum, value) => sum + (value > maximum - resolution / 2 ? 1 : 0), 0);
  return count > AT_END_PART * window.length;
}

function scatterOf(window: Float64Array, summary: Summary, isIdeal: boolean): Component {
  const independent = isIdeal ? summary.count : independentCount(window, summary);
  return lineOf(summary.deviation / Math.sqrt(independent), 'scatter', independent - 1);
}

/** Of a stretch so short that what moves in it is the reading, its slope and its ripple, and no scatter of its mean. */
function noiseOf(trace: Trace, channel: Channel, { count }: Summary): Component {
  return lineOf((HIDDEN * (trace.noise[channel] ?? 0)) / Math.sqrt(count), 'noise', 50);
}

/** Sum or difference of two independent readings. */
export function differenceOf(plus: Quantity, minus: Quantity): Quantity {
  return quantityOf(
    plus.value - minus.value,
    plus.unit,
    [...scaledLines(plus, 1, 'the first'), ...scaledLines(minus, 1, 'the second')],
    spanOf(plus),
  );
}

/** Quotient of two independent readings; undefined when the divisor is within five of its uncertainties of zero. */
export function quotientOf(top: Quantity, bottom: Quantity, unit: string, factor = 1): Quantity | undefined {
  if (!(Math.abs(bottom.value) > 5 * bottom.standardUncertainty) || bottom.value === 0) return undefined;
  const value = (factor * top.value) / bottom.value;
  return quantityOf(
    value,
    unit,
    [
      ...scaledLines(top, factor / bottom.value, unit === 'Ohm' ? 'the drop' : 'the top'),
      ...scaledLines(bottom, value / bottom.value, unit === 'Ohm' ? 'the current' : 'the bottom'),
    ],
    spanOf(top),
  );
}
