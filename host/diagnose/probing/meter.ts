// Meters of a person at the bench: voltmeter and clamp on the thrown circuit, ohmmeter on what lies unplugged. The solver
// tells what they read; nothing here knows a fault.

import type { Channel } from '../../capture/index.js';
import { GROUND, type Netlist, type Probe, simulate, type UnitCircuit } from '../../circuit/index.js';
import type { RigProfile } from '../../profile/index.js';

/** Long enough for a run-up, short enough for the thumb on the switch. */
const REST_S = 0.35;
const THROW_S = 0.7;
const FEED_ON_S = 0.05;
const RATE_HZ = 2000;
/** A meter's display settles over the last part. */
const SETTLED_S = 0.08;
const SOLVER = { relativeTolerance: 1e-3 };

/** What instruments show; `limited` when the full feed would have tripped the rig. */
export interface Levels {
  rest: Record<string, number>;
  thrown: Record<string, number>;
  /** Highest motor current of the throw, its first half millisecond left out. */
  peakA: number;
  limited: boolean;
}

export type Way = 'forward' | 'reverse';

/**
 * Feed on at rest, then one throw: readings at the end of each. With the limited feed where the full one takes more than
 * the rig lets through.
 * @param extra probes beside the rig's own channels.
 */
export function throwLevels(
  circuit: UnitCircuit,
  way: Way,
  trip: RigProfile['trip'],
  extra: Readonly<Record<string, Probe>> = {},
): Levels {
  const full = thrown(circuit, way, 'full', extra);
  const tripped = overTrip(full.values, trip);
  return tripped
    ? { ...readOff(thrown(circuit, way, 'limited', extra)), limited: true }
    : { ...readOff(full), limited: false };
}

interface Run {
  timeS: Float64Array;
  values: Record<string, Float64Array>;
}

function thrown(
  { netlist, controls, probes }: UnitCircuit,
  way: Way,
  feed: 'limited' | 'full',
  extra: Readonly<Record<string, Probe>>,
): Run {
  return simulate({
    netlist,
    schedule: [
      { atS: 0, settings: [...controls.feed.off, ...controls.position.rest] },
      { atS: FEED_ON_S, settings: controls.feed[feed] },
      { atS: REST_S, settings: controls.position[way] },
    ],
    untilS: REST_S + THROW_S,
    sampleRateHz: RATE_HZ,
    probes: { ...probes, ...extra },
    options: SOLVER,
  });
}

function overTrip(values: Run['values'], trip: RigProfile['trip']): boolean {
  const isOver = (channel: Channel, limitA: number): boolean => {
    let run = 0;
    for (const value of values[channel]!) {
      run = Math.abs(value) > limitA ? run + 1 : 0;
      // At this rate two samples are as long as the board waits.
      if (run >= 2) return true;
    }
    return false;
  };
  return isOver('motorCurrentA', trip.motorCurrentA) || isOver('feedCurrentA', trip.feedCurrentA);
}

function readOff({ timeS, values }: Run): Omit<Levels, 'limited'> {
  const over = (toS: number): Record<string, number> => {
    const to = timeS.findLastIndex((atS) => atS < toS - 1e-9) + 1;
    const from = Math.max(0, to - Math.round(SETTLED_S * RATE_HZ));
    return Object.fromEntries(
      Object.entries(values).map(([name, samples]) => [name, mean(samples.subarray(from, to))]),
    );
  };
  const start = Math.round((REST_S + 0.0005) * RATE_HZ);
  return {
    rest: over(REST_S),
    thrown: over(REST_S + THROW_S),
    peakA: values.motorCurrentA!.subarray(start).reduce((most, value) => Math.max(most, Math.abs(value)), 0),
  };
}

const mean = (values: Float64Array): number => values.reduce((sum, value) => sum + value, 0) / values.length;

/** A bench ohmmeter with four clips and a testing current of up to an ampere. */
const TEST_V = 12;
const TEST_OHM = 12;
/** Display of the meter: beyond it, `open`. */
const MOST_OHM = 1e6;
const METER_S = 1.5;

/** Resistance between two nodes; Infinity when the meter shows `open`. */
export function ohms(netlist: Netlist, plus: string, minus: string): number {
  const { voltageV, currentA } = driven(netlist, plus, minus, {
    voltageV: TEST_V,
    ohm: TEST_OHM,
    untilS: METER_S,
  });
  const resistanceOhm = voltageV / currentA;
  return currentA < TEST_V / MOST_OHM || !(resistanceOhm < MOST_OHM)
    ? Number.POSITIVE_INFINITY
    : Math.max(0, resistanceOhm);
}

/** A supply across two nodes: what stands there and flows at the end, and the most that flowed. */
export function driven(
  { elements }: Netlist,
  plus: string,
  minus: string,
  source: { voltageV: number; ohm: number; untilS: number },
): { voltageV: number; currentA: number; peakA: number } {
  const meter: Netlist['elements'][number] = {
    kind: 'supply',
    id: 'meter',
    plus: 'meter+',
    minus,
    voltageV: source.voltageV,
    sourceResistanceOhm: source.ohm,
  };
  const link: Netlist['elements'][number] = {
    kind: 'resistor',
    id: 'clip',
    a: 'meter+',
    b: plus,
    resistanceOhm: 1e-6,
  };
  // A piece that is unplugged floats; the solver wants every node tied, so far beyond the meter's reach.
  const tether: Netlist['elements'][number][] =
    minus === GROUND ? [] : [{ kind: 'resistor', id: 'tether', a: minus, b: GROUND, resistanceOhm: 1e9 }];
  const run = simulate({
    netlist: { elements: [...elements, meter, link, ...tether] },
    schedule: [],
    untilS: source.untilS,
    sampleRateHz: RATE_HZ,
    probes: {
      voltageV: { kind: 'voltage', plus, ...(minus === GROUND ? {} : { minus }) },
      currentA: { kind: 'current', element: 'clip' },
    },
    options: SOLVER,
  });
  const last = Math.round(SETTLED_S * RATE_HZ);
  const end = (name: string): number => mean(run.values[name]!.subarray(-last));
  return {
    voltageV: end('voltageV'),
    currentA: end('currentA'),
    peakA: run.values.currentA!.reduce((most, value) => Math.max(most, Math.abs(value)), 0),
  };
}

/** The rotor does not turn while it is measured, as a person holds the shaft. */
export function held(netlist: Netlist, motorId: string): Netlist {
  return {
    elements: netlist.elements.map((element) =>
      element.id === motorId && element.kind === 'motor' ? { ...element, rotorHeld: true } : element,
    ),
  };
}
