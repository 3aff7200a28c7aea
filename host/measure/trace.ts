// The working form of a capture: a grid near 5 kHz, signed motor voltage at hand, noise of each channel.

import type { Capture, Channel, Position } from '../capture/index.js';
import { CHANNELS } from '../capture/index.js';
import { limitedSamples } from './fed.js';
import { noiseOf } from './statistics.js';

/** Above this rate samples are averaged in blocks; what is measured here is slower than 0.2 ms. */
const WORKING_RATE_HZ = 5000;

/** Straight lines between conversions show second differences this much smaller than the noise that they stand for. */
export const HIDDEN = 1.5;

export interface Trace {
  timeS: Float64Array;
  position: readonly Position[];
  /** True where the limited feed was on; absent when it never was, or nobody told. */
  limited?: readonly boolean[];
  channels: Partial<Record<Channel, Float64Array>>;
  /** Lead A minus lead B; absent unless both leads were sampled. */
  motorVoltageV: Float64Array | undefined;
  /** Typical step between samples. */
  stepS: number;
  /** As it was captured, and how many of its samples make one here. */
  source: Capture;
  factor: number;
  /** Simulated without noise: how far its samples hang together is not looked at. */
  isIdeal?: boolean;
  /** Noise of one sample, by channel. */
  noise: Partial<Record<Channel, number>>;
}

/** A stretch of one commanded position, as sample indices [from, to). */
export interface CommandedStretch {
  position: Position;
  from: number;
  to: number;
  /** Driven through the limited feed. */
  limited?: true;
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
  const limited = limitedSamples(base.feed);
  return {
    timeS: base.timeS,
    position: base.position,
    ...(limited === undefined ? {} : { limited }),
    channels: base.channels,
    motorVoltageV,
    source: capture,
    factor,
    stepS: rateHz > 0 ? factor / rateHz : 0,
    noise,
  };
}

function averaged(
  capture: Capture,
  factor: number,
): Pick<Capture, 'timeS' | 'position' | 'feed' | 'channels'> {
  const starts: number[] = [];
  const { position, feed } = capture;
  const count = capture.timeS.length;
  for (let from = 0; from < count; ) {
    starts.push(from);
    const most = Math.min(count, from + factor);
    const here = position[from];
    const fed = feed?.[from];
    let to = from + 1;
    while (to < most && position[to] === here && feed?.[to] === fed) to++;
    from = to;
  }
  const ends = [...starts.slice(1), count];
  // Plain loops: a large import has millions of samples.
  const blockMean = (values: Float64Array): Float64Array => {
    const means = new Float64Array(starts.length);
    for (let block = 0; block < means.length; block++) {
      const to = ends[block]!;
      let sum = 0;
      let present = 0;
      for (let i = starts[block]!; i < to; i++) {
        const value = values[i]!;
        if (!Number.isNaN(value)) {
          sum += value;
          present++;
        }
      }
      means[block] = present > 0 ? sum / present : Number.NaN;
    }
    return means;
  };
  const channels: Capture['channels'] = {};
  for (const channel of CHANNELS) {
    const values = capture.channels[channel];
    if (values) channels[channel] = blockMean(values);
  }
  return {
    timeS: blockMean(capture.timeS),
    position: starts.map((i) => position[i]!),
    ...(feed === undefined ? {} : { feed: starts.map((i) => feed[i]!) }),
    channels,
  };
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
