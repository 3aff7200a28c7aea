// What a hypothesis reads: simulated as the rig would run it, its over-current stop and the ends of its ranges included.

import { type Capture, sliceCapture } from '../capture/index.js';
import { BAND_SOLVER, simulatePlan, type UnitCircuitInput } from '../circuit/index.js';
import {
  type Measured,
  measure,
  REST,
  type Reading,
  type RunStretch,
  type Segment,
} from '../measure/index.js';
import { LEAD_IN_S, type ResolvedUnit } from '../profile/index.js';

/** One way that a hypothesis may show. */
export interface Pattern {
  measured: Measured;
  segments: Segment[];
  /** Id of the stretch in which the rig would have stopped for over-current. */
  tripsIn: string | undefined;
  /** Read from the current, as nothing told what was thrown: a throw that it lacks is one that nothing flows in. */
  isUntold?: true;
  /** The throw in which it set in; absent where it was there from the first. */
  since?: RunStretch;
}

/** Half the rig's rate, which its trip counts in; readings are the same within 0.3 %. */
const SAMPLE_RATE_HZ = 2500;
const RIG_RATE_HZ = 5000;

export const patternOf = (unit: ResolvedUnit, input: UnitCircuitInput): Pattern =>
  patternIn(unit, runOf(unit, input));

/** The whole plan, as it really is. @throws CircuitError when the circuit cannot be solved. */
export const runOf = (unit: ResolvedUnit, input: UnitCircuitInput): Capture =>
  simulatePlan(input, unit.plan, { sampleRateHz: SAMPLE_RATE_HZ, solver: BAND_SOLVER });

/** What an instrument makes of such a run. */
export function patternIn(unit: ResolvedUnit, whole: Capture): Pattern {
  const isUntold = unit.witness === 'current-alone';
  const tripAt = unit.witness === undefined ? tripIndex(whole, unit.rig.trip) : undefined;
  const seen =
    unit.witness === undefined
      ? throughRange(tripAt === undefined ? whole : cut(whole, tripAt + 1), unit.rig.scales, unit.rig.adcBits)
      : fedThroughout(whole);
  const { measured, segments } = measure(isUntold ? untold(seen) : seen, {
    nominalVoltageV: unit.motor.nominalVoltageV,
    ripple: false,
    isIdeal: true,
  });
  return {
    measured: withoutBudgets(measured),
    segments,
    ...(isUntold ? { isUntold } : {}),
    tripsIn: tripAt === undefined ? undefined : (segments.at(-1)?.of ?? REST).id,
  };
}

/** A prediction's budget is asked by nobody, and half of what a kept library would weigh. */
const withoutBudgets = (measured: Measured): Measured =>
  Object.fromEntries(
    Object.entries(measured).map(([key, { budget: _, ...reading }]): [string, Reading] => [key, reading]),
  );

/** As another instrument sees it, which is started after the feed. */
function fedThroughout(whole: Capture): Capture {
  const { feed: _, ...seen } = sliceCapture(whole, LEAD_IN_S, Number.POSITIVE_INFINITY);
  return seen;
}

const untold = (capture: Capture): Capture => ({
  ...capture,
  position: capture.position.map(() => 'rest'),
  positionKnown: false,
});

/** First sample at which the rig would have latched an over-current stop. */
export function tripIndex(capture: Capture, trip: ResolvedUnit['rig']['trip']): number | undefined {
  const { motorCurrentA, feedCurrentA } = capture.channels;
  const needed = Math.max(1, Math.round((trip.samples * capture.sampleRateHz) / RIG_RATE_HZ));
  let run = 0;
  for (let i = 0; i < capture.timeS.length; i++) {
    const over =
      (motorCurrentA !== undefined && Math.abs(motorCurrentA[i]!) > trip.motorCurrentA) ||
      (feedCurrentA !== undefined && feedCurrentA[i]! > trip.feedCurrentA);
    run = over ? run + 1 : 0;
    if (run >= needed) return i;
  }
  return undefined;
}

function cut(capture: Capture, count: number): Capture {
  const channels: Capture['channels'] = {};
  for (const [name, values] of Object.entries(capture.channels)) {
    channels[name as keyof Capture['channels']] = values.subarray(0, count);
  }
  return {
    ...capture,
    timeS: capture.timeS.subarray(0, count),
    position: capture.position.slice(0, count),
    ...(capture.feed === undefined ? {} : { feed: capture.feed.slice(0, count) }),
    channels,
  };
}

/** The rig's converter ends somewhere; a prediction beyond it reads as its end. */
function throughRange(capture: Capture, scales: ResolvedUnit['rig']['scales'], bits: number): Capture {
  const channels: Capture['channels'] = {};
  for (const [name, values] of Object.entries(capture.channels)) {
    const scale = scales[name as keyof typeof scales];
    const top = scale.atZeroCount + scale.perCount * (2 ** bits - 1);
    const [low, high] = [Math.min(scale.atZeroCount, top), Math.max(scale.atZeroCount, top)];
    channels[name as keyof Capture['channels']] = values.some((value) => value < low || value > high)
      ? values.map((value) => Math.min(high, Math.max(low, value)))
      : values;
  }
  return { ...capture, channels };
}
