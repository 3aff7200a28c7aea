// Throws as the waveform shows them, for captures that tell no positions or whose switch was thrown by hand.
// Lead voltages say which way; where they are missing the sign of the current does, and a brake is told from a throw.

import { median, noiseOf, quantile } from './statistics.js';
import { type CommandedStretch, indexAt, type Trace } from './trace.js';

/** Opens this short, between closings the same way, are bounce or a dropout: no hand is that quick (common practice, no source). */
const SAME_THROW_S = 0.05;
/** A suppression spike or an inductive kick is over by then (common practice, no source). */
const SHORTEST_THROW_S = 0.004;
/** Of the supply: between the leads there is a throw above the first, surely none below the second. */
const CLOSED_PART = 0.4;
const OPEN_PART = 0.25;
/** A lead that leaves its driven level by this part of the supply has lost its contact. */
const LEFT_PART = 0.12;
/** A brake current falls all the way; a throw holds on to its running level. */
const BRAKE_LONGEST_S = 0.6;
const SMOOTH_S = 0.001;
/** Where a current starts without rest before it, this part of its highest value is no zero error. */
const ZERO_ERROR_PART = 0.15;

/** -1 reverse, 0 rest, 1 forward. */
type Way = -1 | 0 | 1;
interface Throw {
  way: Exclude<Way, 0>;
  from: number;
  to: number;
}

export interface WaveformSeen {
  stretches: CommandedStretch[];
  /** Plain sentences on what the waveform cannot tell. */
  notes: string[];
}

/**
 * Stretches of rest, forward and reverse, in time order, without gaps between them. Samples lost at a change put the
 * change where the loss began. Only rest when nothing shows a throw.
 */
export function waveformStretches(trace: Trace, supplyV: number): WaveformSeen {
  const notes: string[] = [];
  const count = trace.timeS.length;
  let throws: Throw[] = [];
  if (trace.motorVoltageV) throws = voltageThrows(trace, supplyV);
  else {
    const current = trace.channels.motorCurrentA ?? trace.channels.feedCurrentA;
    if (current) throws = currentThrows(trace, current);
    const signless = throws.length > 0 && throws.every(({ way }) => way === 1);
    if (signless && trace.channels.motorCurrentA === undefined)
      notes.push('The feed current has no sign: every throw is called forward.');
  }
  const stretches: CommandedStretch[] = [];
  let at = 0;
  for (const { way, from, to } of throws) {
    if (from > at) stretches.push({ position: 'rest', from: at, to: from });
    const position = way > 0 ? 'forward' : 'reverse';
    stretches.push({ position, from, to, ...(from === 0 ? { startUnseen: true } : {}) });
    at = to;
  }
  if (at < count) stretches.push({ position: 'rest', from: at, to: count });
  return { stretches, notes };
}

function voltageThrows(trace: Trace, supplyV: number): Throw[] {
  const voltage = trace.motorVoltageV!;
  const wayAt = (i: number, before: Way): Way => {
    const value = voltage[i]!;
    if (Number.isNaN(value)) return before;
    const size = Math.abs(value);
    const way = value > 0 ? 1 : -1;
    if (size > CLOSED_PART * supplyV) return way;
    return size > OPEN_PART * supplyV && way === before ? way : 0;
  };
  const raw = runsOf(trace.timeS.length, wayAt, (i) => Number.isNaN(voltage[i]!));
  return merged(trace, raw).flatMap((found) => {
    const to = contactEnd(trace, found, supplyV);
    return durationS(trace, found.from, to) < SHORTEST_THROW_S ? [] : [{ ...found, to }];
  });
}

/** Runs of one way; a way that changes behind lost samples changes where the loss began. */
function runsOf(
  count: number,
  wayAt: (i: number, before: Way) => Way,
  isLost: (i: number) => boolean,
): Throw[] {
  const runs: Throw[] = [];
  let before: Way = 0;
  let lostFrom = -1;
  let from = 0;
  for (let i = 0; i <= count; i++) {
    const lost = i < count && isLost(i);
    if (lost && lostFrom < 0) lostFrom = i;
    const way: Way = i < count ? wayAt(i, before) : 0;
    if (way !== before || i === count) {
      const at = i < count && lostFrom >= 0 ? lostFrom : i;
      if (before !== 0 && at > from) runs.push({ way: before, from, to: at });
      from = at;
      before = way;
    }
    if (!lost) lostFrom = -1;
  }
  return runs;
}

