// One channel of a rig's stream as it comes in, and why the rig stopped, if it did.

import type { Channel } from '../capture/index.js';
import type { Rig } from '../rig/index.js';

export interface WatchedChannel {
  /** What came since the last time that this was asked. */
  taken(): Float64Array[];
  /** The first reason; undefined while nothing stopped. */
  stopped(): string | undefined;
  end(): void;
}

export function watchChannel(rig: Rig, channel: Channel): WatchedChannel {
  let fresh: Float64Array[] = [];
  let stopped: string | undefined;
  const end = rig.onEvent((event) => {
    if (event.kind === 'samples') {
      const values = event.block.channels[channel];
      if (values) fresh.push(values);
    } else if (event.kind === 'stopped') stopped ??= event.sentence ?? event.reason;
    else if (event.kind === 'lost') stopped ??= event.sentence;
  });
  return {
    taken() {
      const all = fresh;
      fresh = [];
      return all;
    },
    stopped: () => stopped,
    end,
  };
}
