// The run itself: supply that holds, no over-current, plan run to its end, no samples lost.

import type { MeasureResult } from '../../measure/index.js';
import type { ResolvedUnit } from '../../profile/index.js';
import { outcomeOf } from '../decision.js';
import type { Check } from '../verdict.js';
import { type CheckContext, numberCheck, segmentOf } from './context.js';

/** Of the nominal voltage: 11 to 14.5 V at rest, with what a rig may misread at either end, and 10 V under load on a 12 V system (common practice, no source). */
const REST_LOW = 10.8 / 12;
const REST_HIGH = 14.8 / 12;
const LOADED_LOW = 10 / 12;
const INRUSH_LOW = 8.5 / 12;
/** A lost millisecond here and there may pass; more may hide a dropout. */
const LOST_PART = 0.005;

/** Whether the supply held; undefined readings do not speak against it. */
export function supplyHolds(unit: ResolvedUnit, seen: MeasureResult): boolean {
  return supplyReadings(unit, seen).every(
    ({ value, u, low, high }) => outcomeOf(value, u, low, high) !== 'fail',
  );
}

function supplyReadings(unit: ResolvedUnit, seen: MeasureResult) {
  const nominal = unit.motor.nominalVoltageV;
  return Object.entries(seen.measured)
    .filter(([name]) => name.endsWith('SupplyVoltageV'))
    .map(([name, quantity]) => ({
      name,
      quantity,
      value: quantity.value,
      u: quantity.expandedUncertainty,
      low: nominal * (name.startsWith('rest') ? REST_LOW : name.includes('Inrush') ? INRUSH_LOW : LOADED_LOW),
      high: nominal * REST_HIGH,
    }));
}

export function runChecks(context: CheckContext): Check[] {
  return [
    supplyCheck(context),
    overCurrent(context),
    completed(context),
    samples(context),
    ...stationsNotThrown(context),
  ];
}

/** A second switch that nobody threw is told as not tested; the verdict is of what the plan threw. */
function stationsNotThrown({ unit }: CheckContext): Check[] {
  return Object.entries(unit.style.stations).map(([id, { title }]) => ({
    id: `station-${id}`,
    sentence: `${title} was not thrown: its own contacts and wires are not tested.`,
    outcome: 'not-tested',
    required: false,
    origin: 'generic',
  }));
}

/** Not the unit's fault, so never a fail: a supply out of range makes the rest untested instead. */
function supplyCheck(context: CheckContext): Check {
  const readings = supplyReadings(context.unit, context.seen);
  const margin = (r: (typeof readings)[number]): number => Math.min(r.value - r.low, r.high - r.value);
  const worst = readings.reduce<(typeof readings)[number] | undefined>(
    (a, b) => (a && margin(a) <= margin(b) ? a : b),
    undefined,
  );
  const check = numberCheck({
    id: 'supply-adequate',
    subject: worst?.name.startsWith('rest') ? 'Supply at rest' : 'Supply under load',
    quantity: worst?.quantity,
    lower: worst?.low,
    upper: worst?.high,
    origin: 'generic',
    missing: 'not measured, the supply was not sampled',
    hint: 'Readings on such a supply prove nothing about the unit.',
  });
  return check.outcome === 'fail' ? { ...check, outcome: 'not-tested' } : check;
}

function overCurrent(context: CheckContext): Check {
  const tripped = context.stop === 'over-current';
  const { motorCurrentA, feedCurrentA } = context.unit.rig.trip;
  const limits = `${motorCurrentA.toFixed(0)} A in the motor or ${feedCurrentA.toFixed(0)} A in the feed`;
  const last = context.seen.segments.at(-1);
  const thrown = [...context.seen.segments].reverse().find(({ position }) => position !== 'rest');
  const at = !thrown ? 'at rest' : last && last.toS - thrown.toS > 0.2 ? `after ${thrown.name}` : thrown.name;
  return {
    id: 'over-current-stop',
    sentence: tripped
      ? `The rig stopped ${at}: more than ${limits}.`
      : `The rig saw no over-current (${limits}).`,
    outcome: tripped ? 'fail' : 'pass',
    required: true,
    origin: 'generic',
  };
}

function completed(context: CheckContext): Check {
  const missing = context.expectation.throws.filter(({ name }) => {
    const segment = segmentOf(context, name);
    return !segment || segment.brief;
  });
  const stopped = context.stop !== undefined && context.stop !== 'over-current';
  const done = missing.length === 0 && context.stop === undefined;
  const reason =
    context.stop === 'limited-feed-short'
      ? 'the full feed was kept off'
      : stopped
        ? `the run was stopped (${context.stop})`
        : 'the plan was not run to its end';
  return {
    id: 'plan-complete',
    sentence: done
      ? 'Every throw of the plan was made.'
      : `Not the whole plan: ${reason}${missing.length ? `; missing or cut short: ${missing.map(({ name }) => name).join(', ')}` : ''}.`,
    outcome: done ? 'pass' : 'not-tested',
    required: true,
    origin: 'generic',
  };
}

/** Worst loss of any needed channel in any throw, or its absence. */
function samples(context: CheckContext): Check {
  const base = { id: 'samples-complete', required: true, origin: 'generic' as const };
  const absent = context.seen.notes
    .map((note) => /^(\w+) was not sampled/.exec(note)?.[1])
    .filter((channel): channel is string => channel !== undefined)
    .filter((channel) => channelIsNeeded(context, channel));
  if (absent.length > 0) {
    return {
      ...base,
      outcome: 'not-tested',
      sentence: `Not sampled: ${absent.join(', ')}; what needs it was not tested.`,
    };
  }
  let worst = 0;
  let where = '';
  for (const segment of context.seen.segments) {
    // Only levels are read there, and a level that lost too much of itself is absent.
    if (segment.limited) continue;
    for (const [channel, part] of Object.entries(segment.lost)) {
      if (part > worst && channelIsNeeded(context, channel)) {
        worst = part;
        where = `${channel}, ${segment.name}`;
      }
    }
  }
  const percent = 100 * worst;
  const told =
    worst === 0
      ? 'No samples were lost.'
      : `Up to ${percent.toFixed(percent < 1 ? 2 : 0)} % of samples were lost (${where}).`;
  return {
    ...base,
    sentence: told,
    value: percent,
    unit: '%',
    expandedUncertainty: 0,
    upper: 100 * LOST_PART,
    outcome: worst === 0 ? 'pass' : worst <= LOST_PART ? 'conditional-pass' : 'not-tested',
  };
}

function channelIsNeeded(context: CheckContext, channel: string): boolean {
  if (channel === 'coilCurrentA') {
    return context.expectation.throws.some(
      ({ name }) => (context.expectation.features[`${name}CoilCurrentA`]?.nominal ?? 0) > 0.01,
    );
  }
  // The feed only backs the motor current up; a rig without it still tells what is asked here.
  return channel !== 'feedCurrentA';
}
