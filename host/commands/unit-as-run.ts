// A unit as this call wants it run or judged: its plan with or without the turning of a relay's supply.

import { type ResolvedUnit, withoutRamp } from '../profile/index.js';
import { UsageError } from './command.js';

/** @throws UsageError for a unit whose plan has nothing to leave out. */
export function unitAsRun(unit: ResolvedUnit, noRamp: boolean | undefined): ResolvedUnit {
  if (noRamp !== true) return unit;
  const plan = withoutRamp(unit.plan);
  if (plan === unit.plan)
    throw new UsageError(`--no-ramp goes with a relay alone; plan ${unit.plan.id} turns no supply`);
  return { ...unit, plan };
}
