// A stretch cut out of a capture.

import { sampleAt } from '../arrays/index.js';
import { type Capture, withRows } from './capture.js';

/** Samples with fromS <= t < toS and the gaps that touch them, cut to that stretch. Arrays are copies. */
export function sliceCapture(capture: Capture, fromS: number, toS: number): Capture {
  const from = firstAtOrAfter(capture.timeS, fromS);
  const to = Math.max(from, firstAtOrAfter(capture.timeS, toS));
  const cut = withRows(
    capture,
    (values) => values.slice(from, to),
    (cells) => cells.slice(from, to),
  );
  const gaps = capture.gaps
    .filter((gap) => gap.fromS < toS && gap.toS > fromS)
    .map((gap) => ({ ...gap, fromS: Math.max(gap.fromS, fromS), toS: Math.min(gap.toS, toS) }));
  return { ...cut, gaps };
}

/** Index of the first time that is `atS` or later; the length when there is none. */
export function firstAtOrAfter(timeS: Float64Array, atS: number): number {
  let low = 0;
  let high = timeS.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (sampleAt(timeS, middle) < atS) low = middle + 1;
    else high = middle;
  }
  return low;
}
