// A relay by itself on the bench: when the turning of its supply is over, and whether the whole supply may follow the
// test current. Loads what judges relays, so it is itself loaded for such a run only.

import { sampleAt } from '../arrays/index.js';
import type { Capture } from '../capture/index.js';
import { measureRelayUnit, passesBy } from '../judge/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import type { Watched } from './gone-watch.js';
import type { PlannedStep } from './planned.js';

/** Pulled in from here, let go below; the turning is over when the voltage is back for a while. */
const CARRIES_A = 0.5;
const TURNED_DOWN_V = 1;
const SETTLED_S = 0.5;

/** The turning of the coil's supply: up until the relay pulls in, down until it lets go. */
export const SUPPLY_TURNED: Watched = {
  goneForS: SETTLED_S,
  look: ({ motorCurrentA: working, leadBVoltageV: coilV }) => {
    if (working === undefined || coilV === undefined) return undefined;
    const isThere = Math.abs(working) > CARRIES_A;
    return { isThere, isGone: Math.abs(working) < CARRIES_A && coilV < TURNED_DOWN_V };
  },
};

/**
 * Whether a step may be made after what was seen: no whole supply on a coil that the test current goes past, and no full
 * feed where the limited one met no load. Why not, or undefined.
 */
export function mayNotFollow(unit: ResolvedUnit, next: PlannedStep, soFar: Capture): string | undefined {
  if (next.position === 'forward' && passesBy(measureRelayUnit(unit, soFar)))
    return 'The test current goes past the winding: the whole supply was not put on the coil.';
  if (next.feed === 'full' && meetsNoLoad(unit, soFar))
    return 'The limited feed meets no load: the full feed was not put on.';
  return undefined;
}

/** Less than this part of the load between feed and ground is a wire where the load should be. */
const LOAD_PART = 0.5;

function meetsNoLoad({ style, rig }: ResolvedUnit, { feed, channels }: Capture): boolean {
  const load = style.elements.find((element) => element.kind === 'resistor' && element.id === 'load');
  const { feedCurrentA, supplyVoltageV } = channels;
  if (load?.kind !== 'resistor' || !feed || !feedCurrentA || !supplyVoltageV) return false;
  let ampere = 0;
  let volts = 0;
  for (const [i, state] of feed.entries()) {
    const [currentA, voltageV] = [sampleAt(feedCurrentA, i), sampleAt(supplyVoltageV, i)];
    if (state !== 'limited' || Number.isNaN(currentA) || Number.isNaN(voltageV)) continue;
    ampere += currentA;
    volts += voltageV;
  }
  // Both are sums over the same samples.
  return ampere > 0 && volts / ampere < rig.limitedFeedOhm + LOAD_PART * load.resistanceOhm;
}
