// What every cause on a relay's list reads: simulated on a shortened plan and measured like a real run.

import { simulatePlan, type UnitCircuitInput } from '../../circuit/index.js';
import { CausesWork, type Library, type LibraryEntry } from '../../diagnose/index.js';
import type { RelayMeasured } from '../../measure/index.js';
import { LEAD_IN_S, type Plan } from '../../profile/index.js';
import { passesBy } from './coil-checks.js';
import { measureRelayUnit } from './measuring.js';

export type RelayPattern = LibraryEntry<RelayMeasured>;
export type RelayLibrary = Library<RelayMeasured, 'relay'>;

const SOLVER = { relativeTolerance: 2e-3 };
/** Commands fall between two samples on the rig; half a sample off, so that no edge is always early or always late. */
const OFF_GRID_LEAD_IN_S = LEAD_IN_S + 0.0001;
const MOST_REPEATS = 2;
/** Long enough for the style's own turning of the supply. */
const LONGEST_STEP_S = 12;

/** The plan with no stretch made more often than twice. */
export function shortPlan({ steps }: Plan): Pick<Plan, 'steps'> {
  const kept: Plan['steps'] = [];
  let key = '';
  let repeats = 0;
  for (let i = 0; i < steps.length; i++) {
    const step = { ...steps[i]!, durationS: Math.min(LONGEST_STEP_S, steps[i]!.durationS) };
    const next = steps[i + 1];
    if (step.position === 'rest' || next === undefined || next.position !== 'rest') {
      kept.push(step);
      continue;
    }
    const own = `${step.position} ${step.feed}`;
    repeats = own === key ? repeats + 1 : 1;
    key = own;
    if (repeats <= MOST_REPEATS) kept.push(step);
    // The rest after a dropped throw goes with it, unless a person is asked for something in it.
    else if (next.ask === undefined) i += 1;
    if (next.ask !== undefined) repeats = 0;
    const after = steps[i + 2];
    if (after?.ask !== undefined) key = '';
  }
  return { steps: kept };
}

export class RelayLibraryWork extends CausesWork<RelayMeasured, 'relay'> {
  protected override readonly kind = 'relay';
  readonly #plan = shortPlan(this.unit.plan);

  /** A rig does not put the whole supply on a coil that the test current goes past; another bench may have. */
  protected override read(input: UnitCircuitInput): RelayMeasured[] {
    const { steps } = this.#plan;
    const firstOn = steps.findIndex(({ position }) => position === 'forward');
    if (firstOn > 0) {
      const before = this.#run(input, steps.slice(0, firstOn));
      if (passesBy(before)) return [before, this.#run(input, steps)];
    }
    return [this.#run(input, steps)];
  }

  #run(input: UnitCircuitInput, steps: Plan['steps']): RelayMeasured {
    const capture = simulatePlan(input, { steps }, { leadInS: OFF_GRID_LEAD_IN_S, solver: SOLVER });
    return measureRelayUnit(this.unit, capture);
  }
}
