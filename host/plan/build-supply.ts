// The supply that a build has in its vehicle, where nobody tells it: that of its motor's system. The rig's own may be
// of another one.

import { nominalInput, type UnitCircuitInput } from '../circuit/index.js';
import { type ResolvedUnit, systemOf } from '../profile/index.js';

/** @param supplyV as told; else the rig's, or as much of the motor's voltage as the rig gives of 12 V or 24 V */
export function builtInput(unit: ResolvedUnit, supplyV?: number): UnitCircuitInput {
  const base = nominalInput(unit);
  const rigV = base.supply.voltageV;
  const wanted = unit.load === undefined ? unit.motor.nominalVoltageV : rigV;
  const isSame = systemOf(wanted) === systemOf(rigV);
  const voltageV = supplyV ?? (isSame ? rigV : (rigV / systemOf(rigV)) * wanted);
  return { ...base, supply: { ...base.supply, voltageV } };
}
