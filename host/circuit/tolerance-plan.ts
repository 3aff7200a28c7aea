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
  const { position, feed } = commandsAt(run.timeS, thrown);
  return {
    timeS: run.timeS,
    position,
    feed,
    channels: run.values as Record<Channel, Float64Array>,
    gaps: [],
    sampleRateHz,
    notes: [`simulated from circuit style ${input.style.id}`],
  };
}

/** What was commanded at each sample. */
function commandsAt(
  timeS: Float64Array,
  thrown: readonly { fromS: number; position: Position; feed: Feed }[],
): { position: Position[]; feed: Feed[] } {
  const position = new Array<Position>(timeS.length);
  const feed = new Array<Feed>(timeS.length);
  let i = 0;
  thrown.forEach((command, k) => {
    const endsS = (thrown[k + 1]?.fromS ?? Number.POSITIVE_INFINITY) - 1e-9;
    for (; i < timeS.length && timeS[i]! < endsS; i++) {
      position[i] = command.position;
      feed[i] = command.feed;
    }
  });
  return { position, feed };
}
