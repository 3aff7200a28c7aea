// The run itself: supply that holds, no over-current, plan run to its end, no samples lost.

import { CHANNEL, CHANNELS, type Channel } from '../../capture/index.js';
import {
  isThrow,
  largestOf,
  type MeasureResult,
  REST,
  type Reading,
  stretchWords,
} from '../../measure/index.js';
import type { ResolvedUnit } from '../../profile/index.js';
import { amount, listed, milli, stopClause } from '../../tell/index.js';
import { checkOf, numberCheck, untested } from '../check.js';
import { outcomeOf } from '../decision.js';
import type { Check, CheckKind } from '../verdict.js';
import { type CheckContext, segmentOf } from './context.js';
import { coilIsUsed } from './rest.js';

/** Of the nominal voltage: 11 to 14.5 V at rest, with what a rig may misread at either end, and 10 V under load on a 12 V system (common practice, no source). */
const REST_LOW = 10.8 / 12;
const REST_HIGH = 14.8 / 12;
const LOADED_LOW = 10 / 12;
const INRUSH_LOW = 8.5 / 12;
/** A lost millisecond here and there may pass; more may hide a dropout. */
const LOST_PART = 0.005;
const MUCH_LOST_PART = 0.1;
/** Behind a throw for longer than this, a rig that stops does not stop for the throw. Choice of this program, no source. */
const BEHIND_S = 0.2;

/** Samples from before a stop to the end of the capture: those that tripped it are among them. */
const STOP_S = 0.1;
/** A trip that no sample comes near is none of the unit's. Choice of this program, no source. */
const NEAR_PART = 0.7;

const SUPPLY: CheckKind = { id: 'supply-adequate', of: 'supply', rank: 10 };
const OVER_CURRENT: CheckKind = { id: 'over-current-stop', of: 'unit', rank: 40, isGross: true };
const TRIP_UNSEEN: CheckKind = { id: 'trip-unseen', of: 'rig', rank: -10, isAlwaysTold: true };
export const PLAN: CheckKind = { id: 'plan-complete', of: 'rig', rank: 20, isAlwaysTold: true };
const SAMPLES: CheckKind = { id: 'samples-complete', of: 'rig', rank: 30 };

/** Whether the supply held; undefined readings do not speak against it. */
export function supplyHolds(unit: ResolvedUnit, seen: MeasureResult): boolean {
  return supplyReadings(unit, seen).every(
    ({ read, low, high }) => outcomeOf(read.value, read.expandedUncertainty, low, high) !== 'fail',
  );
}

interface SupplyReading {
  read: Reading;
  atRest: boolean;
  low: number;
  high: number;
}

function supplyReadings({ motor: { nominalVoltageV: nominal } }: ResolvedUnit, seen: MeasureResult) {
  return Object.values(seen.measured).flatMap((read): SupplyReading[] => {
    if (read.what !== 'supplyVoltageV' && read.what !== 'inrushSupplyVoltageV') return [];
    const atRest = read.of?.id === REST.id;
    const low = atRest ? REST_LOW : read.what === 'inrushSupplyVoltageV' ? INRUSH_LOW : LOADED_LOW;
    return [{ read, atRest, low: nominal * low, high: nominal * REST_HIGH }];
  });
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
  return Object.entries(unit.style.stations).map(([id, { title }]) =>
    checkOf(
      { id: `station-${id}`, of: 'harness', rank: 180 },
      {
        sentence: `${title} was not thrown: its own contacts and wires are not tested.`,
        outcome: 'not-tested',
        required: false,
      },
    ),
  );
}

/** Not the unit's fault, so never a fail: a supply out of range makes the rest untested instead. */
function supplyCheck(context: CheckContext): Check {
  const margin = ({ read, low, high }: SupplyReading): number =>
    Math.min(read.value - low, high - read.value);
  const worst = supplyReadings(context.unit, context.seen).reduce<SupplyReading | undefined>(
    (a, b) => (a && margin(a) <= margin(b) ? a : b),
    undefined,
  );
  const check = numberCheck(SUPPLY, {
    subject: worst?.atRest ? 'Supply at rest' : 'Supply under load',
    quantity: worst?.read,
    lower: worst?.low,
    upper: worst?.high,
    origin: 'generic',
    missing: context.seen.segments.some(({ lost }) => (lost.supplyVoltageV ?? 0) > 0)
      ? 'not measured, its samples were lost'
      : 'not measured, the supply was not sampled',
    hint: 'Readings on such a supply prove nothing about the unit.',
  });
  return check.outcome === 'fail' ? untested(check) : check;
}

