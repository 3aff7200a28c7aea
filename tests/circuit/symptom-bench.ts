// A bench for symptom tests: supply 13.0 V behind 0.04 Ohm, feed 0.03, ground 0.02, each contact 0.005, motor 0.75 Ohm
// whose friction asks 4.0 A. Reads lead states and currents at rest, thrown and just after release.

import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { parse } from 'yaml';
import type { Position } from '../../host/capture/index.js';
import {
  applyFault,
  buildUnitCircuit,
  type CircuitElement,
  type CircuitEvent,
  type FaultEdit,
  faultById,
  type Netlist,
  type Probe,
  type ScheduleEntry,
  simulate,
  type UnitCircuitInput,
} from '../../host/circuit/index.js';
import { type CircuitStyle, circuitStyleSchema } from '../../host/profile/index.js';

export const SUPPLY_V = 13;
/** Copper wire of 0.02 Ohm at 25 C: 1.5 mm2 at 58 MS/m, 0.00393 per kelvin from 20 C (IEC 60028). */
const FEED_WIRE_M = (0.02 * 58 * 1.5) / (1 + 0.00393 * 5);
const KT = 0.03;

/** Ids of all styles with a motor that ship, so that a new one is tested by being there. */
export function styleIds(): string[] {
  return readdirSync(fileURLToPath(new URL('../../profiles/circuits', import.meta.url)))
    .filter((name) => name.endsWith('.yaml'))
    .map((name) => name.replace('.yaml', ''))
    .filter((id) => readStyle(id).elements.some(({ kind }) => kind === 'motor'));
}

export function readStyle(id: string): CircuitStyle {
  const path = fileURLToPath(new URL(`../../profiles/circuits/${id}.yaml`, import.meta.url));
  return circuitStyleSchema.parse(parse(readFileSync(path, 'utf8')));
}

/** Every wire that is not the feed or the ground without resistance worth naming. */
export function worked(style: CircuitStyle): CircuitStyle {
  const elements = style.elements.map((element) =>
    element.kind === 'wire' && element.role !== 'feed' && element.role !== 'ground'
      ? { ...element, lengthM: 1e-3, areaMm2: 1.5 }
      : element,
  );
  return { ...style, elements };
}

/** A heavy rotor keeps its speed through a release; time constant 0.2 s. */
export function workedInput(style: CircuitStyle, change: Partial<UnitCircuitInput> = {}): UnitCircuitInput {
  return {
    style: worked(style),
    motor: {
      id: 'worked',
      title: 'worked',
      kind: 'motor',
      nominalVoltageV: 12,
      origin: 'generic',
      resistanceOhm: 0.75,
      inductanceH: 1e-3,
      backEmfVsPerRad: KT,
      torqueNmPerA: KT,
      inertiaKgM2: (0.2 * KT * KT) / 0.75,
      viscousNms: 0,
      coulombNm: 4 * KT,
      brushDropV: 0,
      brushKneeA: 0.2,
      longestHoldS: 5,
    },
    relay: {
      id: 'worked',
      title: 'worked',
      kind: 'relay',
      nominalVoltageV: 12,
      origin: 'generic',
      coilResistanceOhm: 85,
      coilInductanceH: 0.3,
      closedInductanceRatio: 1.4,
      pullInVoltageV: 7,
      dropOutVoltageV: 2.6,
      operateS: 0.006,
      releaseS: 0.0035,
      transferS: 0.0008,
      makeResistanceOhm: 0.005,
      breakResistanceOhm: 0.005,
      suppression: { kind: 'resistor', resistanceOhm: 680 },
    },
    rig: {
      id: 'worked',
      title: 'worked',
      kind: 'rig',
      scales: {} as UnitCircuitInput['rig']['scales'],
      adcBits: 10,
      supply: { voltageV: SUPPLY_V, sourceResistanceOhm: 0.04 },
      feedShuntOhm: 0.005,
      feedContactOhm: 0.005,
      motorShuntOhm: 1e-5,
      limitedFeedOhm: 12,
      leadLoadOhm: 33_000,
      leadClampV: 30,
      deadTimeS: 0.3,
      longestHoldS: 5,
      trip: { motorCurrentA: 30, feedCurrentA: 30, samples: 3 },
    },
    wiring: { lengthM: FEED_WIRE_M, areaMm2: 1.5 },
    supply: { voltageV: SUPPLY_V, sourceResistanceOhm: 0.04 },
    temperatureC: 25,
    ...change,
  };
}

export interface Reading {
  leadAV: number;
  leadBV: number;
  supplyV: number;
  feedA: number;
  motorA: number;
  coilA: number;
  speedRadS: number;
}

