// A rig before and as it is armed, with its refusals told as what is wrong with it.

import type { Rig } from '../rig/index.js';
import type { DriveOptions } from './drive-options.js';
import { FEED_LIVE, isFeedLiveRefusal, isLoopRefusal, whyLoopIsOpen } from './rig-fault.js';

/** Nothing latched, limits set. @throws RigFault where the stop loop is open, naming what opens it */
export async function makeReady(rig: Rig, trip: DriveOptions['trip']): Promise<void> {
  try {
    await rig.clearStop();
  } catch (error) {
    throw isLoopRefusal(error) ? await whyLoopIsOpen(rig) : error;
  }
  await rig.setTrip(trip);
}

/** @throws RigFault where the feed is on although it is switched off */
export async function arm(rig: Rig): Promise<void> {
  try {
    await rig.arm();
  } catch (error) {
    throw isFeedLiveRefusal(error) ? FEED_LIVE() : error;
  }
}
