// A unit as this call wants it run or judged: its plan with or without the turning of a relay's supply, and the ambient
// of the day where somebody read a thermometer.

import { type ResolvedUnit, withoutRamp } from '../profile/index.js';
import { UsageError } from './command.js';

/** How far a thermometer on the wall may be from the unit on the bench, C (common practice, no source). */
const THERMOMETER_C = 3;
const COLDEST_C = -40;
const HOTTEST_C = 85;

export interface AsRun {
  'no-ramp'?: boolean | undefined;
  'ambient-c'?: string | undefined;
}

/** @throws UsageError for a unit whose plan has nothing to leave out, and for an ambient that is none. */
export function unitAsRun(unit: ResolvedUnit, told: AsRun): ResolvedUnit {
  return withAmbient(withRamp(unit, told['no-ramp']), told['ambient-c']);
}

function withRamp(unit: ResolvedUnit, noRamp: boolean | undefined): ResolvedUnit {
  if (noRamp !== true) return unit;
  const plan = withoutRamp(unit.plan);
  if (plan === unit.plan)
    throw new UsageError(`--no-ramp goes with a relay alone; plan ${unit.plan.id} turns no supply`);
  return { ...unit, plan };
}

function withAmbient(unit: ResolvedUnit, ambientC: string | undefined): ResolvedUnit {
  if (ambientC === undefined) return unit;
  const nominal = Number(ambientC);
  if (ambientC.trim() === '' || !(nominal >= COLDEST_C && nominal <= HOTTEST_C))
    throw new UsageError(
      `--ambient-c '${ambientC}' should be degrees Celsius from ${COLDEST_C} to ${HOTTEST_C}, such as 12`,
    );
  return { ...unit, unit: { ...unit.unit, temperatureC: { nominal, plusMinus: THERMOMETER_C } } };
}
