// A run as a real bench would deliver it, from the circuit model: lead-in with everything off, contact bounce,
// worn brushes that drop out, noise, 10-bit rounding, gain and offset errors of the rig, and its over-current stop.

import type { Capture, Channel, Feed, Position } from '../../host/capture/index.js';
import {
  buildUnitCircuit,
  type Netlist,
  type ScheduleEntry,
  simulate,
  type UnitCircuitInput,
} from '../../host/circuit/index.js';
import { tripIndex } from '../../host/diagnose/index.js';
import { LEAD_IN_S, type ResolvedUnit } from '../../host/profile/index.js';
import { seeded } from '../measure/closed-form.js';

export interface BenchRun {
  capture: Capture;
  stop: 'over-current' | undefined;
}

export interface BenchOptions {
  seed: number;
  /** Deviation of the noise, in counts of each channel. */
  noiseCounts?: number;
  /** Random losses of the brush contact: how many a second, how long each. */
  dropouts?: { perS: number; lengthS: number };
  /** What comes and goes by itself: a change of the circuit, and settings at instants of the run. */
  intermittent?: { edit: (netlist: Netlist) => Netlist; schedule: readonly ScheduleEntry[] };
  /** Off leaves gain and offset exact. */
  rigErrors?: boolean;
}

const RATE_HZ = 5000;

export function benchRun(unit: ResolvedUnit, given: UnitCircuitInput, options: BenchOptions): BenchRun {
  const { uniform, normal } = seeded(options.seed);
  const bounceS = given.bounceS ?? [0.0004, 0.0009, 0.0013, 0.0016].map((at) => at + 0.0002 * uniform());
  const input: UnitCircuitInput = {
    ...given,
    bounceS,
  };
  const circuit = buildUnitCircuit(input);
  const schedule: ScheduleEntry[] = [
    { atS: 0, settings: [...circuit.controls.feed.off, ...circuit.controls.position.rest] },
  ];
  const edges: { atS: number; position: Position; feed: Feed }[] = [
    { atS: 0, position: 'rest', feed: 'off' },
  ];
  let atS = LEAD_IN_S;
  for (const step of unit.plan.steps) {
    schedule.push({
      atS,
      settings: [...circuit.controls.feed[step.feed], ...circuit.controls.position[step.position]],
    });
    edges.push({ atS, position: step.position, feed: step.feed });
    atS += step.durationS;
  }
  const { edit, schedule: more } = options.intermittent ?? { edit: (same: Netlist) => same, schedule: [] };
  const run = simulate({
    netlist: edit(circuit.netlist),
    schedule: [...schedule, ...more].sort((a, b) => a.atS - b.atS),
    untilS: atS,
    sampleRateHz: RATE_HZ,
    probes: circuit.probes,
  });
  // A lifted brush: no current, and the leads stand at their unloaded voltage; the surge at landing is left out.
  const lifted = new Uint8Array(run.timeS.length);
  if (options.dropouts) {
    const { perS, lengthS } = options.dropouts;
    for (let t = -Math.log(1 - uniform()) / perS; t < atS; t += lengthS - Math.log(1 - uniform()) / perS) {
      lifted.fill(1, Math.round(t * RATE_HZ), Math.round((t + lengthS) * RATE_HZ));
    }
    const { feedCurrentA, motorCurrentA, leadAVoltageV, leadBVoltageV, supplyVoltageV } = run.values;
    lifted.forEach((up, i) => {
      const current = motorCurrentA![i]!;
      if (!up || Math.abs(current) < 0.3) return;
      const forward = leadAVoltageV![i]! > leadBVoltageV![i]!;
      leadAVoltageV![i] = forward ? supplyVoltageV![i]! : 0;
      leadBVoltageV![i] = forward ? 0 : supplyVoltageV![i]!;
      motorCurrentA![i] = 0;
      feedCurrentA![i] = 0;
    });
  }
  const seenAt = Array.from(run.timeS, (t) => edges.findLast((edge) => edge.atS <= t + 1e-9)!);
  const position = seenAt.map((edge) => edge.position);
  const feed = seenAt.map((edge) => edge.feed);
  const channels: Capture['channels'] = {};
  for (const [name, values] of Object.entries(run.values) as [Channel, Float64Array][]) {
    const scale = unit.rig.scales[name];
    const errors = options.rigErrors ?? true;
    const gain = errors ? 1 + (scale.gainUncertaintyPercent / 100) * normal() : 1;
    const offset = errors ? scale.offsetUncertainty * normal() : 0;
    const top = 2 ** unit.rig.adcBits - 1;
    channels[name] = values.map((value) => {
      const count =
        (gain * value + offset - scale.atZeroCount) / scale.perCount +
        (options.noiseCounts ?? 0.7) * normal();
      return scale.atZeroCount + scale.perCount * Math.min(top, Math.max(0, Math.round(count)));
    });
  }
  const capture: Capture = {
    timeS: run.timeS,
    position,
    feed,
    channels,
    gaps: [],
    sampleRateHz: RATE_HZ,
    notes: [],
  };
  const trip = tripIndex(capture, unit.rig.trip);
  if (trip === undefined) return { capture, stop: undefined };
  const count = trip + 3;
  return {
    capture: {
      ...capture,
      timeS: capture.timeS.slice(0, count),
      position: position.slice(0, count),
      feed: feed.slice(0, count),
      channels: Object.fromEntries(
        Object.entries(channels).map(([name, values]) => [name, values.slice(0, count)]),
      ) as Capture['channels'],
    },
    stop: 'over-current',
  };
}
