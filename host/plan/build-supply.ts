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

/**
 * With relays that pull in there, where those of the profile are for more: by as much less voltage, at the same watts. What
 * is wrong with them is told of their voltage; everything behind them is solved as if they were taken out.
 */
export function onPullingRelays(input: UnitCircuitInput): UnitCircuitInput {
  const { relay, supply } = input;
  const systemV = systemOf(supply.voltageV);
  if (relay === undefined || systemOf(relay.nominalVoltageV) <= systemV) return input;
  const part = systemV / systemOf(relay.nominalVoltageV);
  return {
    ...input,
    relay: {
      ...relay,
      pullInVoltageV: part * relay.pullInVoltageV,
      dropOutVoltageV: part * relay.dropOutVoltageV,
      coilResistanceOhm: part ** 2 * relay.coilResistanceOhm,
      coilInductanceH: part ** 2 * relay.coilInductanceH,
    },
  };
}