/** Whether a rig drove the run: it knows which feed it gave. Another instrument watched, and stopped nothing. */
const isByRig = ({ whole, stop }: CheckContext): boolean => whole.feed !== undefined || stop !== undefined;

/** The highest current behind which the rig stopped, where all of it was read and lies far from both limits. */
function mostBeforeStop(
  { timeS, channels: { motorCurrentA: motor, feedCurrentA: feed } }: CheckContext['whole'],
  trip: ResolvedUnit['rig']['trip'],
): number | undefined {
  if (!motor || !feed) return undefined;
  const fromS = (timeS.at(-1) ?? 0) - STOP_S;
  let mostA = 0;
  for (let i = timeS.length - 1; i >= 0 && (timeS[i] ?? 0) >= fromS; i--) {
    const [motorA, feedA] = [Math.abs(motor[i] ?? Number.NaN), Math.abs(feed[i] ?? Number.NaN)];
    // What was lost may have held it.
    if (Number.isNaN(motorA + feedA)) return undefined;
    if (motorA > NEAR_PART * trip.motorCurrentA || feedA > NEAR_PART * trip.feedCurrentA) return undefined;
    mostA = Math.max(mostA, motorA, feedA);
  }
  return mostA;
}

function overCurrent(context: CheckContext): Check {
  const { stop, unit, seen, whole } = context;
  const tripped = stop === 'over-current';
  if (!isByRig(context)) {
    const { motorCurrentA, feedCurrentA } = whole.channels;
    const most = largestOf(motorCurrentA ?? feedCurrentA ?? []);
    return checkOf(OVER_CURRENT, {
      sentence: `No rig watched this run: the highest current read is ${amount(most, 'A', 1)}.`,
      outcome: 'not-tested',
      required: false,
    });
  }
  const { motorCurrentA, feedCurrentA } = unit.rig.trip;
  const limits = `${amount(motorCurrentA, 'A', 0)} in the motor or ${amount(feedCurrentA, 'A', 0)} in the feed`;
  const last = seen.segments.at(-1);
  const thrown = seen.segments.findLast(({ of }) => isThrow(of));
  const isBehind = thrown && last && last.toS - thrown.toS > BEHIND_S;
  const at = thrown ? `${isBehind ? 'after ' : ''}${stretchWords(thrown.of)}` : 'at rest';
  const mostA = tripped ? mostBeforeStop(whole, unit.rig.trip) : undefined;
  if (mostA !== undefined)
    return checkOf(TRIP_UNSEEN, {
      sentence: `The rig stopped ${at} for more than ${limits}, and no sample before it shows more than ${amount(mostA, 'A', 1)}: its trip is set wrong, or its board is out of order. Try the trip by itself on a known load.`,
      outcome: 'not-tested',
    });
  return checkOf(OVER_CURRENT, {
    sentence: tripped
      ? `The rig stopped ${at}: more than ${limits}.`
      : `The rig saw no over-current (${limits}).`,
    outcome: tripped ? 'fail' : 'pass',
  });
}

/** An empty record is the first thing to know of it. */
export const NOTHING_THROWN: CheckKind = { ...PLAN, rank: -6 };

const lateWords = ({ seen: { toldLateS } }: CheckContext): string =>
  toldLateS === undefined
    ? ''
    : ` Its positions come ${milli(toldLateS, 's', 0)} later than what they set off, so the waveform tells the throws.`;

/** A lead by itself stands at the supply or at ground, thrown or not. */
const tellsThrows = ({ whole: { channels } }: CheckContext): boolean =>
  channels.motorCurrentA !== undefined ||
  channels.feedCurrentA !== undefined ||
  (channels.leadAVoltageV !== undefined && channels.leadBVoltageV !== undefined);

