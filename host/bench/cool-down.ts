// A motor that was held is warm: its windings read high and its protector may not have closed again. What the records
// tell of the last hold of this unit.

import { holdsRotor } from '../profile/index.js';
import type { RunStore } from './unit-job.js';

/**
 * Makers' manuals let a motor rest 60 to 90 s after its protector opened (window lifts and seats of several makes);
 * the longer one is kept here.
 */
export const COOL_DOWN_S = 90;
/** A winding that was held for up to a minute is some 80 K warm and loses that to its case over minutes (common practice, no source). */
export const LONG_COOL_DOWN_S = 600;
/** A tag is not held more often than this within the cool-down. */
const RUNS_LOOKED_AT = 4;

/** When the rotor of this unit was last held, and how long it still has to cool; undefined once it has. */
export function heldBefore(
  store: RunStore,
  tag: string,
  now: Date,
): { agoS: number; leftS: number } | undefined {
  for (const { runId, endedAt, startedAt } of store.listRuns({ tag, limit: RUNS_LOOKED_AT })) {
    const agoS = (now.getTime() - Date.parse(endedAt ?? startedAt)) / 1000;
    if (agoS >= LONG_COOL_DOWN_S) continue;
    const { plan } = store.showRun(runId).unit;
    const leftS = (plan.longHold ? LONG_COOL_DOWN_S : COOL_DOWN_S) - agoS;
    if (holdsRotor(plan) && leftS > 0) return { agoS: Math.max(0, agoS), leftS };
  }
  return undefined;
}
