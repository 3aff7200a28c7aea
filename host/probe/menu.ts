// The probes of one unit, in the order of a good hand: eyes, ears, fingers, then the relay's twin and the plug, then the
// lamp, then the meter.

import { byAction, type Hypothesis } from '../diagnose/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { clipProbes } from './menu-clip.js';
import { meterProbes } from './menu-meter.js';
import { senseProbes } from './menu-senses.js';
import { swapProbes } from './menu-swaps.js';
import type { Probe } from './probe.js';

/** @param causes what may be the matter: eyes look for what shows on the outside. */
export function menuOf(unit: ResolvedUnit, causes: readonly Hypothesis[]): Probe[] {
  const probes = [
    ...senseProbes(unit, causes),
    ...swapProbes(unit),
    ...clipProbes(unit),
    ...meterProbes(unit),
  ];
  return probes.sort(byAction);
}
