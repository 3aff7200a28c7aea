// The rig of the demo: the emulated board with a simulated bench that holds the unit and whatever is wrong with it.

import type { UnitCircuit } from '../circuit/index.js';
import { known } from '../fields/index.js';
import type { ResolvedUnit, RigProfile, VirtualCase } from '../profile/index.js';
import { HARDWARE_REVISION } from './board/index.js';
import { type Chance, chance } from './chance.js';
import { openEmulatedRig, type VirtualRig } from './emulated-rig.js';
import { SimulatedBench } from './simulated-bench.js';

export interface VirtualRigOptions {
  unit: ResolvedUnit;
  virtualCase: VirtualCase;
  /** Held back to the wall clock; otherwise as fast as the machine can. */
  paced: boolean;
  /** Of everything drawn: true values, noise, bounce, clock error. Default: the case's own. */
  seed?: number;
  /** An older image, and the circuit that was built for it. Default: what is shipped. */
  older?: { image: string; hardwareRevision: number };
  /** What a hand has moved on the bench beforehand, a sense clip for one. */
  wired?(circuit: UnitCircuit): UnitCircuit;
}

/** A clock of a rig profile that tells none: the ceramic resonator of common boards (common data sheet figure: 0.5 % at most). */
const CLOCK_UNCERTAINTY_PERCENT = 0.15;
const PPM_PER_PERCENT = 1e4;

/** Normal, as the gains of the converter are. */
export function drawClockErrorPpm({ clockUncertaintyPercent }: RigProfile, dice: Chance): number {
  return (clockUncertaintyPercent ?? CLOCK_UNCERTAINTY_PERCENT) * PPM_PER_PERCENT * dice.normal();
}

/** @throws RangeError for a case that does not fit the unit, CircuitError for a circuit that cannot be solved. */
export function openVirtualRig(options: VirtualRigOptions): VirtualRig {
  const { unit, virtualCase, paced, seed = virtualCase.seed, older } = options;
  const dice = chance(seed);
  const clockErrorPpm = drawClockErrorPpm(unit.rig, dice);
  const isBuiltOn = older === undefined || older.hardwareRevision >= HARDWARE_REVISION;
  const world = new SimulatedBench(unit, virtualCase, dice, options.wired, isBuiltOn);
  const rig = openEmulatedRig({ world, paced, clockErrorPpm, rigId: 'virtual', ...known({ older }) });
  // The coils of the rig's relays hang behind these two, and the board sees it.
  if (virtualCase.blownFuses?.some((fuse) => fuse === 'F1' || fuse === 'F2')) rig.board.setStopLoop(false);
  return {
    ...rig,
    hear: (prompt) => world.hear(prompt),
    meter: (channel) => world.meter(channel),
    turned: () => world.turned(),
  };
}
