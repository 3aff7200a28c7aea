// A plan run on the circuit model as the rig runs it: everything off, then the feed at rest, then the plan's steps.

import type { Capture, Channel, Feed, Position } from '../capture/index.js';
import type { Plan } from '../profile/index.js';
import { simulate } from './simulate.js';
import type { ScheduleEntry, TransientOptions } from './transient.js';
import { buildUnitCircuit } from './unit-circuit.js';
import type { UnitCircuitInput } from './unit-input.js';

/** Everything off before the feed comes on, as a run on the rig starts. */
export const LEAD_IN_S = 0.2;
const SAMPLE_RATE_HZ = 5000;

export interface PlanOptions {
  sampleRateHz?: number;
  leadInS?: number;
  /** Throws from this station of the style instead of where the rig throws. */
  station?: string;
  solver?: TransientOptions;
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
  const thrown: { fromS: number; position: Position; feed: Feed }[] = [
    { fromS: 0, position: 'rest', feed: 'off' },
  ];
  let atS = leadInS;
  for (const { position, durationS, feed, ask } of plan.steps) {
    const asked = ask === undefined ? [] : (controls.asks[ask] ?? []);
    schedule.push({ atS, settings: [...controls.feed[feed], ...positions[position], ...asked] });
    thrown.push({ fromS: atS, position, feed });
    atS += durationS;
  }
  const run = simulate({
    netlist,
    schedule,
    untilS: atS,
    sampleRateHz,
    probes,
    options: { ...solver, keepsEnergy: false },
  });
  let next = 1;
  const position = new Array<Position>(run.timeS.length);
  const fed = new Array<Feed>(run.timeS.length);
  for (let i = 0; i < position.length; i++) {
    while (next < thrown.length && run.timeS[i]! >= thrown[next]!.fromS - 1e-9) next += 1;
    position[i] = thrown[next - 1]!.position;
    fed[i] = thrown[next - 1]!.feed;
  }
  return {
    timeS: run.timeS,
    position,
    feed: fed,
    channels: run.values as Record<Channel, Float64Array>,
    gaps: [],
    sampleRateHz,
    notes: [`simulated from circuit style ${input.style.id}`],
  };
}
