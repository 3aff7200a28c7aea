// A motor that was held is warm: its windings read high and its protector may not have closed again. What the records
// tell of the last hold of this unit.

import { holdsRotor } from '../profile/index.js';
import type { RunStore } from './unit-job.js';

/**
 * Makers' manuals let a motor rest 60 to 90 s after its protector opened (window lifts and seats of several makes);
 * the longer one is kept here.
 */
export const COOL_DOWN_S = 90;
/** A tag is not held more often than this within the cool-down. */
const RUNS_LOOKED_AT = 4;

/** Seconds since the rotor of this unit was last held, when that was less than the cool-down ago. */
export function heldAgoS(store: RunStore, tag: string, now: Date): number | undefined {
  for (const { runId, endedAt, startedAt } of store.listRuns({ tag, limit: RUNS_LOOKED_AT })) {
    const agoS = (now.getTime() - Date.parse(endedAt ?? startedAt)) / 1000;
    if (agoS < COOL_DOWN_S && holdsRotor(store.showRun(runId).unit.plan)) return Math.max(0, agoS);
  }
  return undefined;
}
