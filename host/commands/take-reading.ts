// One steady reading of one channel from a rig's stream: everything off for a zero, feed on and thrown for a load.

import type { Channel, Position } from '../capture/index.js';
import { type Component, combine, summarise } from '../measure/index.js';
import type { RigProfile } from '../profile/index.js';
import type { Rig } from '../rig/index.js';
import { readsWhileOff, switchOnWithCare } from './load-with-care.js';
import { watchChannel } from './watched-channel.js';

export interface ReadingRequest {
  channel: Channel;
  point: 'zero' | 'load';
  position: Position;
  seconds: number;
  trip: RigProfile['trip'];
}

/** A load settles in this time: motors are up to speed, coils warm for a second or less (common practice, no source). */
export const SETTLE_S = 0.8;
const MARGIN_S = 0.5;
const LEAST_SAMPLES = 50;

/** @throws Error in one line when the rig stopped, sent too little, misreads a channel, or found a short through its limited feed. Outputs are off when it returns or throws. */
export async function takeReading(
  rig: Rig,
  { channel, point, position, seconds, trip }: ReadingRequest,
  rigProfile: RigProfile,
): Promise<Component & { value: number }> {
  const watched = watchChannel(rig, channel);
  let blocks: Float64Array[];
  try {
    await rig.clearStop();
    await rig.setTrip(trip);
    await rig.startStream();
    if (point === 'load') {
      const holdS = Math.min(SETTLE_S + seconds + MARGIN_S, rig.facts.longestHoldS);
      const on = await switchOnWithCare(rig, { channel, position, holdS, rigProfile });
      if (typeof on === 'object') throw new Error(on.refused);
      await rig.clock.sleep(SETTLE_S);
    } else {
      const misread = await readsWhileOff(rig, rigProfile, { needsSupply: false });
      if (misread !== undefined) throw misread;
    }
    watched.taken();
    await rig.clock.sleep(seconds);
    blocks = watched.taken();
  } finally {
    watched.end();
    await rig.allOff();
    await rig.stopStream();
  }
  const stopped = watched.stopped();
  if (stopped !== undefined) throw new Error(`the rig stopped while the load was read: ${stopped}`);
  return readingOf(blocks, seconds, rigProfile.scales[channel].perCount);
}

/** The mean of samples with its standard uncertainty. @throws Error in one line when they are too few */
export function readingOf(
  blocks: readonly Float64Array[],
  seconds: number,
  perCount: number,
): Component & { value: number } {
  const values = blocks.flatMap((block) => [...block]).filter((value) => !Number.isNaN(value));
  if (values.length < LEAST_SAMPLES)
    throw new Error(`only ${values.length} samples came in ${seconds} s; check the link`);
  const { mean, deviation, lag1, count } = summarise(values);
  const r = Math.min(0.999, Math.max(0, lag1));
  const independent = Math.max(2, (count * (1 - r)) / (1 + r));
  const step = Math.abs(perCount);
  // Noise of half a count and more spreads the rounding over the steps; a quieter reading keeps it whole.
  const rounding = step / Math.sqrt(12) / (deviation > 0.4 * step ? Math.sqrt(independent) : 1);
  const total = combine([
    { standardUncertainty: deviation / Math.sqrt(independent), degreesOfFreedom: independent - 1 },
    { standardUncertainty: rounding, degreesOfFreedom: Number.POSITIVE_INFINITY },
  ]);
  return { value: mean, ...total };
}
