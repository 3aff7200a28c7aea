// What is known of an instrument that is no rig: its accuracy, as its maker states it, and the range that it ran into.
// Limits of error without further knowledge are rectangular (GUM 4.3.7): their half width over the root of three.

import { sampleAt } from '../arrays/index.js';
import { type Capture, CHANNEL, CHANNELS, type Channel, sampledChannels } from '../capture/index.js';
import { amount } from '../tell/index.js';
import { type Budgets, budgetOf } from './budget.js';
import { cutTopIn } from './cut-top.js';
import { leastStep, median, summarise } from './statistics.js';

/** Limits of error: a part of the reading, and a constant in the channel's unit. */
export interface Accuracy {
  part: number;
  constant: number;
}

export type Instrument = Partial<Record<Channel, Accuracy>>;

/** Budgets with what the instrument's accuracy says in place of a rig's, and with the ends of its range where it ran into them. */
export function instrumentBudgets(
  capture: Capture,
  budgets: Budgets,
  { instrument, isIdeal }: { instrument?: Instrument | undefined; isIdeal?: boolean | undefined },
): Budgets {
  const told: Budgets = { ...budgets };
  for (const channel of CHANNELS) {
    const accuracy = instrument?.[channel];
    const isAsked = !isIdeal && CHANNEL[channel].unit === 'A' && !knowsItsEnds(capture, channel, budgets);
    const ends = isAsked ? clippedAt(capture, channel) : undefined;
    if (accuracy === undefined && ends === undefined) continue;
    const budget = accuracy ? budgetOf({}, channel) : budgetOf(budgets, channel);
    told[channel] = {
      ...budget,
      ...(accuracy ? { gain: accuracy.part / Math.sqrt(3), offset: accuracy.constant / Math.sqrt(3) } : {}),
      // A rig knows its own ends.
      minimum: Math.max(budget.minimum, ends?.below ?? Number.NEGATIVE_INFINITY),
      maximum: Math.min(budget.maximum, ends?.above ?? Number.POSITIVE_INFINITY),
      ...(ends ? { endsSeen: true } : {}),
    };
  }
  return told;
}

/** A rig's own capture, which tells its feed, is cut off where its profile says, and nowhere else. */
const knowsItsEnds = ({ feed, beyondRange }: Capture, channel: Channel, budgets: Budgets): boolean =>
  feed !== undefined && beyondRange === undefined && Number.isFinite(budgetOf(budgets, channel).maximum);

/** Whether an instrument cut the current off: within what a rig of these budgets would have let through, where a rig may have taken it. */
export function isCutOff(capture: Capture, channel: Channel, budgets: Budgets): boolean {
  if (knowsItsEnds(capture, channel, budgets)) return false;
  const ends = clippedAt(capture, channel);
  if (capture.isForeign) return ends !== undefined;
  const { minimum, maximum, resolution } = budgetOf(budgets, channel);
  return (
    (ends?.above !== undefined && ends.above < maximum - resolution) ||
    (ends?.below !== undefined && ends.below > minimum + resolution)
  );
}

/** As long a stretch of equal readings at the very end of what was read, in samples, as no rounded top gives. */
const LEAST_EQUAL = 8;
/** Steps of the instrument by which it was still rising just before. */
const LEAST_STEPS = 3;
/** A current that settles slows down before it stands; one that is cut off does not. */
const LEAST_OF_BEFORE = 0.45;

/** Ends that readings were cut off at. */
export interface Ends {
  above?: number;
  below?: number;
  /** Noise that was put on behind the end: readings at it lie on both sides. */
  noiseA?: number;
}

const found = new WeakMap<Capture, Map<Channel, Ends | undefined>>();

/**
 * Where the instrument's range cut readings off: as it marked them, or as equal readings at an outermost value that was
 * run into at full slope. A rounded top comes to rest before it stands, and noise moves it; both leave no such stretch.
 */
export function clippedAt(capture: Capture, channel: Channel): Ends | undefined {
  const known = found.get(capture) ?? new Map<Channel, Ends | undefined>();
  found.set(capture, known);
  if (!known.has(channel)) known.set(channel, lookFor(capture, channel));
  return known.get(channel);
}

function lookFor(capture: Capture, channel: Channel): Ends | undefined {
  const values = capture.channels[channel];
  if (values === undefined) return undefined;
  const marked = capture.beyondRange?.[channel];
  const isQuick = capture.sampleRateHz >= QUICK_HZ;
  const above = marked?.above ?? cutOff(values, 1, isQuick);
  const below = marked?.below ?? cutOff(values, -1, isQuick);
  if (above === undefined && below === undefined) return noisyEnds(capture, values);
  return { ...(above === undefined ? {} : { above }), ...(below === undefined ? {} : { below }) };
}

/** The other end is taken for the same where readings stand at it: by this part of the level, looked at from that part on. Choices of this program, no source. */
const SAME_END = { part: 0.03, from: 0.9 };