function durationS(trace: Trace, from: number, to: number): number {
  return (
    (to < trace.timeS.length ? trace.timeS[to]! : trace.timeS.at(-1)! + trace.stepS) - trace.timeS[from]!
  );
}

function merged(trace: Trace, runs: readonly Throw[]): Throw[] {
  const out: Throw[] = [];
  for (const run of runs) {
    const last = out.at(-1);
    if (last && last.way === run.way && durationS(trace, last.to, run.from) < SAME_THROW_S) last.to = run.to;
    else out.push({ ...run });
    // A kick the other way, between two pieces of one throw.
    const [first, kick, again] = out.slice(-3);
    if (
      again &&
      first!.way === again.way &&
      durationS(trace, kick!.from, kick!.to) < SHORTEST_THROW_S &&
      durationS(trace, first!.to, again.from) < SAME_THROW_S
    )
      out.splice(-3, 3, { ...first!, to: again.to });
  }
  return out;
}

/**
 * Where the contact opened: a coasting motor keeps a voltage near the supply on open leads. The last sample that still
 * had running current, or both leads at their driven levels.
 */
function contactEnd(trace: Trace, { way, from, to }: Throw, supplyV: number): number {
  const half = from + Math.max(3, (to - from) >> 1);
  const { leadAVoltageV, leadBVoltageV, motorCurrentA, feedCurrentA } = trace.channels;
  const current = motorCurrentA ?? feedCurrentA;
  const currentNoise = (motorCurrentA ? trace.noise.motorCurrentA : trace.noise.feedCurrentA) ?? 0;
  if (current) {
    const middle = from + ((to - from) >> 2);
    const usual = median(current, middle, Math.max(middle + 3, half + ((to - from) >> 2)));
    const sense = motorCurrentA ? way * Math.sign(way * usual || 1) : 1;
    const level = Math.abs(usual);
    if (level > Math.max(0.02, 10 * currentNoise)) {
      return lastFrom(from, to, (i) => sense * current[i]! > 0.4 * level);
    }
  }
  if (!leadAVoltageV || !leadBVoltageV) return to;
  const usualA = median(leadAVoltageV, from, half);
  const usualB = median(leadBVoltageV, from, half);
  const reachV = LEFT_PART * supplyV;
  return lastFrom(
    from,
    to,
    (i) => Math.abs(leadAVoltageV[i]! - usualA) < reachV && Math.abs(leadBVoltageV[i]! - usualB) < reachV,
  );
}

/** One past the last of [from, to) that holds; `to` when none does. */
function lastFrom(from: number, to: number, holds: (i: number) => boolean): number {
  for (let i = to - 1; i >= from; i--) if (holds(i)) return i + 1;
  return to;
}

function currentThrows(trace: Trace, raw: Float64Array): Throw[] {
  const width = Math.max(1, Math.round(SMOOTH_S / Math.max(trace.stepS, 1e-9)));
  const zeroA = zeroOf(trace, raw);
  const smooth = runningMean(withoutStrays(raw), width, zeroA);
  const highest = quantile(smooth.map(Math.abs), 0.999);
  if (!(highest > 0)) return [];
  const noiseA = noiseOf(raw, 0, Math.min(raw.length, 200_000)) / Math.sqrt(width);
  const closedA = Math.max(0.01 * highest, 8 * noiseA, 0.005);
  if (highest < 2 * closedA) return [];
  const wayAt = (i: number, before: Way): Way => {
    const value = smooth[i]!;
    if (Number.isNaN(value)) return before;
    const way = value > 0 ? 1 : -1;
    if (Math.abs(value) > closedA) return way;
    return Math.abs(value) > closedA / 2 && way === before ? way : 0;
  };
  const runs = merged(
    trace,
    runsOf(raw.length, wayAt, (i) => Number.isNaN(smooth[i]!)),
  ).filter(({ from, to }) => durationS(trace, from, to) >= SHORTEST_THROW_S);
  const kept: Throw[] = [];
  for (const run of runs) {
    const before = kept.at(-1);
    const follows = before && before.way !== run.way && durationS(trace, before.to, run.from) < SAME_THROW_S;
    if (follows && isBrake(trace, smooth, run)) continue;
    kept.push(sharpened(trace, raw, run, zeroA, closedA, width));
  }
  return kept;
}