export interface Symptom {
  rest: Reading;
  thrown: Reading;
  /** Largest motor current of the throw, with its sign. */
  peakA: number;
  /** A millisecond after the last contact of the release has moved. */
  released: Reading;
  events: CircuitEvent[];
}

export interface Trial {
  faults?: readonly string[];
  /** Edits beyond the style's own faults. */
  edits?: readonly FaultEdit[];
  add?: readonly CircuitElement[];
  /** What happens beside the throw and its release. */
  also?: readonly ScheduleEntry[];
  position?: Position;
  station?: string;
  change?: Partial<UnitCircuitInput>;
}

export const THROW_S = 0.2;
export const RELEASE_S = 2.9;
const END_S = 3.1;
const RATE_HZ = 10_000;

export function trialRun(style: CircuitStyle, trial: Trial, extra: Record<string, Probe> = {}) {
  const faults = (trial.faults ?? []).map((id) => faultById({ style }, id));
  const input = workedInput(style, { ...trial.change, faults });
  const circuit = buildUnitCircuit(input);
  const edited = applyFault(circuit.netlist, { id: 'trial', edits: trial.edits ?? [] });
  const netlist: Netlist = { elements: [...edited.elements, ...(trial.add ?? [])] };
  const positions =
    trial.station === undefined ? circuit.controls.position : circuit.controls.stations[trial.station]!;
  return simulate({
    netlist,
    schedule: [
      { atS: 0, settings: [...circuit.controls.feed.full, ...positions.rest] },
      { atS: THROW_S, settings: positions[trial.position ?? 'forward'] },
      { atS: RELEASE_S, settings: positions.rest },
      ...(trial.also ?? []),
    ].sort((one, two) => one.atS - two.atS),
    untilS: END_S,
    sampleRateHz: RATE_HZ,
    probes: { ...circuit.probes, speed: { kind: 'speed', element: circuit.motorId }, ...extra },
  });
}

export function symptom(style: CircuitStyle, trial: Trial): Symptom {
  const { values, events } = trialRun(style, trial);
  const at = (timeS: number): Reading => {
    const k = Math.round(timeS * RATE_HZ);
    return {
      leadAV: values.leadAVoltageV![k]!,
      leadBV: values.leadBVoltageV![k]!,
      supplyV: values.supplyVoltageV![k]!,
      feedA: values.feedCurrentA![k]!,
      motorA: values.motorCurrentA![k]!,
      coilA: values.coilCurrentA![k]!,
      speedRadS: values.speed![k]!,
    };
  };
  const contact = /^(closed|opened|rest|thrown|forward|reverse|(break|make)-(opened|closed))$/;
  const moved = events.filter(
    ({ timeS, what }) => timeS > RELEASE_S && timeS < RELEASE_S + 0.05 && contact.test(what),
  );
  const thrown = values.motorCurrentA!.subarray(THROW_S * RATE_HZ, RELEASE_S * RATE_HZ);
  return {
    rest: at(THROW_S - 0.001),
    thrown: at(RELEASE_S - 0.001),
    peakA: thrown.reduce((most, value) => (Math.abs(value) > Math.abs(most) ? value : most), 0),
    released: at((moved.at(-1)?.timeS ?? RELEASE_S + 0.02) + 0.001),
    events,
  };
}

/** H within 1.0 V of the supply, L 1.0 V or less, M between; a short is told apart by more than 40 A from the feed. */
export function leads({ leadAV, leadBV, supplyV, feedA }: Reading): string {
  if (feedA > 40) return 'short';
  const state = (voltageV: number): string =>
    voltageV >= supplyV - 1 ? 'H' : voltageV <= 1 && voltageV >= -1 ? 'L' : 'M';
  return `${state(leadAV)}/${state(leadBV)}`;
}

/** `+` or `-` for a running motor, `dead H/L` and the like for one that stands, `short`. */
export function told(reading: Reading): string {
  const states = leads(reading);
  if (states === 'short') return 'short';
  if (Math.abs(reading.motorA) > 1 && Math.abs(reading.speedRadS) > 10) return reading.motorA > 0 ? '+' : '-';
  return `dead ${states}`;
}

/** Whether a lead follows 10 kOhm to the supply at rest: an open lead does, a grounded one does not. */
export function floatsAtRest(style: CircuitStyle, trial: Trial, lead: 'a' | 'b'): boolean {
  const pull: CircuitElement = {
    kind: 'resistor',
    id: 'pull',
    a: 'rig.supply',
    b: `rig.motor-${lead}`,
    resistanceOhm: 10_000,
  };
  const { rest } = symptom(style, { ...trial, add: [...(trial.add ?? []), pull] });
  return (lead === 'a' ? rest.leadAV : rest.leadBV) > 1;
}
