// The rig of the demo: the emulated board with a simulated bench that holds the unit and whatever is wrong with it.

import type { ResolvedUnit, VirtualCase } from '../profile/index.js';
import { chance } from './chance.js';
import { openEmulatedRig, type VirtualRig } from './emulated-rig.js';
import { SimulatedBench } from './simulated-bench.js';

export interface VirtualRigOptions {
  unit: ResolvedUnit;
  virtualCase: VirtualCase;
  /** Held back to the wall clock; otherwise as fast as the machine can. */
  paced: boolean;
  /** Of everything drawn: true values, noise, bounce, clock error. Default: the case's own. */
  seed?: number;
}

/** The ceramic resonator of common boards: 0.5 % at most (common data sheet figure); drawn inside 0.3 %. */
const CLOCK_ERROR_PPM = 3000;

/** @throws RangeError for a case that does not fit the unit, CircuitError for a circuit that cannot be solved. */
export function openVirtualRig(options: VirtualRigOptions): VirtualRig {
  const { unit, virtualCase, paced, seed = virtualCase.seed } = options;
  const dice = chance(seed);
  const clockErrorPpm = CLOCK_ERROR_PPM * dice.withinTolerance();
  return openEmulatedRig({
    world: new SimulatedBench(unit, virtualCase, dice),
    paced,
    clockErrorPpm,
    rigId: 'virtual',
  });
}
