// A relay's capture cut into what was done with it: coil on and off under load, the small test current one way round and
// the other, the time without load that gives the zero, and the supply turned up and down.

import { sampleAt } from '../../arrays/index.js';
import type { Capture, Channel } from '../../capture/index.js';
import { quantile } from '../statistics.js';
import { commandedStretches } from '../trace.js';

/** Sample indices [from, to). */
export interface Span {
  from: number;
  to: number;
}

/** Coil on at `on`, off at `off`, and what follows up to `to`; sample indices of the first sample of each. */
export interface CoilCycle {
  /** First sample of the rest before. */
  from: number;
  on: number;
  off: number;
  to: number;
}

export interface RelayStretches {
  cycles: CoilCycle[];
  /** Test current with plus on 86 as marked, and with the two clips exchanged. */
  marked: Span[];
  exchanged: Span[];
  /** Contact closed and no load current, before the first cycle. */
  zero: Span[];
  ramp?: { span: Span; channel: Channel; volts: Float64Array };
  notes: string[];
}

/** Load current above this flows on purpose; common practice, no source. */
const FLOWING_A = 0.3;
/** The feed's own contacts and the load settle in this. */
const SETTLE_S = 0.02;
/** A coil that draws less than this part of its most is off. */
const COIL_OFF_PART = 0.25;
/** A coil voltage that moves by less was not turned up and down. */
const LEAST_SWEEP_V = 4;
const SHORTEST_RAMP_S = 1.5;
/** A slow turn never steps by more than this within a hundredth of a second. */
const RAMP_BLOCK_S = 0.01;
const MOST_STEP_V = 1;

/**
 * Positions tell, where the capture has them: `forward` is the whole supply on the coil, `reverse` the test current, and
 * test currents after the first `forward` are with the clips exchanged. Without positions the coil current tells the cycles.
 */
export function relayStretches(capture: Capture): RelayStretches {
  const count = capture.timeS.length;
  const notes: string[] = [];
  const isCommanded = capture.positionKnown !== false;
  const thrown = isCommanded
    ? commandedStretches(capture.position)
    : switchedStretches(capture.channels.coilCurrentA, count);
  if (!isCommanded) notes.push('Switching of the coil was told from its current.');
  const cycles: CoilCycle[] = [];
  const marked: Span[] = [];
  const exchanged: Span[] = [];
  thrown.forEach(({ position, from, to }, i) => {
    if (position === 'reverse') (cycles.length > 0 ? exchanged : marked).push({ from, to });
    if (position !== 'forward') return;
    const before = thrown[i - 1];
    const after = thrown[i + 1];
    if (before?.position !== 'rest') return;
    cycles.push({ from: before.from, on: from, off: to, to: after?.position === 'rest' ? after.to : to });
  });
  const firstOn = cycles[0]?.on ?? count;
  const ramp = rampOf(capture, thrown.at(-1));
  // What a person does with the clips after the last cycle is no rest under load any more.
  const last = cycles.at(-1);
  if (last) last.to = Math.min(last.to, loadEnd(capture, last));
  return {
    cycles,
    marked,
    exchanged,
    zero: zeroSpans(capture, firstOn),
    ...(ramp ? { ramp } : {}),
    notes,
  };
}

function switchedStretches(coil: Float64Array | undefined, count: number) {
  const most = coil ? quantile(coil, 0.99) : Number.NaN;
  const position = Array.from({ length: count }, (_, i) =>
    coil && most > 0 && sampleAt(coil, i) > COIL_OFF_PART * most ? ('forward' as const) : ('rest' as const),
  );
  return commandedStretches(position);
}

/** End of the load current after the last cycle: feed put off, or clips being moved. */
function loadEnd({ timeS, channels, feed }: Capture, cycle: CoilCycle): number {
  const current = channels.feedCurrentA;
  for (let i = cycle.off; i < cycle.to; i++) {
    if (feed && feed[i] !== feed[cycle.off]) return i;
    const isEarly = sampleAt(timeS, i) < sampleAt(timeS, cycle.off) + 0.1;
    if (!isEarly && current && sampleAt(current, i) < FLOWING_A && sampleAt(current, cycle.on) > FLOWING_A)
      return i;
  }
  return cycle.to;
}

/** Everything before the load current first flows, without what settles at its ends. */
function zeroSpans({ timeS, channels, feed }: Capture, until: number): Span[] {
  const current = channels.feedCurrentA ?? channels.motorCurrentA;
  let end = 0;
  while (end < until) {
    if (feed && feed[end] !== 'off') break;
    if (!feed && current && Math.abs(sampleAt(current, end)) > FLOWING_A) break;
    end++;
  }
  const stopS = (timeS[end - 1] ?? 0) - SETTLE_S;
  let to = end;
  while (to > 0 && sampleAt(timeS, to - 1) > stopS) to--;
  return to >= 10 ? [{ from: 0, to }] : [];
}

/** The last rest, when a voltage goes slowly through several volts in it. */
function rampOf(
  { timeS, channels }: Capture,
  last: { position: string; from: number; to: number } | undefined,
): RelayStretches['ramp'] {
  if (last?.position !== 'rest') return undefined;
  const span = { from: last.from, to: last.to };
  if (sampleAt(timeS, span.to - 1) - sampleAt(timeS, span.from) < SHORTEST_RAMP_S) return undefined;
  for (const channel of ['supplyVoltageV', 'leadBVoltageV'] as const) {
    const values = channels[channel];
    const from = values && slowFrom(timeS, values, span);
    if (values && from !== undefined) return { span: { from, to: span.to }, channel, volts: values };
  }
  return undefined;
}

/** Start of the slow part that reaches the end of the span and sweeps enough; clips are moved before it. */
function slowFrom(timeS: Float64Array, values: Float64Array, { from, to }: Span): number | undefined {
  const block = Math.max(
    1,
    Math.round((RAMP_BLOCK_S * (to - from)) / (sampleAt(timeS, to - 1) - sampleAt(timeS, from))),
  );
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  let start = to;
  let after = Number.NaN;
  for (let end = to; end - block >= from; end -= block) {
    const level = quantile(values, 0.5, end - block, end);
    if (Number.isNaN(level)) continue;
    if (Math.abs(level - after) > MOST_STEP_V) break;
    low = Math.min(low, level);
    high = Math.max(high, level);
    after = level;
    start = end - block;
  }
  return high - low >= LEAST_SWEEP_V ? start : undefined;
}
