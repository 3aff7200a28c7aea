// Short losses of motor current while a throw is held, told apart by side.
// Leads stay: the motor side (brushes). A lead collapses: the harness side.

import { sampleAt } from '../arrays/index.js';
import { runsWhere } from './runs.js';
import { summarise, windowMeans } from './statistics.js';
import { samplesIn, type Trace } from './trace.js';

export interface Dropout {
  fromS: number;
  toS: number;
  side: 'motor' | 'harness' | 'unknown';
  /** Sample indices [from, to). */
  from: number;
  to: number;
}

/** Where dropouts are looked for: samples [from, to) of a current whose sign is taken out. */
export interface RunningStretch {
  current: Float64Array;
  from: number;
  to: number;
  /** Level that the current runs at. */
  usualA: number;
  /** Deviation of one sample. */
  noiseA: number;
}

/** Shorter is noise or commutation, longer is a protector or a stop (common practice, no source). */
const SHORTEST_S = 0.0003;
const LONGEST_S = 0.25;

/** The running current must stand so many deviations of the noise above nothing. Choice of this program, no source. */
const CLEAR = 8;
/** Over so long the mean of noise is less than CLEAR_SMOOTHED of it; a dropout of brushes may be no longer. */
const SMOOTH_S = 0.0012;
const CLEAR_SMOOTHED = 0.45;
/** Less than this part of the running current is a loss of it. Choice of this program, no source. */
const LOST_PART = 0.25;
/** The leads have stayed when they keep this part of their voltage. Choice of this program, no source. */
const KEPT_PART = 0.85;
/** Leads that show less were not driven. */
const LEAST_V = 1;
/** The surge behind a loss has gone by then: several times L/R. Choice of this program, no source. */
const RECOVERY_S = 0.02;

/** Whether a loss of a current of `usualA` would show at all, smoothed if need be. */
export const canSeeDropouts = (usualA: number, noiseA: number): boolean =>
  usualA > CLEAR_SMOOTHED * CLEAR * noiseA && usualA > 0;

/** Dropouts of a current against its usual level. */
export function dropoutsOf(trace: Trace, running: RunningStretch): Dropout[] {
  const { current, from, to, usualA, noiseA } = running;
  if (!canSeeDropouts(usualA, noiseA)) return [];
  if (!(usualA > CLEAR * noiseA)) {
    const width = Math.round(samplesIn(trace, SMOOTH_S)) | 1;
    if (width < 3) return [];
    const smooth = current.slice();
    const half = width >> 1;
    const first = Math.max(from, half);
    smooth.set(windowMeans(current, first - half, Math.min(to, current.length), width), first);
    return dropoutsOf(trace, { ...running, current: smooth, noiseA: noiseA / Math.sqrt(width) });
  }
  const usualV = trace.motorVoltageV ? summarise(trace.motorVoltageV, from, to).mean : 0;
  return runsWhere(from, to, (i) => sampleAt(current, i) < LOST_PART * usualA).flatMap((lost) => {
    if (lost.to === to) return [];
    const [fromS, toS] = [sampleAt(trace.timeS, lost.from), sampleAt(trace.timeS, lost.to)];
    if (toS - fromS < SHORTEST_S || toS - fromS > LONGEST_S) return [];
    return [{ fromS, toS, side: sideOf(trace, lost.from, lost.to, usualV), from: lost.from, to: lost.to }];
  });
}

function sideOf(trace: Trace, from: number, to: number, usualV: number): Dropout['side'] {
  if (!trace.motorVoltageV || !(Math.abs(usualV) >= LEAST_V)) return 'unknown';
  const seen = trace.motorVoltageV.subarray(from, to).filter((value) => !Number.isNaN(value));
  if (seen.length === 0) return 'unknown';
  const kept = seen.filter((value) => value / usualV > KEPT_PART);
  return kept.length >= seen.length / 2 ? 'motor' : 'harness';
}

/** Index stretches of dropouts with the surge that follows each, to be left out of a running mean. */
export function withRecovery(dropouts: readonly Dropout[], stepS: number): [number, number][] {
  const after = Math.round(samplesIn({ stepS }, RECOVERY_S));
  return dropouts.map(({ from, to }) => [from - 1, to + after]);
}
