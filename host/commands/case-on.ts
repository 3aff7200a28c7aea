// A case for the virtual bench, held against the unit that it is put on before anything is shown or opened.

import { faultsOfUnit } from '../circuit/index.js';
import { nearestName } from '../input/index.js';
import { anyProfiles, loadCase, type ResolvedUnit, type VirtualCase } from '../profile/index.js';

/** @throws InputError for a fault that the unit's circuit cannot have */
export function caseOn(unit: ResolvedUnit, ref: string): VirtualCase {
  const virtualCase = loadCase(ref);
  const known = faultsOfUnit(unit).map(({ id }) => id);
  for (const [index, fault] of virtualCase.faults.entries()) {
    if (known.includes(fault)) continue;
    const near = nearestName(fault, known);
    const [{ file }] = anyProfiles(ref, { kind: 'case' });
    throw file.fault(
      ['faults', index],
      `${unit.style.title}: this circuit has no fault ${fault}`,
      near
        ? `did you mean ${near}?`
        : `throwbench profile list faults ${unit.unit.id} tells those that it has`,
    );
  }
  return virtualCase;
}
