// A unit as it is built: with its own switch and jumpers, whatever the rig stands in for when it is tested.

import { loadCircuit, loadUnit, type ResolvedUnit } from '../profile/index.js';

/** @throws InputError for a profile or circuit that cannot be read */
export function unitAsBuilt(profile: string, circuit?: string): ResolvedUnit {
  const unit = loadUnit(profile, undefined, circuit === undefined ? undefined : { circuit });
  return { ...unit, style: loadCircuit(unit.style.id) };
}
