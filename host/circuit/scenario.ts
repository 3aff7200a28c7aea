// A circuit with its schedule stated completely in one file, so that anybody can hold the solver against another
// programme. No profile, no default that matters: what is not written is not there. Pure; reading files is for others.

import * as z from 'zod';
import {
  type Capture,
  CHANNEL_COLUMNS,
  CHANNELS,
  FEED_COLUMN,
  POSITION_COLUMN,
  perChannel,
  TIME_COLUMN,
} from '../capture/index.js';
import { editDistance, nearestName } from '../input/index.js';
import { elementSchema } from './elements/index.js';
import { node, nonNegative, positive } from './elements/kind.js';
import { heldFrom } from './held-from.js';
import type { ControlSetting, Probe } from './netlist.js';
import { scenarioFaults } from './scenario-faults.js';
import { simulate } from './simulate.js';
import { wrongValue } from './values.js';

/** What no element can have is told with its place in the file. */
const elements = z
  .array(elementSchema)
  .min(1)
  .superRefine((stated, context) => {
    for (const [index, element] of stated.entries()) {
      const wrong = wrongValue(element);
      if (wrong === undefined) continue;
      const message = `${wrong.quantity} ${JSON.stringify(wrong.value)}: give ${wrong.right}`;
      context.addIssue({ code: 'custom', path: [index, wrong.quantity], message });
    }
  });

const sensed = z.union([
  z.strictObject({ voltage: node, against: node.optional() }),
  z.strictObject({ current: z.string() }),
  z.strictObject({ coilCurrents: z.array(z.string()).min(1) }),
]);

const shape = z.strictObject({
  title: z.string(),
  kind: z.literal('scenario'),
  durationS: positive,
  /** Samples lie at k / sampleRateHz; one on an event shows the circuit just after it. */
  sampleRateHz: positive,
  /** Local error a step, as a fraction of each quantity's running peak. */
  relativeTolerance: z.number().min(1e-9).max(1e-2).default(1e-5),
  /** Node `ground` is the reference of every voltage. */
  elements,
  /** What is thrown when: the position named in the file, and contacts (open, closed), switches and motors (held, free). */
  schedule: z
    .array(
      z.strictObject({
        atS: nonNegative,
        position: z.enum(['rest', 'forward', 'reverse']),
        set: z.record(z.string(), z.union([z.string(), z.boolean()])).default({}),
      }),
    )
    .default([]),
  sense: z
    .object({
      ...perChannel(() => sensed.optional()),
      /** The motor whose speed is written. */
      speedRadS: z.string().optional(),
    })
    /** Any node's voltage or element's current besides, each in a column of the name that it has here. */
    .catchall(sensed),
});

/** What is wrong though every value is of the right shape is told with its place in the file. */
export const scenarioSchema = shape.superRefine((stated, context) => {
  for (const name of freeNames(stated.sense)) {
    const near = nearestName(name, [...CHANNELS, 'speedRadS']);
    if (near !== undefined && editDistance(name.toLowerCase(), near.toLowerCase()) <= 2)
      context.addIssue({
        code: 'custom',
        path: ['sense', name],
        message: `no such channel: did you mean ${near}?`,
      });
    else if (TAKEN.includes(name.toLowerCase()))
      context.addIssue({
        code: 'custom',
        path: ['sense', name],
        message: 'a column of that name is written already: choose another',
      });
  }
  for (const { path, what, mend } of scenarioFaults(stated))
    context.addIssue({ code: 'custom', path, message: `${what}: ${mend}` });
});

const TAKEN = [TIME_COLUMN, POSITION_COLUMN, FEED_COLUMN, 'speed_rad_s', ...CHANNEL_COLUMNS].map((name) =>
  name.toLowerCase(),
);

/** Keys under `sense` that are none of the channels. */
const freeNames = (sense: object): string[] =>
  Object.keys(sense).filter((name) => name !== 'speedRadS' && !CHANNELS.some((channel) => channel === name));

export type Scenario = z.infer<typeof scenarioSchema>;

export interface ScenarioRun {
  capture: Capture;
  /** What is sensed under a free name, at each sample. */
  more: Record<string, Float64Array>;
  /** Of the motor that the scenario names, at each sample. */
  speedRadS?: Float64Array;
}

/** @throws CircuitError when the circuit makes no sense or cannot be solved, naming nodes and elements. */
export function runScenario(scenario: Scenario): ScenarioRun {
  const { durationS, sampleRateHz, relativeTolerance, sense } = scenario;
  const schedule = [...scenario.schedule].sort((one, two) => one.atS - two.atS);
  const probes: Record<string, Probe> = {};
  for (const channel of CHANNELS) {
    const place = sense[channel];
    if (place !== undefined) probes[channel] = probeOf(place);
  }
  const free = freeNames(sense);
  for (const [index, name] of free.entries()) {
    const place: unknown = sense[name];
    const told = sensed.safeParse(place);
    if (told.success) probes[`free ${index}`] = probeOf(told.data);
  }
  if (sense.speedRadS !== undefined) probes.speed = { kind: 'speed', element: sense.speedRadS };
  const run = simulate({
    netlist: { elements: scenario.elements },
    schedule: schedule.map(({ atS, set }) => ({
      atS,
      settings: Object.entries(set).map(([name, state]): ControlSetting => ({ element: name, state })),
    })),
    untilS: durationS,
    sampleRateHz,
    probes,
    options: { relativeTolerance, keepsEnergy: false },
  });
  const { speed, ...values } = run.values;
  const of = (names: readonly string[]): Record<string, Float64Array> =>
    Object.fromEntries(names.flatMap((name) => (values[name] ? [[name, values[name]]] : [])));
  const channels = of(CHANNELS);
  const more = Object.fromEntries(
    free.flatMap((name, index) => {
      const samples = values[`free ${index}`];
      return samples ? [[name, samples]] : [];
    }),
  );
  const capture: Capture = {
    timeS: run.timeS,
    position: heldFrom(
      run.timeS,
      [0, ...schedule.map(({ atS }) => atS)],
      ['rest', ...schedule.map(({ position }) => position)],
    ),
    channels,
    gaps: [],
    sampleRateHz,
    notes: [`scenario: ${scenario.title}`],
  };
  return { capture, more, ...(speed === undefined ? {} : { speedRadS: speed }) };
}

function probeOf(place: z.infer<typeof sensed>): Probe {
  if ('current' in place) return { kind: 'current', element: place.current };
  if ('coilCurrents' in place) {
    return { kind: 'sum', of: place.coilCurrents.map((name) => ({ kind: 'coil-current', element: name })) };
  }
  const { voltage: plus, against } = place;
  return against === undefined ? { kind: 'voltage', plus } : { kind: 'voltage', plus, minus: against };
}
