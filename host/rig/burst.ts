// A burst: one or two channels sampled as fast as the board can around an edge, for bounce and inrush. The board keeps
// it in its memory; here its packed counts become readings with their times from the edge.

import { BOARD, type BoardEvent } from '../../firmware-protocol/index.js';
import { itemAt } from '../arrays/index.js';
import { CHANNEL, type Channel, letterOf } from '../capture/index.js';
import type { RigProfile } from '../profile/index.js';

export interface BurstRequest {
  /** Two take turns, each then at half the rate. */
  channels: readonly [Channel] | readonly [Channel, Channel];
  /** At once, at the next throw, or at the next return to rest for whatever reason. */
  edge: 'now' | 'throw' | 'release';
  /** Samples to keep from before the edge, of both channels together. */
  beforeSamples: number;
}

export interface BurstTrace {
  /** Seconds from the edge. */
  timeS: Float64Array;
  value: Float64Array;
}

export interface Burst {
  /** Of one channel. */
  sampleRateHz: number;
  channels: Partial<Record<Channel, BurstTrace>>;
}

export type BurstDone = Extract<BoardEvent, { name: 'burst' }>;

/** Letters that the board knows the channels by. @throws RangeError for one that stands twice or that no rig reads. */
export function burstInputs({ channels }: BurstRequest): string {
  const [first, second] = channels;
  if (first === second) throw new RangeError(`a burst of ${CHANNEL[first].words} twice; name it once`);
  return channels.map(letterOf).join('');
}

/** Places at which the board is asked, one answer each. */
export function burstPlaces(samples: number): number[] {
  return Array.from(
    { length: Math.ceil(samples / BOARD.burstReadSamples) },
    (_, i) => i * BOARD.burstReadSamples,
  );
}

/** `counts` in the board's order: the inputs take turns, the first one first. */
export function burstOf(
  { channels }: BurstRequest,
  done: BurstDone,
  counts: readonly number[],
  clockHz: number,
  scales: RigProfile['scales'],
): Burst {
  const slotS = done.slotCycles / clockHz;
  const timeAt = (place: number): number =>
    (Math.floor(place / channels.length) * done.stepSlots + (place % channels.length)) * slotS;
  const edgeS = timeAt(done.edgeAt);
  const traces: Burst['channels'] = {};
  for (const [turn, channel] of channels.entries()) {
    const places = Array.from({ length: counts.length }, (_, i) => i).filter(
      (i) => i % channels.length === turn,
    );
    const { atZeroCount, perCount } = scales[channel];
    traces[channel] = {
      timeS: Float64Array.from(places, (place) => timeAt(place) - edgeS),
      value: Float64Array.from(places, (place) => atZeroCount + perCount * itemAt(counts, place)),
    };
  }
  return { sampleRateHz: 1 / (done.stepSlots * slotS), channels: traces };
}