/** Zero of a clamp meter: what it read before the first throw, when that is small against what came after. */
function zeroOf(trace: Trace, raw: Float64Array): number {
  const lead = Math.max(20, indexAt(trace, trace.timeS[0]! + 0.01, 0, raw.length));
  const first = median(raw, 0, Math.min(lead, raw.length));
  const highest = quantile(raw.map(Math.abs), 0.999);
  return Math.abs(first) < ZERO_ERROR_PART * highest ? first : 0;
}

/** Running median of five: a stray sample or two is no current, a contact's first closing lasts longer. */
function withoutStrays(values: Float64Array): Float64Array {
  const out = values.slice();
  const five = new Float64Array(5);
  for (let i = 2; i + 2 < values.length; i++) {
    if (Number.isNaN(values[i]!)) continue;
    for (let k = 0; k < 5; k++) {
      const value = values[i - 2 + k]!;
      five[k] = Number.isNaN(value) ? values[i]! : value;
    }
    out[i] = five.sort()[2]!;
  }
  return out;
}

function runningMean(values: Float64Array, width: number, zero: number): Float64Array {
  if (width < 3) return values.map((value) => value - zero);
  const out = new Float64Array(values.length);
  const half = width >> 1;
  let sum = 0;
  let present = 0;
  const take = (i: number, weight: 1 | -1): void => {
    const value = values[i];
    if (value === undefined || Number.isNaN(value)) return;
    sum += weight * value;
    present += weight;
  };
  for (let i = 0; i < half; i++) take(i, 1);
  for (let i = 0; i < values.length; i++) {
    take(i + half, 1);
    take(i - half - 1, -1);
    out[i] = Number.isNaN(values[i]!) || present === 0 ? Number.NaN : sum / present - zero;
  }
  return out;
}

/** A current against the throw before it that starts high and dies away without a running level. */
function isBrake(trace: Trace, smooth: Float64Array, { from, to }: Throw): boolean {
  if (durationS(trace, from, to) > BRAKE_LONGEST_S) return false;
  const part = (share: number): number => from + Math.floor(share * (to - from));
  const middle = Math.abs(median(smooth, part(0.45), part(0.6) + 1));
  const end = Math.abs(median(smooth, part(0.85), to));
  return end < 0.6 * middle;
}

/** Moves the ends, which smoothing blurred, to the samples where the current itself comes and goes. */
function sharpened(
  trace: Trace,
  raw: Float64Array,
  { way, from, to }: Throw,
  zeroA: number,
  closedA: number,
  width: number,
): Throw {
  const reach = width + 2;
  const flows = (i: number): boolean => way * (raw[i]! - zeroA) > closedA;
  let start = from;
  if (from > 0 && !Number.isNaN(raw[from]!)) {
    for (let i = Math.max(0, from - reach); i < Math.min(from + reach, to); i++) {
      if (flows(i) && flows(i + 1)) {
        start = i;
        break;
      }
    }
  }
  const tail = Math.max(start + 1, to - Math.max(reach, (to - start) >> 2));
  const running = Math.abs(median(raw, tail, to) - zeroA);
  let end = to;
  for (let i = Math.min(raw.length, to + reach) - 1; i > start; i--) {
    if (way * (raw[i]! - zeroA) > Math.max(closedA, 0.4 * running)) {
      end = Math.max(start + 1, i + 1);
      break;
    }
  }
  return { way, from: start, to: Math.min(end, trace.timeS.length) };
}
