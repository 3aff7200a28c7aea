// The profile that has the rig throw what another one has a person throw: for a bench where nobody sits.

import { listProfiles, loadUnit, type ResolvedUnit } from './load.js';

/** Id of a unit profile of the same circuit and parts that the rig throws; undefined where none is kept. */
export function rigThrown({ unit }: ResolvedUnit, profilesDir?: string): string | undefined {
  return listProfiles('unit', profilesDir).find(({ id, fault }) => {
    if (fault !== undefined || id === unit.id) return false;
    try {
      const other = loadUnit(id, profilesDir);
      return other.plan.throwBy !== 'operator' && PARTS.every((part) => other.unit[part] === unit[part]);
    } catch {
      // A profile that cannot be read is none to name here; whoever asks for it is told why.
      return false;
    }
  })?.id;
}

const PARTS = ['subject', 'circuit', 'motor', 'load', 'relay', 'rig'] as const;
