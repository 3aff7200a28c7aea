// Every so many samples of the stream one for the eye.

import { sampledChannels } from '../capture/index.js';
import type { SampleBlock } from '../rig/index.js';

export class Decimator {
  /** Samples still to be left out. */
  #left = 0;

  constructor(readonly every: number) {}

  take({ timeS, channels }: SampleBlock): Pick<SampleBlock, 'timeS' | 'channels'> {
    const { every } = this;
    const from = this.#left;
    const kept = Math.max(0, Math.ceil((timeS.length - from) / every));
    this.#left = from + kept * every - timeS.length;
    const pick = (values: Float64Array): Float64Array =>
      values.filter((_, i) => i >= from && (i - from) % every === 0);
    const slice: SampleBlock['channels'] = {};
    for (const [channel, values] of sampledChannels(channels)) slice[channel] = pick(values);
    return { timeS: pick(timeS), channels: slice };
  }
}
