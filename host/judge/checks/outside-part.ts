// One channel over one stretch of a run against the band of the draws: the part of the time that it lies outside.

import { CHANNEL, type Channel, firstAtOrAfter, toldChannels } from '../../capture/index.js';
import {
  isThrow,
  LEAD_IN,
  noiseOf,
  type RunStretch,
  UNSEEN_SUPPLY,
  unloadedSupply,
} from '../../measure/index.js';
import { hasLimits, scaleRead } from '../../profile/index.js';
import { type CheckContext, expectedLimits, expectedOf, isUnseenSupply, seenOf } from './context.js';
import type { Pair } from './course.js';

/**
 * The band is the least and largest of some eighty draws; good units move in a wider one. Of eighty normal draws the
 * largest lies 2.43 deviations out on average (tables of normal order statistics), 99.99 % with 95 % confidence 4.6
 * (Howe's tolerance factor).
 */
const WIDEN = 4.6 / 2.43;
/** Readings of one cell are averaged: commutation ripple and bounce are quicker. */
const CELL_S = 0.004;
/** Ripple of a good motor that the model's band leaves out, as a part of the current (a few to 20 %, averaged over a cell). */
const RIPPLE_PART = 0.03;
/** Around the edges nothing is asked: contacts bounce and travel for some milliseconds. */
const EDGE_S = 0.012;
/** A hand's switch bounces too, and its throw is dated by the first of it: the relay follows behind (common practice, no source). */
const EDGE_BY_HAND_S = 0.03;
/** Fewer cells tell nothing of a course. */
const LEAST_CELLS = 10;
/** Workshop terminal tables call a released lead dead at 1.0 V or less, as the check of the levels at rest does. */
const LEAD_REACH_AT_REST_V = 1;

/** A motor has run up again so long behind a dip of its supply (common practice, no source). */
const RUN_UP_S = 0.15;
/** Between two leads that nothing drives (common practice, no source). */
const TURNING_V = 0.5;

/** 0 to 1, of the cells outside the band by more than the guard; undefined where too little was sampled. */
export function outsidePart(context: CheckContext, channel: Channel, pair: Pair): number | undefined {
  const { capture } = context;
  const values = toldChannels(capture)[channel];
  const { band } = context.expectation;
  const lower = band.lower[channel];
  const upper = band.upper[channel];
  if (!values || !lower || !upper) return undefined;
  const { planned, seen } = pair;
  const { of } = planned;
  const atRest = !isThrow(of);
  const seenAtS = alignedS(context, pair);
  const factorsOf = supplyFactors(context, channel);
  const guardOf = guard(context, channel);
  const { unit, leastReach } = CHANNEL[channel];
  const least = atRest && unit === 'V' ? LEAD_REACH_AT_REST_V : leastReach;
  const bandStepS = band.timeS[1]! - band.timeS[0]!;
  const edgeS = context.unit.plan.throwBy === 'operator' ? EDGE_BY_HAND_S : EDGE_S;
  const untilS = seen.segment?.loadStep?.atS ?? seen.toS;
  const durationS = Math.min(untilS - seenAtS, planned.toS - planned.fromS);
  const lastS = (atRest ? durationS : Math.min(durationS, travelS(context, of, durationS))) - edgeS;
  const counts = countedSamples(context, channel, pair);
  const { supplyVoltageV } = capture.channels;
  const cells: { mean: number; least: number; most: number }[] = [];
  let i = firstAtOrAfter(capture.timeS, seenAtS + edgeS);
  for (let fromS = edgeS; fromS + CELL_S <= lastS; fromS += CELL_S) {
    let sum = 0;
    let sumV = 0;
    let count = 0;
    while (i < capture.timeS.length && capture.timeS[i]! < seenAtS + fromS + CELL_S) {
      if (counts(i)) {
        sum += values[i]!;
        sumV += supplyVoltageV?.[i] ?? Number.NaN;
        count += 1;
      }
      i += 1;
    }
    if (count === 0) continue;
    // One slot more on either side: relays differ by so much in what follows their contact.
    const startS = planned.fromS + fromS;
    const first = Math.max(0, Math.floor(startS / bandStepS) - 1);
    const last = Math.min(band.timeS.length - 1, Math.ceil((startS + CELL_S) / bandStepS) + 1);
    const [low, high] = endsOf(lower, upper, first, last);
    if (!(low <= high)) continue;
    const middle = (low + high) / 2;
    const reach = Math.max(least, (WIDEN * (high - low)) / 2);
    const factors = factorsOf(sumV / count, first, last);
    const bounds = [middle - reach, middle + reach].flatMap((edge) => factors.map((factor) => edge * factor));
    cells.push({ mean: sum / count, least: Math.min(...bounds), most: Math.max(...bounds) });
  }
  if (cells.length < LEAST_CELLS) return undefined;
  const swing = swingOf(context, cells);
  const outside = cells.filter(({ mean, least: low, most: high }) => {
    const reach = guardOf(mean) + swing;
    return mean < low - reach || mean > high + reach;
  });
  return outside.length / cells.length;
}

/** Hum swings by 1.7 times what its second differences give for its noise, from cell to cell of 50 and 60 Hz (worked out). */
const SWINGS = 2.5;

