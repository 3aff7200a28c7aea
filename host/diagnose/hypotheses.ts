// What may be the matter with a unit: every fault that it can have, and that nothing is, each with its weight.

import {
  clipFaultsOf,
  type Fault,
  faultOf,
  faultsOfUnit,
  furtherConditionsOf,
  rigFaultsOf,
} from '../circuit/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { anotherMotor } from './another-motor.js';
import { weighedForMotorAlone } from './motor-alone.js';
import { HEALTHY } from './nothing-wrong.js';

export interface Hypothesis extends Fault {
  /** Relative weight before anything was measured. */
  prior: number;
  dropouts: { motor: number; harness: number };
}

/** A run comes here because some check did not pass, yet most units are good; weights are common practice, no source. */
const HEALTHY_PRIOR = 3;
/** Chance of a loss of the current, or of uneven ripples, from which a cause is known by it. Choice of this program, no source. */
export const KNOWN_BY = 0.1;
/** Chance that a circuit without a loose contact shows a dropout all the same. */
export const STRAY_DROPOUT = 0.01;

/** The rig is the last to accuse of what a unit can do as well; common practice, no source. */
const RIG_PRIOR = 0.2;

export const weighed = (fault: Fault): Hypothesis => ({
  ...fault,
  prior: fault.commonness * (fault.owner === 'rig' ? RIG_PRIOR : 1),
  dropouts: { motor: STRAY_DROPOUT, harness: STRAY_DROPOUT, ...fault.dropouts },
});

export const nothingWrong: Hypothesis = weighed(
  faultOf([], HEALTHY, 'none', {
    cause: 'nothing in the readings points to a fault',
    nextProbe: 'Repeat the run; if it reads the same, the limits of the profile are the matter.',
    does: 'look',
    edits: [],
    commonness: HEALTHY_PRIOR,
  }),
);

/** Everything that may be the matter with a unit of this profile, the good unit first. */
export function hypothesesOf(unit: ResolvedUnit): Hypothesis[] {
  const { subject } = unit.unit;
  // Only what is being judged can be the matter: a motor alone has no harness, a harness on a known load no motor.
  const conditions = furtherConditionsOf(unit.style).filter(({ owner, unevenRipple, byHandOnly }) => {
    if (subject === 'relay') return false;
    if (byHandOnly && unit.plan.throwBy !== 'operator') return false;
    if (owner !== 'motor') return subject !== 'motor';
    return subject !== 'harness' && (unevenRipple === undefined || unit.motor.ripple !== undefined);
  });
  const other = anotherMotor(unit);
  const faults = [
    ...faultsOfUnit(unit),
    ...clipFaultsOf(unit.style),
    ...rigFaultsOf(unit.style),
    ...conditions,
    ...(other === undefined ? [] : [other]),
  ];
  return [nothingWrong, ...weighedForMotorAlone(unit, faults.map(weighed))];
}
