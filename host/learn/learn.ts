// Known good units in, limits out: tolerance intervals whose coverage and confidence are those of the whole verdict.
// Numbers only; what the runs are, and whether they may teach, is looked at before.

import type { Learned } from '../profile/index.js';
import { isOfJoint, jointLimits, mayBeJoint } from './joint.js';
import { LEAST_UNITS, type QuantityLimits, quantityLimits } from './quantity-limits.js';
import { type Column, columnsOf, type GoodRun, restSupply } from './run.js';
import { type Stated, sharedBy } from './tolerance.js';

/** What was on the bench, and what the file says of itself. */
export interface LearnedHead {
  title: string;
  profile: string;
  circuit: string;
  motor: string;
  plan: string;
  rig: string;
  /** Day, ISO 8601. */
  learnedOn: string;
  tool: string;
}

/** What is stated of a verdict unless told otherwise. Choice of this program, no source. */
export const USUAL_STATED: Stated = { coverage: 0.95, confidence: 0.9 };

export type Lesson = { learned: Learned } | { missingUnits: number };

export const unitsOf = (runs: readonly GoodRun[]): string[] => [...new Set(runs.map(({ unit }) => unit))];

/** Limits, or how many further units it takes; undefined `missingUnits` never: at least one quantity must give limits. */
export function learn(
  head: LearnedHead,
  runs: readonly GoodRun[],
  stated: Stated = USUAL_STATED,
): Lesson | { why: string } {
  const units = unitsOf(runs).length;
  if (units < LEAST_UNITS) return { missingUnits: LEAST_UNITS - units };
  const supplies = runs.flatMap(({ measured }) => restSupply(measured) ?? []);
  if (supplies.length < runs.length) return { why: 'no supply voltage was sampled, and limits go with it' };
  const columns = columnsOf(runs);
  // Those alone that give limits share the coverage, so that is found out first.
  const usable = limitsOf(columns, units, stated).filter(({ given }) => 'limits' in given);
  const counted = usable.length;
  if (counted === 0)
    return { why: 'none of the quantities that a good unit can teach was read on all of them' };
  const twoSided = usable.map(({ column }) => column).filter(isOfJoint);
  const isJoint = mayBeJoint(twoSided, units);
  // One half for the single limits, one for the readings taken together.
  const half = isJoint ? sharedBy(stated, 2) : stated;
  const given = limitsOf(columns, units, sharedBy(half, counted)).map(({ column, given: it }) => ({
    ...{ key: column.key, given: it },
  }));
  const without = given.flatMap(({ key, given: it }) => ('why' in it ? [[key, it.why] as const] : []));
  return {
    learned: {
      kind: 'learned',
      version: 1,
      ...head,
      units,
      starts: runs.length,
      ...stated,
      method: methodOf(counted, isJoint),
      supplyV: { from: Math.min(...supplies), to: Math.max(...supplies) },
      temperatureC: ambientOf(runs),
      runs: runs.map(({ unit, run, sha256 }) => ({ unit, run, sha256 })),
      quantities: Object.fromEntries(
        given.flatMap(({ key, given: it }) => ('limits' in it ? [[key, it.limits] as const] : [])),
      ),
      ...(isJoint ? { together: jointLimits(twoSided, half) } : {}),
      ...(without.length > 0 ? { withoutLimits: Object.fromEntries(without) } : {}),
    },
  };
}

const limitsOf = (
  columns: readonly Column[],
  units: number,
  stated: Stated,
): { column: Column; given: QuantityLimits }[] =>
  columns.map((column) => ({ column, given: quantityLimits(column, units, stated) }));

const methodOf = (count: number, isJoint: boolean): string =>
  `normal tolerance limits (two-sided by Howe, one-sided by noncentral t) on unit means with one-way random effects; ` +
  `${isJoint ? 'half of ' : ''}coverage and confidence shared by ${count} limits (Bonferroni)` +
  `${isJoint ? ', half for all readings together' : ''}`;

/** What all runs together may have had. */
function ambientOf(runs: readonly GoodRun[]): Learned['temperatureC'] {
  const all = runs.map(({ temperatureC }) => temperatureC);
  return {
    from: Math.min(...all.map(({ from }) => from)),
    to: Math.max(...all.map(({ to }) => to)),
    told: all.every(({ told }) => told),
  };
}