/** What noise and hum of another instrument move a cell by; a rig's own are in its scales. */
function swingOf({ capture: { feed } }: CheckContext, cells: readonly { mean: number }[]): number {
  if (feed !== undefined) return 0;
  return (
    SWINGS *
    noiseOf(
      Float64Array.from(cells, ({ mean }) => mean),
      0,
      cells.length,
    )
  );
}

/** Least and largest of the draws over some slots. */
function endsOf(
  lower: Float64Array,
  upper: Float64Array,
  first: number,
  last: number,
): readonly [number, number] {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let slot = first; slot <= last; slot++) {
    if (lower[slot]! < low) low = lower[slot]!;
    if (upper[slot]! > high) high = upper[slot]!;
  }
  return [low, high];
}

/** Which samples of a stretch say anything of its course. */
function countedSamples(
  { capture }: CheckContext,
  channel: Channel,
  { planned: { of }, seen }: Pair,
): (i: number) => boolean {
  const { timeS, feed } = capture;
  const { [channel]: values, leadAVoltageV, leadBVoltageV } = capture.channels;
  // A shaft that still turns from whatever was before the run is no fault of the unit: its back-EMF lies across the leads.
  const isBefore = !isThrow(of) && of.behind === undefined;
  const turns = (i: number): boolean =>
    isBefore && Math.abs((leadAVoltageV?.[i] ?? 0) - (leadBVoltageV?.[i] ?? 0)) > TURNING_V;
  const moves = seen.segment?.supplyMoves ?? [];
  const behindS = isOfMotor(channel) ? RUN_UP_S : CELL_S;
  const isShaken = (atS: number): boolean =>
    moves.some(({ fromS, toS }) => atS > fromS - CELL_S && atS < toS + behindS);
  return (i) =>
    !Number.isNaN(values?.[i] ?? Number.NaN) &&
    // With the feed off after a stop or while somebody is asked, nothing is what it was planned to be.
    (feed?.[i] !== 'off' || of === LEAD_IN) &&
    !turns(i) &&
    !isShaken(timeS[i] ?? Number.NaN);
}

/** Up to the limit, whichever unit reaches it first: where travel ends has a check of its own, and moves with the supply. */
function travelS(context: CheckContext, of: RunStretch, durationS: number): number {
  if (!hasLimits(context.unit.style)) return durationS;
  const good = expectedLimits(context, 'stopsAfterS', of)?.lower;
  const own = seenOf(context, 'stopsAfterS', of)?.value;
  return good === undefined ? durationS / 2 : Math.min(good, own ?? good);
}

/** Start of the planned stretch in the capture's time: contact on contact, break on break, else the command. */
function alignedS(context: CheckContext, { planned: { of }, seen: { segment, fromS } }: Pair): number {
  const edgeS = isThrow(of) ? segment?.contactS : segment?.breakS;
  const delayS = isThrow(of)
    ? expectedOf(context, 'contactDelayS', of)?.nominal
    : context.expectation.throws.find((one) => one.of.id === of.behind?.id)?.breakDelayS;
  return edgeS !== undefined && delayS !== undefined ? edgeS - delayS : fromS;
}

/** Expanded uncertainty of one cell, and the ripple that it may hold. */
function guard({ unit, capture }: CheckContext, channel: Channel): (value: number) => number {
  const { gainUncertaintyPercent, offsetUncertainty, perCount } = scaleRead(
    unit.rig,
    channel,
    capture.channels[channel],
  );
  const ripple = isOfMotor(channel) ? RIPPLE_PART : 0;
  return (value) =>
    2 * Math.hypot((gainUncertaintyPercent / 100) * value, offsetUncertainty, perCount / Math.sqrt(12)) +
    ripple * Math.abs(value);
}

/**
 * The run's own supply over the model's: unloaded, and over the cell in question, for a weak supply sags where a stiff one
 * stands. Voltages and coils go with it, motor currents between its root and itself (published pair: +17 % of the supply
 * gives +14 to +25 % of the running current and +33 % of the stall current).
 */
function supplyFactors(
  context: CheckContext,
  channel: Channel,
): (seenV: number, first: number, last: number) => number[] {
  const { nominalSupplyV, band } = context.expectation;
  const supply = unloadedSupply(context.seen.measured)?.value;
  const { least, most } = UNSEEN_SUPPLY;
  const unloaded =
    supply === undefined ? (isUnseenSupply(context) ? [least, 1, most] : [1]) : [supply / nominalSupplyV];
  const { supplyVoltageV: lower } = band.lower;
  const { supplyVoltageV: upper } = band.upper;
  const withLaw = (ratio: number): number[] =>
    isOfMotor(channel) ? [Math.sqrt(ratio), ratio ** 1.3] : [ratio];
  const always = unloaded.flatMap(withLaw);
  return (seenV, first, last) => {
    if (!lower || !upper || Number.isNaN(seenV)) return always;
    const [low, high] = endsOf(lower, upper, first, last);
    const ratio = (2 * seenV) / (low + high);
    return ratio > 0 ? [...always, ...withLaw(ratio)] : always;
  };
}

const isOfMotor = (channel: Channel): boolean => channel === 'motorCurrentA' || channel === 'feedCurrentA';
