// Gathers sample blocks of a live stream into one capture on the rig's uniform grid.

import { lastOf, sampleAt } from '../arrays/index.js';
import { type Capture, type Gap, mapChannels, sampledChannels } from './capture.js';
import type { Channel } from './channels.js';
import { missingStretches } from './gaps.js';
import type { Feed, Position } from './positions.js';

/** What a rig delivers on its grid, position and feed as its board tells them; NaN marks a lost sample. */
export type SampleBlock = Pick<Capture, 'timeS' | 'position' | 'feed' | 'channels'>;

/** A hole between blocks longer than this is not filled sample by sample. */
const LONGEST_FILL_S = 60;

export class CaptureBuilder {
  #length = 0;
  #timeS = new Float64Array(1024);
  #position: Position[] = [];
  #feed: Feed[] | undefined;
  readonly #channels = new Map<Channel, Float64Array>();
  readonly #gaps: Gap[] = [];
  readonly #notes: string[] = [];
  #dropped = 0;

  constructor(readonly sampleRateHz: number) {
    if (!(sampleRateHz > 0)) throw new RangeError(`sampleRateHz ${sampleRateHz} must be positive`);
  }

  get length(): number {
    return this.#length;
  }

  /** Time of the last sample; 0 before the first. */
  get endS(): number {
    return this.#length === 0 ? 0 : sampleAt(this.#timeS, this.#length - 1);
  }

  /**
   * Appends a block. A hole since the last one is filled with missing samples; samples that are not later than those
   * before are dropped and counted in a note (throwing here would stop a run in mid-throw).
   */
  add(block: SampleBlock): void {
    let skip = 0;
    if (this.#length > 0) {
      while (skip < block.timeS.length && !(sampleAt(block.timeS, skip) > this.endS)) skip += 1;
    }
    this.#dropped += skip;
    const count = block.timeS.length - skip;
    if (count === 0) return;
    if (this.#length > 0) this.#fillUpTo(sampleAt(block.timeS, skip));
    this.#reserve(this.#length + count);
    this.#timeS.set(block.timeS.subarray(skip), this.#length);
    for (const [name, values] of sampledChannels(block.channels))
      this.#channel(name).set(values.subarray(skip), this.#length);
    // The first block that tells its feed makes those before it full, as all are without it.
    if (block.feed) this.#feed ??= new Array<Feed>(this.#length).fill('full');
    for (let i = skip; i < block.timeS.length; i++) {
      this.#position.push(block.position[i] ?? 'rest');
      this.#feed?.push(block.feed?.[i] ?? 'full');
    }
    this.#length += count;
  }

  addGap(gap: Gap): void {
    this.#gaps.push(gap);
  }

  addNote(sentence: string): void {
    this.#notes.push(sentence);
  }

  /** The capture so far; the builder may go on afterwards. */
  build(): Capture {
    const timeS = this.#timeS.slice(0, this.#length);
    const channels = mapChannels(Object.fromEntries(this.#channels), (values) =>
      values.slice(0, this.#length),
    );
    const notes = [...this.#notes];
    if (this.#dropped > 0) notes.push(`${this.#dropped} samples came out of order and were dropped.`);
    return {
      timeS,
      position: this.#position.slice(),
      ...(this.#feed === undefined ? {} : { feed: this.#feed.slice() }),
      channels,
      gaps: [...this.#gaps, ...this.#untoldGaps(timeS, channels)].sort((a, b) => a.fromS - b.fromS),
      sampleRateHz: this.sampleRateHz,
      notes,
    };
  }

  /** Missing samples that no reported gap covers. */
  #untoldGaps(timeS: Float64Array, channels: Capture['channels']): Gap[] {
    const stepS = 1 / this.sampleRateHz;
    const isTold = (gap: Gap): boolean =>
      this.#gaps.some(
        ({ fromS, toS, channels: told }) =>
          fromS <= gap.fromS + stepS &&
          toS >= gap.toS - stepS &&
          (told === undefined || (gap.channels?.every((name) => told.includes(name)) ?? false)),
      );
    return missingStretches(timeS, channels, 'samples lost').filter((gap) => !isTold(gap));
  }

  #fillUpTo(nextS: number): void {
    const missing = Math.round((nextS - this.endS) * this.sampleRateHz) - 1;
    if (missing < 1) return;
    if (missing > LONGEST_FILL_S * this.sampleRateHz) {
      this.#gaps.push({ fromS: this.endS, toS: nextS, reason: 'no samples' });
      return;
    }
    this.#reserve(this.#length + missing);
    const startS = this.endS;
    const stepS = (nextS - startS) / (missing + 1);
    const position = lastOf(this.#position);
    const feed = this.#feed?.at(-1) ?? 'full';
    for (let i = 1; i <= missing; i++) {
      this.#timeS[this.#length] = startS + i * stepS;
      this.#position.push(position);
      this.#feed?.push(feed);
      this.#length += 1;
    }
  }

  /** The channel's array; its samples are missing until set. */
  #channel(name: Channel): Float64Array {
    let values = this.#channels.get(name);
    if (!values) {
      values = new Float64Array(this.#timeS.length).fill(Number.NaN);
      this.#channels.set(name, values);
    }
    return values;
  }

  #reserve(length: number): void {
    if (length <= this.#timeS.length) return;
    const capacity = Math.max(length, 2 * this.#timeS.length);
    this.#timeS = grown(this.#timeS, capacity);
    for (const [name, values] of this.#channels) this.#channels.set(name, grown(values, capacity));
  }
}

function grown(values: Float64Array, capacity: number): Float64Array<ArrayBuffer> {
  const larger = new Float64Array(capacity).fill(Number.NaN);
  larger.set(values);
  return larger;
}
