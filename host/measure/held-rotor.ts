// A rotor that does not turn: its current stays at the inrush level and only falls as the copper warms.

import { sampleAt } from '../arrays/index.js';
import { systematic } from './budget.js';
import type { DriveCurrent } from './drive-current.js';
import type { Inrush } from './inrush.js';
import { lineOf, type Quantity, quantityOf } from './quantity.js';
import { roundingUncertainty } from './rounding.js';
import { RunningLine } from './running-line.js';
import { summarise } from './statistics.js';
import { indexAt } from './trace.js';

/** Still this part of the peak soon after it, and this part at the end: a turning motor's back-EMF takes more (common practice, no source). */
const SOON_PART = 0.85;
const END_PART = 0.6;
const SOON_S = 0.06;
const SOON_FOR_S = 0.02;
const SETTLED_S = 0.01;
/** Samples that never forget would leave none that is independent. */
const MOST_CORRELATED = 0.99;

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
  { trace, values: current, budget }: DriveCurrent,
  { at: peak, peakA }: Pick<Inrush, 'at' | 'peakA'>,
  to: number,
): HeldRotor | undefined {
  const from = indexAt(trace, sampleAt(trace.timeS, peak) + SETTLED_S, peak, to);
  const soon = indexAt(trace, sampleAt(trace.timeS, peak) + SOON_S, peak, to);
  const near = indexAt(trace, sampleAt(trace.timeS, peak) + SOON_S + SOON_FOR_S, peak, to);
  if (near >= to || near - soon < 3) return undefined;
  if (!(summarise(current, soon, near).mean > SOON_PART * peakA)) return undefined;
  const tail = to - Math.max(3, (to - from) >> 3);
  if (!(summarise(current, tail, to).mean > END_PART * peakA)) return undefined;
  const startS = sampleAt(trace.timeS, from);
  const line = new RunningLine();
  for (let i = from; i < to; i++) line.add(sampleAt(trace.timeS, i) - startS, sampleAt(current, i));
  const { n, meanX, meanY, sxx, slope } = line;
  if (n < 10 || !(sxx > 0)) return undefined;
  const startA = meanY - slope * meanX;
  const residuals = new Float64Array(to - from);
  for (let i = from; i < to; i++)
    residuals[i - from] = sampleAt(current, i) - startA - slope * (sampleAt(trace.timeS, i) - startS);
  const { deviation, lag1 } = summarise(residuals);
  const r = Math.min(MOST_CORRELATED, Math.max(0, lag1));
  const independent = Math.max(4, (n * (1 - r)) / (1 + r));
  const inflation = Math.sqrt(n / independent);
  const spanS = sampleAt(trace.timeS, to - 1) - startS;
  const uStart = inflation * deviation * Math.sqrt(1 / n + meanX ** 2 / sxx);
  const uFall = (inflation * deviation * spanS) / Math.sqrt(sxx);
  const dof = independent - 2;
  const stretch = { fromS: startS, toS: sampleAt(trace.timeS, to - 1) };
  const fallA = -slope * spanS;
  const percent = 100 / startA;
  return {
    currentA: quantityOf(
      startA,
      'A',
      [lineOf(uStart, 'scatter', dof), ...systematic(budget, startA, deviation)],
      stretch,
    ),
    // Gain cancels in a part of the start, the offset nearly.
    fallPercent: quantityOf(
      percent * fallA,
      '%',
      [
        lineOf(percent * uFall, 'scatter', dof),
        lineOf(percent * Math.SQRT2 * roundingUncertainty(budget.resolution, deviation), 'rounding'),
      ],
      stretch,
    ),
  };
}
