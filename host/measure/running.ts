// How a start settles to the running level, what the running current scatters by and how high it goes.

import { type ChannelBudget, systematic } from './budget.js';
import { type Quantity, quantityOf } from './quantity.js';
import { HIDDEN, type Trace } from './trace.js';

/** Time from contact until the current has fallen nine tenths of the way from its peak to the running level. */
export function settle(
  trace: Trace,
  current: Float64Array,
  peakAt: number,
  to: number,
  peakA: number,
  runningA: number,
  startS: number,
): Quantity | undefined {
  if (!(peakA > 1.3 * runningA)) return undefined;
  const level = runningA + 0.1 * (peakA - runningA);
  const width = Math.max(1, Math.round(0.002 / trace.stepS));
  let sum = 0;
  for (let i = peakAt; i < to; i++) {
    sum += current[i]!;
    if (i - width >= peakAt) sum -= current[i - width]!;
    if (i - peakAt + 1 >= width && sum / width <= level) {
      const at = trace.timeS[i]! - (width * trace.stepS) / 2;
      return quantityOf(
        at - startS,
        's',
        // Ripple and noise move the crossing; size seen on starts whose truth is known (tests).
        [
          {
            standardUncertainty: 1.5 * trace.stepS + 0.012 * (at - startS),
            degreesOfFreedom: 50,
            source: 'crossing of the level',
          },
        ],
        { fromS: startS, toS: at },
      );
    }
    if (Number.isNaN(sum)) return undefined;
  }
  return undefined;
}

export function scatter(trace: Trace, current: Float64Array, from: number, to: number): Quantity | undefined {
  let count = 0;
  let mean = 0;
  let squares = 0;
  for (let i = from; i < to; i++) {
    const value = current[i]!;
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
    [{ standardUncertainty: deviation / Math.sqrt(2 * (count - 1)), degreesOfFreedom: count - 1 }],
    {
      fromS: trace.timeS[from]!,
      toS: trace.timeS[to - 1]!,
    },
  );
}

/** A tight spot of a gear lasts longer; ripple and noise have gone from a mean over so long. */
const TIGHT_SPOT_S = 0.01;

/** Highest mean over 10 ms of the running current, from samples [from, to); undefined where samples are missing. */
export function runningPeak(
  trace: Trace,
  current: Float64Array,
  from: number,
  to: number,
  noiseA: number,
  budget: ChannelBudget,
): Quantity | undefined {
  const width = Math.max(1, Math.round(TIGHT_SPOT_S / trace.stepS));
  if (to - from < 3 * width) return undefined;
  let sum = 0;
  let best = { mean: Number.NEGATIVE_INFINITY, end: from };
  for (let i = from; i < to; i++) {
    sum += current[i]!;
    if (i - from >= width) sum -= current[i - width]!;
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
      { standardUncertainty: ofOneA / 2, degreesOfFreedom: 50, source: 'noise' },
      {
        standardUncertainty: aboveA / 2 / Math.sqrt(3),
        degreesOfFreedom: Number.POSITIVE_INFINITY,
        source: 'highest of many',
      },
      ...systematic(budget, best.mean, noiseA),
    ],
    { fromS: trace.timeS[from]!, toS: trace.timeS[to - 1]! },
  );
}
