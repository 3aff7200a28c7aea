// Runs one circuit on both solvers and puts their channels on one grid.

import {
  type CircuitEvent,
  type Netlist,
  type Probe,
  type ScheduleEntry,
  simulate,
} from '../../../host/circuit/index.js';
import { type ContactTimes, type DeckOptions, spiceDeck } from './deck.js';
import { runSpice, type SpiceResult } from './engine.js';

export interface Comparison {
  /** RMS difference over the run as a fraction of the channel's peak in SPICE. */
  rmsOfPeak: Record<string, number>;
  peak: Record<string, number>;
  timeS: Float64Array;
  ours: Record<string, Float64Array>;
  spice: Record<string, Float64Array>;
  events: CircuitEvent[];
}

export interface Case {
  title: string;
  netlist: Netlist;
  times: ContactTimes;
  schedule: readonly ScheduleEntry[];
  untilS: number;
  held?: NonNullable<DeckOptions['held']>;
}

/** Samples a second; samples lie half a period off the round instants at which contacts move. */
const GRID_HZ = 20_000;
export const CHANNELS: Readonly<Record<string, { probe: Probe; spice: string }>> = {
  motorCurrentA: { probe: { kind: 'current', element: 'm' }, spice: 'i(v_m)' },
  leadAVoltageV: { probe: { kind: 'voltage', plus: 'a' }, spice: 'v(a)' },
  leadBVoltageV: { probe: { kind: 'voltage', plus: 'b' }, spice: 'v(b)' },
  supplyVoltageV: { probe: { kind: 'voltage', plus: 'feed' }, spice: 'v(feed)' },
  speedRadS: { probe: { kind: 'speed', element: 'm' }, spice: 'v(m_w)' },
};

export function deckOf(c: Case, maximumStepS = 5e-5, relativeTolerance = 1e-6): string {
  const save = Object.values(CHANNELS).map(({ spice }) => spice);
  return spiceDeck(c.title, c.netlist, c.times, {
    untilS: c.untilS,
    maximumStepS,
    relativeTolerance,
    save,
    ...(c.held ? { held: c.held } : {}),
  });
}

/** Linear interpolation of a SPICE column onto `gridS`. */
export function onGrid(result: SpiceResult, name: string, gridS: Float64Array): Float64Array {
  const values = result.column(name);
  const { timeS } = result;
  let k = 1;
  return gridS.map((t) => {
    while (k < timeS.length - 1 && timeS[k]! < t) k++;
    const span = timeS[k]! - timeS[k - 1]!;
    const part = span > 0 ? (t - timeS[k - 1]!) / span : 1;
    return values[k - 1]! + (values[k]! - values[k - 1]!) * Math.min(1, Math.max(0, part));
  });
}

export function rmsDifference(a: Float64Array, b: Float64Array): number {
  return Math.sqrt(a.reduce((sum, value, k) => sum + (value - b[k]!) ** 2, 0) / a.length);
}

export function peakOf(values: Float64Array): number {
  return values.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
}

export async function compare(c: Case): Promise<Comparison> {
  const probes = Object.fromEntries(Object.entries(CHANNELS).map(([name, { probe }]) => [name, probe]));
  const run = simulate({
    netlist: c.netlist,
    schedule: c.schedule,
    untilS: c.untilS,
    sampleRateHz: 2 * GRID_HZ,
    probes,
  });
  const odd = (values: Float64Array) => values.filter((_, k) => k % 2 === 1);
  const timeS = odd(run.timeS);
  const result = await runSpice(deckOf(c));
  const comparison: Comparison = { rmsOfPeak: {}, peak: {}, timeS, ours: {}, spice: {}, events: run.events };
  for (const [name, { spice }] of Object.entries(CHANNELS)) {
    const ours = odd(run.values[name]!);
    const theirs = onGrid(result, spice, timeS);
    comparison.ours[name] = ours;
    comparison.spice[name] = theirs;
    comparison.peak[name] = peakOf(theirs);
    comparison.rmsOfPeak[name] = rmsDifference(ours, theirs) / peakOf(theirs);
  }
  return comparison;
}

/** Largest and smallest sample in a window; their times are refined by the parabola through three samples. */
export function extremes(timeS: Float64Array, values: Float64Array, fromS: number, toS: number) {
  const refine = (sign: number) => {
    let best = -1;
    for (let k = 1; k < values.length - 1; k++) {
      if (timeS[k]! < fromS || timeS[k]! > toS) continue;
      if (best < 0 || sign * values[k]! > sign * values[best]!) best = k;
    }
    const [before, at, after] = [values[best - 1]!, values[best]!, values[best + 1]!];
    const bend = before - 2 * at + after;
    const shift = bend === 0 ? 0 : Math.max(-0.5, Math.min(0.5, (before - after) / (2 * bend)));
    return { value: at, timeS: timeS[best]! + shift / GRID_HZ };
  };
  return { highest: refine(1), lowest: refine(-1) };
}
