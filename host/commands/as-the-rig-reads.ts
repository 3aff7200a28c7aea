// Simulated readings as a rig would show them.

import type { Channel } from '../capture/index.js';
import type { ResolvedUnit } from '../profile/index.js';

type Readings = Partial<Record<Channel, Float64Array>>;

/** Clipped to what the rig can read, so that the microseconds of a suppressor do not set the scale of a picture. */
export function asTheRigReads(channels: Readings, { rig }: ResolvedUnit): Readings {
  return Object.fromEntries(
    Object.entries(channels).map(([name, values]) => {
      const { atZeroCount, perCount } = rig.scales[name as Channel];
      const highest = atZeroCount + perCount * (2 ** rig.adcBits - 1);
      return [name, values.map((value) => Math.min(highest, Math.max(atZeroCount, value)))];
    }),
  );
}
