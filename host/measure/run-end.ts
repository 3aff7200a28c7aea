// A motor that stops by itself while it is still thrown: a limit switch at the end of travel, or a protector that opens.
// The leads keep their voltage and the current is gone for good, unlike a dropout.

import { median } from './statistics.js';
import { indexAt, type Trace } from './trace.js';

/** Longer than any dropout of brushes or joints met here (common practice, no source). */
const GONE_S = 0.03;
/** Sides of the end that are held against each other, and what may be left behind it of what flowed in front. */
const NEAR_S = 0.01;
const SUDDEN_PART = 0.5;
/** What ran before must have run, not only started. */
const RAN_S = 0.06;

/** Index of the first sample after the current ended for good; undefined when it flows to the end, or a lead fell with it. */
export function runEnd(
  trace: Trace,
  current: Float64Array,
  contact: number,
  to: number,
  noiseA: number,
  supplyV: number,
): number | undefined {
  const ranFrom = indexAt(trace, trace.timeS[contact]! + 0.02, contact, to);
  const ranTo = indexAt(trace, trace.timeS[contact]! + RAN_S, contact, to);
  const usualA = Math.abs(median(current, ranFrom, ranTo));
  const leastA = Math.max(5 * noiseA, 0.1, 0.05 * usualA);
  if (!(usualA > leastA)) return undefined;
  let end = to;
  // Two in a row, so that one noisy sample does not pass for a current.
  while (end > ranTo + 1 && !(Math.abs(current[end - 1]!) > leastA && Math.abs(current[end - 2]!) > leastA)) {
    // What was not sampled cannot be said to have stopped.
    if (Number.isNaN(current[end - 1]!)) return undefined;
    end--;
  }
  if ((to - end) * trace.stepS < GONE_S || end <= ranTo + 1) return undefined;
  // A light motor comes down to little by and by; a contact that opens leaves nothing of what ran just before.
  const near = Math.max(2, Math.round(NEAR_S / Math.max(trace.stepS, 1e-9)));
  const before = Math.abs(median(current, Math.max(contact, end - near), end));
  const after = Math.abs(median(current, end + 1, Math.min(to, end + 1 + near)));
  if (!(after < SUDDEN_PART * before)) return undefined;
  const live = trace.motorVoltageV && Math.abs(median(trace.motorVoltageV, end, to));
  return live !== undefined && live > 0.5 * supplyV ? end : undefined;
}
