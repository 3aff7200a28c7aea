// A relay's capture measured with what its unit says of bench and temperature.

import type { Capture } from '../../capture/index.js';
import { relayBench } from '../../circuit/index.js';
import { measureRelay, type RelayMeasured } from '../../measure/index.js';
import type { RelayProfile, ResolvedUnit } from '../../profile/index.js';

/** @throws RangeError for a unit that names no relay; the profile loader does not let one through. */
export function relayOf(unit: ResolvedUnit): RelayProfile {
  if (unit.relay === undefined) throw new RangeError(`unit ${unit.unit.id} names no relay`);
  return unit.relay;
}

export function measureRelayUnit(unit: ResolvedUnit, capture: Capture): RelayMeasured {
  return measureRelay(capture, {
    rig: unit.rig,
    ...relayBench(unit),
    temperatureC: unit.unit.temperatureC,
    nominalVoltageV: relayOf(unit).nominalVoltageV,
  });
}
