// Live samples of the unit on the bench, kept outside the screen's state in rings of fixed size.

import { sampleAt } from '../arrays/index.js';
import type { ExpectedBand } from '../bench/index.js';
import { type Capture, CHANNELS, type Channel } from '../capture/index.js';

/** A minute of the thousand samples a second that the bench sends for the eye; then the oldest fall out. */
const CAPACITY = 60_000;

/** A cursor further than this from any sample stands in a gap. Choice of this program, no source. */
const NEAR_S = 0.01;

export interface Series {
  timeS: Float64Array;
  value: Float64Array;
}

export class TraceStore {
  band: ExpectedBand | undefined;
  readonly #capacity: number;
  readonly #timeS: Float64Array;
  readonly #values: Partial<Record<Channel, Float64Array>> = {};
  #written = 0;

  constructor(capacity: number = CAPACITY) {
    this.#capacity = capacity;
    this.#timeS = new Float64Array(capacity);
  }

  clear(): void {
    this.band = undefined;
    this.#written = 0;
    for (const channel of CHANNELS) delete this.#values[channel];
  }

  /** A channel that the slice lacks is a gap (NaN) there, never an old value. */
  push(slice: Pick<Capture, 'timeS' | 'channels'>): void {
    for (const channel of CHANNELS) {
      if (slice.channels[channel])
        this.#values[channel] ??= new Float64Array(this.#capacity).fill(Number.NaN);
    }
    for (let i = 0; i < slice.timeS.length; i++) {
      const at = this.#written % this.#capacity;
      this.#timeS[at] = sampleAt(slice.timeS, i);
      for (const channel of CHANNELS) {
        const values = this.#values[channel];
        if (values) values[at] = slice.channels[channel]?.[i] ?? Number.NaN;
      }
      this.#written += 1;
    }
  }

  /** In order of time; empty when the channel was never seen. */
  series(channel: Channel): Series {
    const values = this.#values[channel];
    if (!values) return { timeS: new Float64Array(), value: new Float64Array() };
    return { timeS: this.#unrolled(this.#timeS), value: this.#unrolled(values) };
  }

  /** The newest value that is a number, or undefined. */
  latest(channel: Channel): number | undefined {
    const values = this.#values[channel];
    if (!values || this.#written === 0) return undefined;
    const value = sampleAt(values, (this.#written - 1) % this.#capacity);
    return Number.isNaN(value) ? undefined : value;
  }

  /** Read nearest to `atS`; undefined where nothing was sampled near it. */
  at(channel: Channel, atS: number): number | undefined {
    const { timeS, value } = this.series(channel);
    let low = 0;
    let high = timeS.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (sampleAt(timeS, middle) < atS) low = middle + 1;
      else high = middle;
    }
    const near = [low - 1, low]
      .filter((i) => i >= 0 && i < timeS.length && Math.abs(sampleAt(timeS, i) - atS) < NEAR_S)
      .sort((a, b) => Math.abs(sampleAt(timeS, a) - atS) - Math.abs(sampleAt(timeS, b) - atS));
    const found = near[0] === undefined ? Number.NaN : sampleAt(value, near[0]);
    return Number.isNaN(found) ? undefined : found;
  }

  get endS(): number {
    return this.#written === 0 ? 0 : sampleAt(this.#timeS, (this.#written - 1) % this.#capacity);
  }

  #unrolled(ring: Float64Array): Float64Array {
    if (this.#written <= this.#capacity) return ring.slice(0, this.#written);
    const start = this.#written % this.#capacity;
    const out = new Float64Array(this.#capacity);
    out.set(ring.subarray(start));
    out.set(ring.subarray(0, start), this.#capacity - start);
    return out;
  }
}
