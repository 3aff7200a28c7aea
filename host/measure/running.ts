// How a start settles to the running level, and what the running current scatters by.

import { type Quantity, quantityOf } from './quantity.js';
import type { Trace } from './trace.js';

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
