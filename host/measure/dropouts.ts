// Short losses of motor current while a throw is held, told apart by side.
// Leads stay: the motor side (brushes). A lead collapses: the harness side.

import type { Trace } from './trace.js';

export interface Dropout {
  fromS: number;
  toS: number;
  side: 'motor' | 'harness' | 'unknown';
  /** Sample indices [from, to). */
  from: number;
  to: number;
}

/** Shorter is noise or commutation, longer is a protector or a stop (common practice, no source). */
const SHORTEST_S = 0.0003;
const LONGEST_S = 0.25;

/** The running current must stand so many deviations of the noise above nothing. */
const CLEAR = 8;

/** Whether a loss of a current of `usualA` would show at all; over 1.2 ms the noise is less than half. */
export const canSeeDropouts = (usualA: number, noiseA: number): boolean =>
  usualA > 0.45 * CLEAR * noiseA && usualA > 0;

function smoothed(values: Float64Array, from: number, to: number, width: number): Float64Array {
  const half = width >> 1;
  const out = values.slice();
  for (let i = Math.max(from, half); i + half < Math.min(to, values.length); i++) {
    let sum = 0;
    for (let j = i - half; j <= i + half; j++) sum += values[j]!;
    out[i] = sum / width;
  }
  return out;
}

/** Dropouts of `current` (sign taken out) in [from, to) against its usual level. */
export function dropoutsOf(
  trace: Trace,
  current: Float64Array,
  from: number,
  to: number,
  usualA: number,
  noiseA: number,
): Dropout[] {
  if (!canSeeDropouts(usualA, noiseA)) return [];
  if (!(usualA > CLEAR * noiseA)) {
    const width = Math.round(0.0012 / Math.max(trace.stepS, 1e-5)) | 1;
    if (width < 3) return [];
    return dropoutsOf(trace, smoothed(current, from, to, width), from, to, usualA, noiseA / Math.sqrt(width));
  }
  const usualV = usual(trace.motorVoltageV, from, to);
  const found: Dropout[] = [];
  let start = -1;
  for (let i = from; i <= to; i++) {
    const low = i < to && current[i]! < 0.25 * usualA;
    if (low && start < 0) start = i;
    if (!low && start >= 0) {
      const lasted = trace.timeS[Math.min(i, to - 1)]! - trace.timeS[start]!;
      if (lasted >= SHORTEST_S && lasted <= LONGEST_S && i < to) {
        found.push({
          fromS: trace.timeS[start]!,
          toS: trace.timeS[i]!,
          side: sideOf(trace, start, i, usualV),
          from: start,
          to: i,
        });
      }
      start = -1;
    }
  }
  return found;
}

function usual(values: Float64Array | undefined, from: number, to: number): number {
  if (!values) return 0;
  let sum = 0;
  let count = 0;
  for (let i = from; i < to; i++) {
    const value = values[i]!;
    if (!Number.isNaN(value)) {
      sum += value;
      count++;
    }
  }
  return count > 0 ? sum / count : 0;
}

function sideOf(trace: Trace, from: number, to: number, usualV: number): Dropout['side'] {
  const voltage = trace.motorVoltageV;
  if (!voltage || Math.abs(usualV) < 1) return 'unknown';
  let stays = 0;
  let seen = 0;
  for (let i = from; i < to; i++) {
    const value = voltage[i]!;
    if (Number.isNaN(value)) continue;
    seen++;
    if (value / usualV > 0.85) stays++;
  }
  if (seen === 0) return 'unknown';
  return stays >= seen / 2 ? 'motor' : 'harness';
}

/** Index stretches of dropouts with the surge that follows each, to be left out of a running mean. */
export function withRecovery(dropouts: readonly Dropout[], stepS: number): [number, number][] {
  const after = Math.round(0.02 / Math.max(stepS, 1e-5));
  return dropouts.map(({ from, to }) => [from - 1, to + after]);
}
