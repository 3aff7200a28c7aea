// Throws as the waveform shows them, for captures that tell no positions or whose switch was thrown by hand.
// Lead voltages say which way; where they are missing the sign of the current does, and a brake is told from a throw.

import { sampleAt } from '../arrays/index.js';
import { known } from '../fields/index.js';
import { median } from './statistics.js';
import type { CommandedStretch, Trace } from './trace.js';
import { currentThrows, type Left, withoutStrays } from './waveform-current.js';
import {
  durationS,
  lastFrom,
  merged,
  OPENED_PART,
  SHORTEST_THROW_S,
  type Throw,
  throwsAbove,
} from './waveform-throws.js';

export type { Left };

/** Of the supply: between the leads there is a throw above the first, surely none below the second. */
const CLOSED_PART = 0.4;
const OPEN_PART = 0.25;
/** A lead that leaves its driven level by this part of the supply has lost its contact. */
const LEFT_PART = 0.12;
/** A running level that the end of a throw can be read from: so many deviations of noise, and this much. Choice of this program, no source. */
const RUNNING = { deviations: 10, leastA: 0.02 };

export interface WaveformSeen {
  stretches: CommandedStretch[];
  /** Plain sentences on what the waveform cannot tell. */
  notes: string[];
  /** Nothing that was sampled tells forward from reverse: every throw counts as forward. */
  isWayUntold: boolean;
  /** What a lone current stood at once it was let go, where that is not what it stood at before. */
  left?: Left;
}

/**
 * Stretches of rest, forward and reverse, in time order, without gaps between them. Samples lost at a change put the
 * change where the loss began. Only rest when nothing shows a throw.
 */
export function waveformStretches(trace: Trace, supplyV: number): WaveformSeen {
  const notes: string[] = [];
  const count = trace.timeS.length;
  let throws: Throw[] = [];
  let left: Left | undefined;
  let isWayUntold = false;
  if (trace.motorVoltageV) throws = voltageThrows(trace, trace.motorVoltageV, supplyV);
  // A motor that is shorted is driven without a voltage across it.
  if (throws.length === 0) {
    const current = trace.channels.motorCurrentA ?? trace.channels.feedCurrentA;
    if (current) {
      const found = currentThrows(trace, current);
      throws = found.throws;
      left = found.left;
      isWayUntold =
        throws.length > 0 &&
        throws.every(({ way }) => way === 1) &&
        (trace.channels.motorCurrentA === undefined || (throws.length > 1 && !isEverBelow(current)));
    }
    if (isWayUntold)
      notes.push(
        trace.channels.motorCurrentA === undefined
          ? 'Direction not told: the feed current flows the same way in both. Sample both motor leads too, or the motor current with its sign.'
          : 'Direction not told: the current never changes its sign, as of a clamp that reads without one. Sample both motor leads too, or a current with its sign.',
      );
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
  return { stretches, notes, isWayUntold, ...known({ left }) };
}

/** Of the highest; brake and reverse currents go further below. Choice of this program, no source. */
const BELOW_PART = 0.1;

/** Whether a current flows the other way at all, in a throw or as a brake. */
function isEverBelow(raw: Float64Array): boolean {
  const [least, most] = withoutStrays(raw).reduce(
    ([low, high], value) =>
      Number.isNaN(value) ? [low, high] : [Math.min(low, value), Math.max(high, value)],
    [0, 0],
  );
  return least < -BELOW_PART * most;
}

function voltageThrows(trace: Trace, voltageV: Float64Array, supplyV: number): Throw[] {
  const seen = throwsAbove(voltageV, CLOSED_PART * supplyV, OPEN_PART * supplyV);
  return merged(trace, seen).flatMap((found) => {
    const to = contactEnd(trace, found, supplyV);
    return durationS(trace, found.from, to) < SHORTEST_THROW_S ? [] : [{ ...found, to }];
  });
}
/** Windows in which leads are held against their level while it ran, and by how much of the supply they may lie below it. Choices of this program, no source. */
const HELD_S = 0.01;
const BELOW_RUNNING_PART = 0.01;
/** A current that is gone so long with the leads still up was not let go. Choice of this program, no source. */
const GONE_S = 0.03;

/**
 * A drive that has stopped at its limit is thrown as long as its leads keep the whole supply: `ends`, where its current
 * ended, or where they fell. A motor that coasts shows less at once, by what it drew over its resistance.
 */
function stillThrown(trace: Trace, { way, from, to }: Throw, ends: number, supplyV: number): number {
  const { motorVoltageV: voltageV } = trace;
  const window = Math.max(3, Math.round(HELD_S / trace.stepS));
  if (voltageV === undefined || ends - from < 2 * window) return ends;
  const leastV = way * median(voltageV, (from + ends) >> 1, ends) - BELOW_RUNNING_PART * supplyV;
  let until = ends;
  while (until + window <= to && way * median(voltageV, until, until + window) > leastV) until += window;
  return (until - ends) * trace.stepS > GONE_S ? until : ends;
}

/**
 * Where the contact opened: a coasting motor keeps a voltage near the supply on open leads. The last sample that still
 * had running current, or both leads at their driven levels.
 */
function contactEnd(trace: Trace, { way, from, to }: Throw, supplyV: number): number {
  const half = from + Math.max(3, (to - from) >> 1);
  const quarter = (to - from) >> 2;
  const { leadAVoltageV, leadBVoltageV, motorCurrentA, feedCurrentA } = trace.channels;
  const current = motorCurrentA ?? feedCurrentA;
  const noiseA = (motorCurrentA ? trace.noise.motorCurrentA : trace.noise.feedCurrentA) ?? 0;
  if (current) {
    const usualA = median(current, from + quarter, Math.max(from + quarter + 3, half + quarter));
    const sense = motorCurrentA ? way * Math.sign(way * usualA || 1) : 1;
    const levelA = Math.abs(usualA);
    if (levelA > Math.max(RUNNING.leastA, RUNNING.deviations * noiseA)) {
      const ends = lastFrom(from, to, (i) => sense * sampleAt(current, i) > OPENED_PART * levelA);
      return stillThrown(trace, { way, from, to }, ends, supplyV);
    }
  }
  if (!leadAVoltageV || !leadBVoltageV) return to;
  const keepsLevel = (lead: Float64Array): ((i: number) => boolean) => {
    const usualV = median(lead, from, half);
    return (i) => Math.abs(sampleAt(lead, i) - usualV) < LEFT_PART * supplyV;
  };
  const [keepsA, keepsB] = [keepsLevel(leadAVoltageV), keepsLevel(leadBVoltageV)];
  return lastFrom(from, to, (i) => keepsA(i) && keepsB(i));
}
