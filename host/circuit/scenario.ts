// A circuit with its schedule stated completely in one file, so that anybody can hold the solver against another
// programme. No profile, no default that matters: what is not written is not there. Pure; reading files is for others.

import { z } from 'zod';
import { type Capture, CHANNELS, type Channel, type Position } from '../capture/index.js';
import type { CircuitElement, ControlSetting, Probe } from './netlist.js';
import { simulate } from './simulate.js';

const positive = z.number().positive();
const nonNegative = z.number().nonnegative();
const node = z.string().min(1);
/** A constant, or points [time s, value] joined by straight lines and held after the last. */
const waveform = z.union([z.number(), z.array(z.tuple([z.number(), z.number()])).min(1)]);
const bounceS = z.array(positive).optional();
const two = { id: z.string().min(1), a: node, b: node };

const element = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('supply'),
    id: z.string(),
    plus: node,
    minus: node,
    voltageV: waveform,
    sourceResistanceOhm: nonNegative,
    currentLimitA: positive.optional(),
  }),
  z.strictObject({ kind: z.literal('resistor'), ...two, resistanceOhm: positive }),
  z.strictObject({
    kind: z.literal('wire'),
    ...two,
    lengthM: positive,
    areaMm2: positive.optional(),
    awg: z.number().optional(),
    temperatureC: z.number(),
  }),
  z.strictObject({
    kind: z.literal('inductor'),
    ...two,
    inductanceH: positive,
    initialCurrentA: z.number().optional(),
  }),
  z.strictObject({
    kind: z.literal('capacitor'),
    ...two,
    capacitanceF: positive,
    initialVoltageV: z.number().optional(),
  }),
  z.strictObject({
    kind: z.literal('diode'),
    id: z.string(),
    anode: node,
    cathode: node,
    forwardVoltageV: nonNegative,
    onResistanceOhm: positive,
  }),
  z.strictObject({
    kind: z.literal('clamp'),
    id: z.string(),
    anode: node,
    cathode: node,
    forwardVoltageV: nonNegative,
    clampVoltageV: positive,
    onResistanceOhm: positive,
  }),
  z.strictObject({
    kind: z.literal('contact'),
    ...two,
    closed: z.boolean(),
    contactResistanceOhm: positive,
    closeDelayS: nonNegative,
    openDelayS: nonNegative,
    bounceS,
    stuck: z.enum(['closed', 'open']).optional(),
  }),
  z.strictObject({
    kind: z.literal('limit'),
    ...two,
    motor: z.string(),
    opensAboveRad: z.number().optional(),
    opensBelowRad: z.number().optional(),
    contactResistanceOhm: positive,
  }),
  z.strictObject({
    kind: z.literal('switch'),
    id: z.string(),
    position: z.string(),
    poles: z
      .array(
        z.strictObject({
          id: z.string(),
          common: node,
          throws: z.record(z.string(), node),
          contactResistanceOhm: positive,
        }),
      )
      .min(1),
    transferS: nonNegative,
    delayS: nonNegative,
    bounceS,
  }),
  z.strictObject({
    kind: z.literal('relay'),
    id: z.string(),
    terminals: z.strictObject({
      '30': node,
      '85': node,
      '86': node,
      '87': node.optional(),
      '87a': node.optional(),
    }),
    coilResistanceOhm: positive,
    coilInductanceH: positive,
    closedInductanceRatio: positive,
    pullInCurrentA: positive,
    dropOutCurrentA: positive,
    operateTravelS: nonNegative,
    releaseTravelS: nonNegative,
    transferS: positive,
    makeResistanceOhm: positive,
    breakResistanceOhm: positive,
    bounceS,
    suppression: z.discriminatedUnion('kind', [
      z.strictObject({ kind: z.literal('none') }),
      z.strictObject({ kind: z.literal('resistor'), resistanceOhm: positive }),
      z.strictObject({ kind: z.literal('diode'), anodeAt: z.enum(['85', '86']), forwardVoltageV: positive }),
    ]),
    stuck: z.enum(['make', 'break']).optional(),
  }),
  z.strictObject({
    kind: z.literal('fuse'),
    ...two,
    ratedA: positive,
    resistanceOhm: positive,
    bandPosition: z.number().min(0).max(1),
  }),
  z.strictObject({
    kind: z.literal('motor'),
    ...two,
    /** At 25 C; copper and magnets follow temperatureC. Write 25 to use the numbers as they stand. */
    temperatureC: z.number(),
    resistanceOhm: positive,
    inductanceH: nonNegative,
    backEmfVsPerRad: nonNegative,
    torqueNmPerA: nonNegative,
    inertiaKgM2: positive,
    viscousNms: nonNegative,
    coulombNm: nonNegative,
    windageNms2: nonNegative.optional(),
    brushDropV: nonNegative,
    brushKneeA: positive,
    loadNm: waveform.optional(),
    ripple: z.strictObject({ segments: z.int().min(2), amplitude: z.number().min(0).max(0.5) }).optional(),
    rotorHeld: z.boolean().optional(),
    endStopsRad: z.strictObject({ minimum: z.number(), maximum: z.number() }).optional(),
    startAngleRad: z.number().optional(),
    suppressionCapacitorF: nonNegative.optional(),
  }),
]);

