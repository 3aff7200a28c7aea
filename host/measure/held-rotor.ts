// A rotor that does not turn: its current stays at the inrush level and only falls as the copper warms.

import { type Budgets, budgetOf, systematic } from './budget.js';
import { type Quantity, quantityOf } from './quantity.js';
import { roundingUncertainty } from './rounding.js';
import { summarise } from './statistics.js';
import { indexAt, type Trace } from './trace.js';

/** Still this part of the peak soon after it, and this part at the end: a turning motor's back-EMF takes more (common practice, no source). */
const SOON_PART = 0.85;
const END_PART = 0.6;
const SOON_S = 0.06;
const SETTLED_S = 0.01;

export interface HeldRotor {
  currentA: Quantity;
  /** Fall over the hold, per cent of the start. */
  fallPercent: Quantity;
}

/**
 * Straight line through `current` (sign taken out) from the peak to `to`: its start is the held-rotor current. Undefined
 * when the motor turned, or the stretch is too short to tell.
 */
export function heldRotorOf(
  trace: Trace,
  current: Float64Array,
  channel: 'motorCurrentA' | 'feedCurrentA',
  peak: number,
  to: number,
  peakA: number,
  budgets: Budgets,
): HeldRotor | undefined {
  const from = indexAt(trace, trace.timeS[peak]! + SETTLED_S, peak, to);
  const soon = indexAt(trace, trace.timeS[peak]! + SOON_S, peak, to);
  const near = indexAt(trace, trace.timeS[peak]! + SOON_S + 0.02, peak, to);
  if (near >= to || near - soon < 3) return undefined;
  if (!(summarise(current, soon, near).mean > SOON_PART * peakA)) return undefined;
  const tail = to - Math.max(3, (to - from) >> 3);
  if (!(summarise(current, tail, to).mean > END_PART * peakA)) return undefined;
  const startS = trace.timeS[from]!;
  let n = 0;
  let meanX = 0;
  let meanY = 0;
  let sxx = 0;
  let sxy = 0;
  for (let i = from; i < to; i++) {
    const y = current[i]!;
    if (Number.isNaN(y)) continue;
    const x = trace.timeS[i]! - startS;
    n++;
    const dx = x - meanX;
    meanX += dx / n;
    meanY += (y - meanY) / n;
    sxx += dx * (x - meanX);
    sxy += dx * (y - meanY);
  }
  if (n < 10 || !(sxx > 0)) return undefined;
  const slope = sxy / sxx;
  const startA = meanY - slope * meanX;
  const residuals = new Float64Array(to - from);
  for (let i = from; i < to; i++)
    residuals[i - from] = current[i]! - startA - slope * (trace.timeS[i]! - startS);
  const { deviation, lag1 } = summarise(residuals);
  const r = Math.min(0.99, Math.max(0, lag1));
  const independent = Math.max(4, (n * (1 - r)) / (1 + r));
  const inflation = Math.sqrt(n / independent);
  const spanS = trace.timeS[to - 1]! - startS;
  const uStart = inflation * deviation * Math.sqrt(1 / n + meanX ** 2 / sxx);
  const uFall = (inflation * deviation * spanS) / Math.sqrt(sxx);
  const budget = budgetOf(budgets, channel);
  const dof = independent - 2;
  const stretch = { fromS: startS, toS: trace.timeS[to - 1]! };
  const fallA = -slope * spanS;
  const percent = 100 / startA;
  return {
    currentA: quantityOf(
      startA,
      'A',
      [{ standardUncertainty: uStart, degreesOfFreedom: dof }, ...systematic(budget, startA, deviation)],
      stretch,
    ),
    // Gain cancels in a part of the start, the offset nearly.
    fallPercent: quantityOf(
      percent * fallA,
      '%',
      [
        { standardUncertainty: percent * uFall, degreesOfFreedom: dof },
        {
          standardUncertainty: percent * Math.SQRT2 * roundingUncertainty(budget.resolution, deviation),
          degreesOfFreedom: Number.POSITIVE_INFINITY,
        },
      ],
      stretch,
    ),
  };
}