/** Ends behind which noise was put on. */
function noisyEnds({ sampleRateHz }: Capture, values: Float64Array): Ends | undefined {
  const [top, bottom] = ([1, -1] as const).map((sign) => cutTopIn(values, sign, 1 / sampleRateHz));
  const seen = top ?? bottom;
  if (seen === undefined) return undefined;
  const { levelA, noiseA } = seen;
  const isMet = (sign: 1 | -1): boolean => {
    const high = values.map((value) => sign * value).filter((value) => value > SAME_END.from * levelA);
    return Math.abs(median(high) - levelA) < SAME_END.part * levelA;
  };
  const above = top?.levelA ?? (isMet(1) ? levelA : undefined);
  const below = bottom?.levelA ?? (isMet(-1) ? levelA : undefined);
  return {
    ...(above === undefined ? {} : { above }),
    ...(below === undefined ? {} : { below: -below }),
    noiseA: Math.max(noiseA, bottom?.noiseA ?? 0),
  };
}

/** Sampled so often a winding's rise shows in several readings (L over R of small motors, 0.5 to 2 ms). */
const QUICK_HZ = 2000;
/** Equal readings in such a stretch, and by how much of them the reading before lies lower, that no winding gives. Choices of this program, no source. */
const LONG_EQUAL = 50;
const JUMP_PART = 0.1;

/** The value at which `sign` times the readings are cut off. @param isQuick whether a rise would show in several of them */
function cutOff(values: Float64Array, sign: 1 | -1, isQuick: boolean): number | undefined {
  let top = Number.NEGATIVE_INFINITY;
  for (const value of values) if (sign * value > top) top = sign * value;
  if (!(top > 0)) return undefined;
  const at = (i: number): number => sign * sampleAt(values, i);
  const step = leastStep(values);
  for (let from = 0; from < values.length; from++) {
    if (at(from) !== top) continue;
    let to = from;
    while (to < values.length && at(to) === top) to++;
    const length = to - from;
    const stride = Math.max(2, Math.floor(0.1 * length));
    if (
      isQuick &&
      length >= LONG_EQUAL &&
      from > 0 &&
      top - at(from - 1) > JUMP_PART * top &&
      movesAtRest(values, JUMP_PART * top)
    )
      return sign * top;
    if (length >= LEAST_EQUAL) {
      if (from >= 2 * stride && isRunInto(top, at(from - stride), at(from - 2 * stride), step))
        return sign * top;
      if (
        to - 1 + 2 * stride < values.length &&
        isRunInto(top, at(to - 1 + stride), at(to - 1 + 2 * stride), step)
      )
        return sign * top;
    }
    from = to;
  }
  return undefined;
}

/** Of readings near zero so many are others than the commonest one: noise that would move a level that was really read. Choice of this program, no source. */
const MOVES_PART = 0.3;

function movesAtRest(values: Float64Array, belowA: number): boolean {
  const counts = new Map<number, number>();
  let all = 0;
  for (const value of values) {
    if (!(Math.abs(value) < belowA)) continue;
    counts.set(value, (counts.get(value) ?? 0) + 1);
    all++;
  }
  return all >= LONG_EQUAL && Math.max(...counts.values()) < (1 - MOVES_PART) * all;
}

/** @param near one stride from the stretch, `far` two. */
function isRunInto(top: number, near: number, far: number, step: number): boolean {
  const [last, before] = [top - near, near - far];
  return before >= LEAST_STEPS * step && last >= LEAST_OF_BEFORE * before;
}

/** Leading samples that a zero is taken from, at least; and so many of their deviations a current leaves them by. */
const ZERO_SAMPLES = 20;
const LEAVES_BY = 6;

/** The capture with the mean of every current before the first throw taken away, and a note of how much that was. */
export function zeroFromRest(capture: Capture): Capture {
  const notes: string[] = [];
  const channels = { ...capture.channels };
  for (const [channel, values] of sampledChannels(capture.channels)) {
    if (CHANNEL[channel].unit !== 'A') continue;
    const to = restEnd(capture, values);
    if (to < ZERO_SAMPLES) {
      notes.push(
        `No rest before the first throw tells the zero of ${CHANNEL[channel].words}; it stays as read.`,
      );
      continue;
    }
    const { mean } = summarise(values, 0, to);
    channels[channel] = values.map((value) => value - mean);
    notes.push(
      `The zero of ${CHANNEL[channel].words} was taken from rest: ${amount(mean, 'A', 3)} taken away.`,
    );
  }
  return { ...capture, channels, notes: [...capture.notes, ...notes] };
}

/** First sample that is no rest any more: by the positions, else where the current leaves its first readings. */
function restEnd({ position, positionKnown }: Capture, values: Float64Array): number {
  const thrown = positionKnown === false ? values.length : position.findIndex((word) => word !== 'rest');
  const end = thrown < 0 ? values.length : thrown;
  if (end < ZERO_SAMPLES) return 0;
  const { mean, deviation } = summarise(values, 0, ZERO_SAMPLES);
  const reach = Math.max(LEAVES_BY * deviation, 2 * leastStep(values));
  for (let i = ZERO_SAMPLES; i < end; i++) {
    if (Math.abs(sampleAt(values, i) - mean) > reach) return Math.max(0, Math.min(i - 5, i));
  }
  return end;
}
