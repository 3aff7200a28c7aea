// A plan run on the circuit model as the rig runs it: everything off, then the feed at rest, then the plan's steps.

import type { Capture, Channel } from '../capture/index.js';
import { LEAD_IN_S, type Plan } from '../profile/index.js';
import { heldFrom } from './held-from.js';
import { simulate } from './simulate.js';
import { CircuitError, type ScheduleEntry, type TransientOptions } from './transient.js';
import { buildUnitCircuit } from './unit-circuit.js';
import type { UnitCircuitInput } from './unit-input.js';

const SAMPLE_RATE_HZ = 5000;

export interface PlanOptions {
  sampleRateHz?: number;
  leadInS?: number;
  /** Throws from this station of the style instead of where the rig throws. */
  station?: string;
  /** Coarser than the solver's own; where that finds no way on, its own is taken. */
  solver?: TransientOptions;
}

function orFiner<T>(coarse: () => T, fine: () => T): T {
  try {
    return coarse();
  } catch (error) {
    if (error instanceof CircuitError) return fine();
    throw error;
  }
}

/**
 * An ideal capture: no noise, no quantisation, all six channels, the commanded position at each sample.
 * @throws CircuitError when the circuit cannot be solved; RangeError for a station the style does not have.
 */
export function simulatePlan(
  input: UnitCircuitInput,
  plan: Pick<Plan, 'steps'>,
  options: PlanOptions = {},
): Capture {
  const { sampleRateHz = SAMPLE_RATE_HZ, leadInS = LEAD_IN_S, station, solver } = options;
  const { netlist, controls, probes } = buildUnitCircuit(input);
  const positions = station === undefined ? controls.position : controls.stations[station];
  if (positions === undefined) {
    throw new RangeError(`simulatePlan: circuit style ${input.style.id} has no station ${station}`);
  }
  const schedule: ScheduleEntry[] = [{ atS: 0, settings: [...controls.feed.off, ...positions.rest] }];
  const fromS = [0];
  let atS = leadInS;
  for (const { position, durationS, feed, ask } of plan.steps) {
    const asked = ask === undefined ? [] : (controls.asks[ask] ?? []);
    schedule.push({ atS, settings: [...controls.feed[feed], ...positions[position], ...asked] });
    fromS.push(atS);
    atS += durationS;
  }
  const solved = (options: TransientOptions): ReturnType<typeof simulate> =>
    simulate({
      netlist,
      schedule,
      untilS: atS,
      sampleRateHz,
      probes,
      options: { ...options, keepsEnergy: false },
    });
  const run =
    solver === undefined
      ? solved({})
      : orFiner(
          () => solved(solver),
          () => solved({}),
        );
  return {
    timeS: run.timeS,
    position: heldFrom(run.timeS, fromS, ['rest', ...plan.steps.map(({ position }) => position)]),
    feed: heldFrom(run.timeS, fromS, ['off', ...plan.steps.map(({ feed }) => feed)]),
    channels: run.values as Record<Channel, Float64Array>,
    gaps: [],
    sampleRateHz,
    notes: [`simulated from circuit style ${input.style.id}`],
  };
}
