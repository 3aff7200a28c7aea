// Every hypothesis about a relay by itself, simulated once on a shortened plan and measured like a real run.

import {
  CircuitError,
  faultsOfUnit,
  nominalInput,
  simulatePlan,
  type UnitCircuitInput,
} from '../../circuit/index.js';
import { HEALTHY } from '../../diagnose/index.js';
import type { RelayMeasured } from '../../measure/index.js';
import type { Plan, ResolvedUnit } from '../../profile/index.js';
import { passesBy } from './coil-checks.js';
import { measureRelayUnit } from './measuring.js';

export interface RelayHypothesis {
  id: string;
  sentence: string;
  nextProbe: string;
  prior: number;
  group?: string;
}

export interface RelayPattern {
  hypothesis: RelayHypothesis;
  /** Ways that it may show: stopped before the whole supply, where the rig would stop, and run to the end. */
  ways: RelayMeasured[];
}

/** A run comes here because some check did not pass, yet most relays are good (common practice, no source). */
const HEALTHY_PRIOR = 3;
/** What hands meet oftenest, by the end of the id (common practice, no source). */
const COMMON =
  /-(?:coil-open|make-welded|make-burnt|make-pitted|break-burnt|break-pitted|four-pin|diode-reversed)$/;
const SOLVER = { relativeTolerance: 2e-3 };
/** Commands fall between two samples on the rig; half a sample off, so that no edge is always early or always late. */
const LEAD_IN_S = 0.2001;
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

/** A rig does not put the whole supply on a coil that the test current goes past; another bench may have. */
function waysOf(unit: ResolvedUnit, input: UnitCircuitInput): RelayMeasured[] {
  const plan = shortPlan(unit.plan);
  const run = (steps: Plan['steps']) =>
    measureRelayUnit(unit, simulatePlan(input, { steps }, { leadInS: LEAD_IN_S, solver: SOLVER }));
  const firstOn = plan.steps.findIndex(({ position }) => position === 'forward');
  if (firstOn > 0) {
    const before = run(plan.steps.slice(0, firstOn));
    if (passesBy(before)) return [before, run(plan.steps)];
  }
  return [run(plan.steps)];
}

export function relayPatterns(unit: ResolvedUnit): RelayPattern[] {
  const good = nominalInput(unit);
  const healthy: RelayPattern = {
    hypothesis: {
      id: HEALTHY,
      sentence: 'Nothing in the readings points to a fault.',
      nextProbe: 'Repeat the run; if it reads the same, the limits of the profile are the matter.',
      prior: HEALTHY_PRIOR,
    },
    ways: waysOf(unit, good),
  };
  const faults = faultsOfUnit(unit).flatMap(({ id, sentence, nextProbe, group }): RelayPattern[] => {
    try {
      return [
        {
          hypothesis: {
            id,
            sentence,
            nextProbe,
            prior: COMMON.test(id) ? 2 : 1,
            ...(group === undefined ? {} : { group }),
          },
          ways: waysOf(unit, { ...good, faults: [id] }),
        },
      ];
    } catch (error) {
      // A circuit that cannot be solved explains no reading.
      if (error instanceof CircuitError) return [];
      throw error;
    }
  });
  return [healthy, ...faults];
}