function completed(context: CheckContext): Check {
  const { stop } = context;
  const { segments, doubts = [] } = context.seen;
  const isTold = context.whole.positionKnown !== false;
  if (!isTold && doubts.length === 0 && !segments.some(({ of }) => isThrow(of)))
    return checkOf(NOTHING_THROWN, {
      sentence: tellsThrows(context)
        ? 'No throw is seen in this capture: neither current nor lead voltage comes on. Begin it before the switch is thrown.'
        : 'Nothing that was sampled tells the throws. Sample the motor current too, or both leads.',
      outcome: 'not-tested',
    });
  const missing = context.expectation.throws.filter(({ of }) => segmentOf(context, of)?.brief !== false);
  const done = missing.length === 0 && stop === undefined;
  const reason =
    stop === 'limited-feed-short' || stop === 'fed-at-rest' || stop === 'coil-short'
      ? 'the full feed was kept off'
      : stop !== undefined && stop !== 'over-current'
        ? `the run was stopped (${stopClause(stop)})`
        : 'the plan was not run to its end';
  const untold = segments.filter(({ of: { isWayUntold } }) => isWayUntold).length;
  if (untold > 0 && stop === undefined)
    return checkOf(PLAN, {
      sentence: `${untold === 1 ? 'One throw is' : `${untold} throws are`} in this capture, and nothing that was sampled tells which way ${untold === 1 ? 'it' : 'each'} went.`,
      outcome: 'not-tested',
    });
  const gone = missing.filter(({ of }) => segmentOf(context, of) === undefined);
  if (!isTold && stop === undefined && gone.length > 0 && gone.length === missing.length)
    return checkOf(PLAN, {
      sentence: `Not seen in this capture: ${listed(gone.map(({ of }) => stretchWords(of)))}. Either it was not thrown, or nothing flowed when it was.`,
      outcome: 'not-tested',
    });
  const cut = missing.map(({ of }) => stretchWords(of)).join(', ');
  return checkOf(PLAN, {
    sentence: done
      ? isByRig(context)
        ? 'Every throw of the plan was made.'
        : `Every throw that is asked for is in the capture.${lateWords(context)}`
      : `Not the whole plan: ${reason}${cut ? `; missing or cut short: ${cut}` : ''}.`,
    outcome: done ? 'pass' : 'not-tested',
  });
}

/** Worst loss of any needed channel in any throw, or its absence. */
function samples(context: CheckContext): Check {
  const absent = context.seen.notSampled.filter((channel) => channelIsNeeded(context, channel));
  if (absent.length > 0) {
    const words = listed(absent.map((channel) => CHANNEL[channel].words));
    return checkOf(SAMPLES, {
      outcome: 'not-tested',
      sentence: `Not sampled: ${words}; what needs it was not tested.`,
    });
  }
  let worst = 0;
  let where = '';
  for (const { of, lost } of context.seen.segments) {
    for (const channel of CHANNELS) {
      const part = lost[channel] ?? 0;
      // Only levels are read there, and they bear some loss.
      if (of.feed === 'limited' && part < MUCH_LOST_PART) continue;
      if (part > worst && channelIsNeeded(context, channel)) {
        worst = part;
        where = `${CHANNEL[channel].words}, ${stretchWords(of)}`;
      }
    }
  }
  const percent = 100 * worst;
  // So much lost is why whatever else is missing is missing.
  const kind = worst > MUCH_LOST_PART ? { ...SAMPLES, rank: -8 } : SAMPLES;
  return checkOf(kind, {
    sentence:
      worst === 0
        ? 'No samples were lost.'
        : `Up to ${amount(percent, '%', percent < 1 ? 2 : 0)} of samples were lost (${where}).`,
    value: percent,
    unit: '%',
    expandedUncertainty: 0,
    upper: 100 * LOST_PART,
    outcome: worst === 0 ? 'pass' : worst <= LOST_PART ? 'conditional-pass' : 'not-tested',
  });
}

export function channelIsNeeded(context: CheckContext, channel: Channel): boolean {
  if (channel === 'coilCurrentA') return coilIsUsed(context);
  // The feed only backs the motor current up; a rig without it still tells what is asked here.
  return channel !== 'feedCurrentA';
}
