// The working form of a capture: a grid near 5 kHz, signed motor voltage at hand, noise of each channel.

import type { Capture, Channel, Position } from '../capture/index.js';
import { CHANNELS } from '../capture/index.js';
import { noiseOf } from './statistics.js';

/** Above this rate samples are averaged in blocks; what is measured here is slower than 0.2 ms. */
const WORKING_RATE_HZ = 5000;

export interface Trace {
  timeS: Float64Array;
  position: readonly Position[];
  channels: Partial<Record<Channel, Float64Array>>;
  /** Lead A minus lead B; absent unless both leads were sampled. */
  motorVoltageV: Float64Array | undefined;
  /** Typical step between samples. */
  stepS: number;
  /** As it was captured, and how many of its samples make one here. */
  source: Capture;
  factor: number;
  /** Noise of one sample, by channel. */
  noise: Partial<Record<Channel, number>>;
}

/** A stretch of one commanded position, as sample indices [from, to). */
export interface CommandedStretch {
  position: Position;
  from: number;
  to: number;
  /** The throw was on when the capture began: its contact cannot be told. */
  startUnseen?: boolean;
}

/** Builds the working form; blocks that straddle a change of command are cut at the change. */
export function traceOf(capture: Capture): Trace {
  const count = capture.timeS.length;
  const span = count > 1 ? capture.timeS[count - 1]! - capture.timeS[0]! : 0;
  const rateHz = span > 0 ? (count - 1) / span : 0;
  const factor = rateHz > 1.6 * WORKING_RATE_HZ ? Math.round(rateHz / WORKING_RATE_HZ) : 1;
  const base = factor > 1 ? averaged(capture, factor) : capture;
  const { leadAVoltageV, leadBVoltageV } = base.channels;
  let motorVoltageV: Float64Array | undefined;
  if (leadAVoltageV && leadBVoltageV) motorVoltageV = leadAVoltageV.map((a, i) => a - leadBVoltageV[i]!);
  const noise: Trace['noise'] = {};
  for (const channel of CHANNELS) {
    const values = base.channels[channel];
    // A few thousand samples tell the noise; the whole of a long import would only cost time.
    if (values) noise[channel] = noiseOf(values, 0, Math.min(values.length, 4000));
  }
  return {
    timeS: base.timeS,
    position: base.position,
    channels: base.channels,
    motorVoltageV,
    source: capture,
    factor,
    stepS: rateHz > 0 ? factor / rateHz : 0,
    noise,
  };
}

function averaged(capture: Capture, factor: number): Pick<Capture, 'timeS' | 'position' | 'channels'> {
  const starts: number[] = [];
  for (let from = 0; from < capture.timeS.length; ) {
    starts.push(from);
    let to = from + 1;
    while (to < from + factor && capture.position[to] === capture.position[from]) to++;
    from = to;
  }
  const blockMean = (values: Float64Array): Float64Array =>
    Float64Array.from(starts, (from, block) => {
      const to = Math.min(values.length, starts[block + 1] ?? from + factor);
      let sum = 0;
      let present = 0;
      for (let i = from; i < to; i++) {
        const value = values[i]!;
        if (!Number.isNaN(value)) {
          sum += value;
          present++;
        }
      }
      return present > 0 ? sum / present : Number.NaN;
    });
  const channels: Capture['channels'] = {};
  for (const channel of CHANNELS) {
    const values = capture.channels[channel];
    if (values) channels[channel] = blockMean(values);
  }
  return { timeS: blockMean(capture.timeS), position: starts.map((i) => capture.position[i]!), channels };
}

/** Stretches of equal commanded position, in time order. */
export function commandedStretches(position: readonly Position[]): CommandedStretch[] {
  const stretches: CommandedStretch[] = [];
  for (let i = 0; i < position.length; i++) {
    const last = stretches.at(-1);
    if (last && last.position === position[i]) last.to = i + 1;
    else stretches.push({ position: position[i]!, from: i, to: i + 1 });
  }
  return stretches;
}

/** First index at or after `timeS`, between from and to. */
export function indexAt(trace: Trace, timeS: number, from: number, to: number): number {
  let low = from;
  let high = to;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (trace.timeS[middle]! < timeS) low = middle + 1;
    else high = middle;
  }
  return low;
}
