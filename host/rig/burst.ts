// A burst: one or two channels sampled as fast as the board can around an edge, for bounce and inrush. The board keeps
// it in its memory; here its packed counts become readings with their times from the edge.

import { BOARD, type BoardEvent, SCAN_LETTERS, type ScanLetter } from '../../firmware-protocol/index.js';
import type { Channel } from '../capture/index.js';
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

/** Letters that the board knows the channels by. Throws a RangeError for a channel that stands twice. */
export function burstInputs({ channels }: BurstRequest): string {
  if (channels[0] === channels[1]) throw new RangeError(`channels names ${channels[0]} twice; name it once`);
  const letters = Object.keys(SCAN_LETTERS) as ScanLetter[];
  return channels
    .map((channel) => letters.find((letter) => SCAN_LETTERS[letter].channel === channel)!)
    .join('');
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
  counts: ArrayLike<number>,
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
      value: Float64Array.from(places, (place) => atZeroCount + perCount * counts[place]!),
    };
  }
  return { sampleRateHz: 1 / (done.stepSlots * slotS), channels: traces };
}

/** Three 10-bit samples in five characters of six bits, most significant bits first, as in a frame. */
export function unpackCounts(text: string): number[] {
  const counts: number[] = [];
  for (let at = 0; at + 5 <= text.length; at += 5) {
    let bits = 0;
    for (let i = 0; i < 5; i++) bits = bits * 64 + (text.charCodeAt(at + i) - 48);
    counts.push(Math.floor(bits / 2 ** 20), Math.floor(bits / 2 ** 10) % 1024, bits % 1024);
  }
  return counts;
}
