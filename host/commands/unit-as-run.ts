// A unit as this call wants it run or judged: its plan with or without the turning of a relay's supply, and the ambient
// of the day where somebody read a thermometer.

import { resolve } from 'node:path';
import {
  type Instead,
  loadUnit,
  type ResolvedUnit,
  USUAL_PLAN,
  withLearned,
  withoutRamp,
} from '../profile/index.js';
import { UsageError } from './command.js';
import { celsiusTold } from './typed-units.js';

/** How far a thermometer on the wall may be from the unit on the bench, C (common practice, no source). */
const THERMOMETER_C = 3;
const AMBIENT = { least: -40, most: 85, example: 12 } as const;

export interface AsRun {
  'no-ramp'?: boolean | undefined;
  'ambient-c'?: string | undefined;
  /** File of limits from known good units. */
  learned?: string | undefined;
}

/** Two seconds of throws and rests. */
const SHORT_PLAN = 'short-throws';

/** @throws UsageError for a unit whose plan has nothing to leave out, and for an ambient that is none. */
export function unitAsRun(unit: ResolvedUnit, told: AsRun): ResolvedUnit {
  const { learned } = told;
  const taught = learned === undefined ? unit : withLearned(unit, resolve(learned));
  return withAmbient(withRamp(taught, told['no-ramp']), told['ambient-c']);
}

function withRamp(unit: ResolvedUnit, noRamp: boolean | undefined): ResolvedUnit {
  if (noRamp !== true) return unit;
  const plan = withoutRamp(unit.plan);
  if (plan === unit.plan)
    throw new UsageError(`--no-ramp goes with a relay alone; plan ${unit.plan.id} turns no supply`);
  return { ...unit, plan };
}

function withAmbient(unit: ResolvedUnit, ambientC: string | undefined): ResolvedUnit {
  const nominal = celsiusTold('ambient-c', ambientC, AMBIENT);
  if (nominal === undefined) return unit;
  return { ...unit, unit: { ...unit.unit, temperatureC: { nominal, plusMinus: THERMOMETER_C } } };
}

/**
 * The unit with the short plan in place of the usual one where that is wanted; a unit whose plan is another for a reason
 * (a held rotor, a way to its limits, a hand that throws) keeps it. @throws InputError
 */
export function loadAsRun(ref: string, isShort: boolean | undefined, instead: Instead = {}): ResolvedUnit {
  const unit = loadUnit(ref, undefined, instead);
  const fits = instead.plan === undefined && unit.plan.id === USUAL_PLAN && unit.plan.throwBy !== 'operator';
  return isShort && fits ? loadUnit(ref, undefined, { ...instead, plan: SHORT_PLAN }) : unit;
}
