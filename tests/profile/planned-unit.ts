// A profile whose switch moves when the plan says so, as it would in the hand of somebody who never errs: for tests that
// drive a bench without a person and want the switch and its jumpers on it.

import { loadUnit, type ResolvedUnit, thrownAsPlanned } from '../../host/profile/index.js';

export function plannedUnit(...given: Parameters<typeof loadUnit>): ResolvedUnit {
  const unit = loadUnit(...given);
  return unit.unit.throwBy === undefined ? thrownAsPlanned(unit) : unit;
}
