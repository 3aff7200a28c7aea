// A rig whose inputs are broken: its samples are changed on their way to whoever listens.

import type { Channel } from '../../host/capture/index.js';
import type { Rig, RigEvent, SampleBlock } from '../../host/rig/index.js';

export type Spoil = (channels: SampleBlock['channels']) => SampleBlock['channels'];

/** The same rig, its samples spoilt on their way. */
export function spoilt(rig: Rig, spoil: Spoil): Rig {
  const changed = (event: RigEvent): RigEvent =>
    event.kind === 'samples'
      ? { ...event, block: { ...event.block, channels: spoil(event.block.channels) } }
      : event;
  return new Proxy(rig, {
    get(target, name) {
      if (name === 'onEvent')
        return (listener: (event: RigEvent) => void) => target.onEvent((event) => listener(changed(event)));
      const value = Reflect.get(target, name);
      return typeof value === 'function' ? value.bind(target) : value;
    },
  });
}

export const standsAt =
  (channel: Channel, value: number): Spoil =>
  (channels) => ({ ...channels, [channel]: channels[channel]?.map(() => value) });
