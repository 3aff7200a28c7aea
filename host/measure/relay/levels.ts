// Mean of a channel over several spans of one capture, with its scatter and what the rig's calibration leaves open.

import { itemAt, lastOf } from '../../arrays/index.js';
import type { Capture, Channel } from '../../capture/index.js';
import { type Budgets, budgetOf, systematic } from '../budget.js';
import { QUANTITIES } from '../quantities.js';
import { lineOf, type Quantity, quantityOf, spanAt } from '../quantity.js';
import { summarise } from '../statistics.js';
import type { Span } from './stretches.js';

export interface PooledMean {
  mean: number;
  /** Standard deviation of the mean, from samples that are independent of one another. */
  meanU: number;
  degreesOfFreedom: number;
  /** Standard deviation of one sample about its span's mean. */
  deviation: number;
}

/** Samples that never forget would leave none that is independent. */
const MOST_CORRELATED = 0.95;

/** Samples of all spans pooled, each about its own mean; undefined when fewer than ten are there. */
export function pooledMean(values: Float64Array | undefined, spans: readonly Span[]): PooledMean | undefined {
  if (!values) return undefined;
  let count = 0;
  let sum = 0;
  let squares = 0;
  let independent = 0;
  for (const { from, to } of spans) {
    const seen = summarise(values, from, to);
    if (seen.count < 3) continue;
    const r = Math.min(MOST_CORRELATED, Math.max(0, seen.lag1));
    count += seen.count;
    sum += seen.count * seen.mean;
    squares += seen.deviation ** 2 * (seen.count - 1);
    independent += (seen.count * (1 - r)) / (1 + r);
  }
  if (count < 10) return undefined;
  const deviation = Math.sqrt(squares / Math.max(1, count - spans.length));
  return {
    mean: sum / count,
    meanU: deviation / Math.sqrt(Math.max(2, independent)),
    degreesOfFreedom: Math.max(1, independent - 1),
    deviation,
  };
}

/** A level as `levelOf` gives it, over several spans. */
export function pooledLevel(
  capture: Capture,
  channel: Channel,
  spans: readonly Span[],
  budgets: Budgets,
): Quantity | undefined {
  const pooled = pooledMean(capture.channels[channel], spans);
  if (!pooled) return undefined;
  return quantityOf(
    pooled.mean,
    QUANTITIES[channel].unit,
    [
      lineOf(pooled.meanU, 'scatter', pooled.degreesOfFreedom),
      ...systematic(budgetOf(budgets, channel), pooled.mean),
    ],
    spanAt(capture.timeS, itemAt(spans, 0).from, lastOf(spans).to),
  );
}