const sensed = z.union([
  z.strictObject({ voltage: node, against: node.optional() }),
  z.strictObject({ current: z.string() }),
  z.strictObject({ coilCurrents: z.array(z.string()).min(1) }),
]);

export const scenarioSchema = z.strictObject({
  title: z.string(),
  kind: z.literal('scenario'),
  durationS: positive,
  /** Samples lie at k / sampleRateHz; one on an event shows the circuit just after it. */
  sampleRateHz: positive,
  /** Local error a step, as a fraction of each quantity's running peak. */
  relativeTolerance: z.number().min(1e-9).max(1e-2).default(1e-5),
  /** Node `ground` is the reference of every voltage. */
  elements: z.array(element).min(1),
  /** What is thrown when: the position named in the file, and contacts (open, closed), switches and motors (held, free). */
  schedule: z
    .array(
      z.strictObject({
        atS: nonNegative,
        position: z.enum(['rest', 'forward', 'reverse']),
        set: z.record(z.string(), z.string()).default({}),
      }),
    )
    .default([]),
  sense: z.strictObject({
    feedCurrentA: sensed.optional(),
    motorCurrentA: sensed.optional(),
    coilCurrentA: sensed.optional(),
    leadAVoltageV: sensed.optional(),
    leadBVoltageV: sensed.optional(),
    supplyVoltageV: sensed.optional(),
    /** The motor whose speed is written. */
    speedRadS: z.string().optional(),
  }),
});
export type Scenario = z.infer<typeof scenarioSchema>;

/** @throws CircuitError when the circuit makes no sense or cannot be solved, naming nodes and elements. */
export function runScenario(scenario: Scenario): Capture {
  const { durationS, sampleRateHz, relativeTolerance, sense } = scenario;
  const schedule = [...scenario.schedule].sort((one, two) => one.atS - two.atS);
  const probes: Record<string, Probe> = {};
  for (const channel of CHANNELS) {
    const place = sense[channel];
    if (place !== undefined) probes[channel] = probeOf(place);
  }
  if (sense.speedRadS !== undefined) probes.speed = { kind: 'speed', element: sense.speedRadS };
  const run = simulate({
    netlist: { elements: scenario.elements.map(withoutUndefined) },
    schedule: schedule.map(({ atS, set }) => ({
      atS,
      settings: Object.entries(set).map(([name, state]): ControlSetting => ({ element: name, state })),
    })),
    untilS: durationS,
    sampleRateHz,
    probes,
    options: { relativeTolerance },
  });
  let next = 0;
  let thrown: Position = 'rest';
  const position = Array.from(run.timeS, (timeS) => {
    while (next < schedule.length && schedule[next]!.atS <= timeS + 1e-12) {
      thrown = schedule[next]!.position;
      next += 1;
    }
    return thrown;
  });
  const { speed, ...channels } = run.values;
  return {
    timeS: run.timeS,
    position,
    channels: channels as Partial<Record<Channel, Float64Array>>,
    gaps: [],
    sampleRateHz,
    notes: [`scenario: ${scenario.title}`],
    ...(speed === undefined ? {} : { extraColumns: { speed_rad_s: Array.from(speed, String) } }),
  };
}

function probeOf(place: z.infer<typeof sensed>): Probe {
  if ('current' in place) return { kind: 'current', element: place.current };
  if ('coilCurrents' in place) {
    return { kind: 'sum', of: place.coilCurrents.map((name) => ({ kind: 'coil-current', element: name })) };
  }
  const { voltage: plus, against } = place;
  return against === undefined ? { kind: 'voltage', plus } : { kind: 'voltage', plus, minus: against };
}

/** Absent and undefined are one to the file but not to the solver's types. */
function withoutUndefined(stated: Scenario['elements'][number]): CircuitElement {
  return Object.fromEntries(
    Object.entries(stated).filter(([, value]) => value !== undefined),
  ) as unknown as CircuitElement;
}
