// The working form of a capture: a grid near 5 kHz, signed motor voltage at hand, noise of each channel.

import { itemAt, sampleAt } from '../arrays/index.js';
import { type Capture, CHANNELS, type Channel, type Position, toldChannels } from '../capture/index.js';
import { limitedSamples } from './fed.js';
import { runsOf } from './runs.js';
import { noiseOf } from './statistics.js';

/** Above this rate samples are averaged in blocks; what is measured here is slower than 0.2 ms. */
const WORKING_RATE_HZ = 5000;
/** Blocks of two and more from here on: up to it the samples themselves serve. Choice of this program, no source. */
const AVERAGED_ABOVE = 1.6;
/** A few thousand samples tell the noise; the whole of a long import would only cost time. */
const NOISE_SAMPLES = 4000;

/** No converter samples quicker. */
const LEAST_STEP_S = 1e-9;

/** Straight lines between conversions show second differences this much smaller than the noise that they stand for. */
export const HIDDEN = 1.5;

export interface Trace {
  timeS: Float64Array;
  position: readonly Position[];
  /** True where the limited feed was on; absent when it never was, or nobody told. */
  limited?: readonly boolean[];
  channels: Partial<Record<Channel, Float64Array>>;
  /** Lead A minus lead B; absent unless both leads were sampled, or what is between them. */
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
  const span = count > 1 ? sampleAt(capture.timeS, count - 1) - sampleAt(capture.timeS, 0) : 0;
  const rateHz = span > 0 ? (count - 1) / span : 0;
  const factor = rateHz > AVERAGED_ABOVE * WORKING_RATE_HZ ? Math.round(rateHz / WORKING_RATE_HZ) : 1;
  const base = factor > 1 ? averaged(capture, factor) : capture;
  const { leadAVoltageV, leadBVoltageV } = base.channels;
  const motorVoltageV = leadAVoltageV && leadBVoltageV && difference(leadAVoltageV, leadBVoltageV);
  const noise: Trace['noise'] = {};
  for (const channel of CHANNELS) {
    const values = base.channels[channel];
    if (values) noise[channel] = noiseOf(values, 0, Math.min(values.length, NOISE_SAMPLES));
  }
  const limited = limitedSamples(base.feed);
  return {
    timeS: base.timeS,
    position: base.position,
    ...(limited === undefined ? {} : { limited }),
    channels: toldChannels({ ...capture, channels: base.channels }),
    motorVoltageV,
    source: capture,
    factor,
    stepS: rateHz > 0 ? factor / rateHz : 0,
    noise,
  };
}

function difference(a: Float64Array, b: Float64Array): Float64Array {
  const out = new Float64Array(a.length);
  for (let i = 0; i < out.length; i++) out[i] = sampleAt(a, i) - sampleAt(b, i);
  return out;
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
  const blockMean = (values: Float64Array): Float64Array =>
    Float64Array.from(starts, (from, block) => presentMean(values, from, itemAt(ends, block)));
  const channels: Capture['channels'] = {};
  for (const channel of CHANNELS) {
    const values = capture.channels[channel];
    if (values) channels[channel] = blockMean(values);
  }
  return {
    timeS: blockMean(capture.timeS),
    position: starts.map((i) => itemAt(position, i)),
    ...(feed === undefined ? {} : { feed: starts.map((i) => itemAt(feed, i)) }),
    channels,
  };
}

/** Of what is there in [from, to); NaN where all is lost. A plain loop: a large import has millions of samples. */
function presentMean(values: Float64Array, from: number, to: number): number {
  let sum = 0;
  let present = 0;
  for (let i = from; i < to; i++) {
    const value = sampleAt(values, i);
    if (Number.isNaN(value)) continue;
    sum += value;
    present++;
  }
  return present > 0 ? sum / present : Number.NaN;
}

/** Stretches of equal commanded position, in time order. */
export const commandedStretches = (position: readonly Position[]): CommandedStretch[] =>
  runsOf(0, position.length, (i) => itemAt(position, i)).map(({ key, from, to }) => ({
    position: key,
    from,
    to,
  }));

/** Samples that so much time takes, as a fraction; a capture of one sample has no step. */
export const samplesIn = ({ stepS }: Pick<Trace, 'stepS'>, durationS: number): number =>
  durationS / Math.max(stepS, LEAST_STEP_S);

/** First index at or after `timeS`, between from and to. */
export function indexAt(trace: Trace, timeS: number, from: number, to: number): number {
  let low = from;
  let high = to;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sampleAt(trace.timeS, middle) < timeS) low = middle + 1;
    else high = middle;
  }
  return low;
}
