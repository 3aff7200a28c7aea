// From a capture to segments and measured quantities. Pure; sees the capture only, never the rig or a fault.

import { lastOf, sampleAt } from '../arrays/index.js';
import {
  absentChannels,
  type Capture,
  CHANNEL,
  CHANNELS,
  type Channel,
  withoutChannels,
} from '../capture/index.js';
import type { RigProfile } from '../profile/index.js';
import { amount, milli } from '../tell/index.js';
import { acCoupling } from './ac-coupled.js';
import { budgetsOf, clockUncertainty, fineBudgets } from './budget.js';
import type { CaptureDoubt } from './capture-doubt.js';
import { boundClipped } from './clipped.js';
import { splitByFeed } from './fed.js';
import { withFollowedZero } from './followed-zero.js';
import { withLeftHum, withoutHum } from './hum.js';
import { type Instrument, instrumentBudgets } from './instrument.js';
import { withLeadInZero } from './lead-in.js';
import { limitedLevels } from './limited.js';
import { misreadIn } from './misread.js';
import type { QuantityName } from './quantities.js';
import { lineOf, type Quantity, quantityOf, scaledLines, withLine } from './quantity.js';
import { markReversals } from './quick-reversal.js';
import { type Measured, puttingInto, readingOf } from './reading.js';
import { releaseOf } from './release.js';
import { atStart, isThrow, type RunStretch, runStretch, StretchCount } from './run-stretch.js';
import type { Segment } from './segment.js';
import { quantile, summarise } from './statistics.js';
import { tailLevels } from './tail-levels.js';
import { type ThrowSeen, throwOf } from './throw.js';
import { newOf, throwDoubts, zeroMoved } from './throw-doubts.js';
import { toldLateS } from './told-late.js';
import { type CommandedStretch, commandedStretches, type Trace, traceOf } from './trace.js';
import { type WaveformSeen, waveformStretches } from './waveform.js';
import { withDrift } from './zero-drift.js';

export interface MeasureOptions {
  /** Scales of the rig that took the capture; without it only scatter counts in the uncertainties. */
  rig?: RigProfile;
  /** Accuracy of the instrument that took it, in place of the rig's. */
  instrument?: Instrument;
  /** Stands in for the supply where the supply was not sampled; used for thresholds only. */
  nominalVoltageV?: number;
  /** A simulated capture, free of noise, of which nobody asks how certain its numbers are: saves looking for that. */
  isIdeal?: boolean;
  /** Off saves a Fourier transform a throw. */
  ripple?: boolean;
  /** Ripples of the current in one turn of the shaft: turns the ripple into a speed. */
  ripplesPerTurn?: number;
  /** Speed of a good motor's shaft, by the throw's id: tells its ripple from the lines that a bad segment draws. */
  expectedRpm?: ReadonlyMap<string, number>;
  /** The switch was thrown by hand: the waveform tells the throws, whatever the capture says of positions. */
  thrownByHand?: boolean;
  /** A drive with limit switches hangs there: a current that ends for good in a throw has met one. */
  stopsItself?: boolean;
}

export interface MeasureResult {
  measured: Measured;
  segments: Segment[];
  /** Channels that the instrument does not have. */
  notSampled: Channel[];
  /** Plain sentences: what could not be measured and why. */
  notes: string[];
  /** What the capture itself shows to be wrong with how it was taken; absent where nothing. */
  doubts?: CaptureDoubt[];
  /** The table's positions lag so far behind what they set off that the waveform was taken in their place. */
  toldLateS?: number;
  /** The capture without the walk of a zero; absent where none walked. */
  followed?: Capture;
}

/** The last part of a rest that its levels come from; feed comes on in the earlier part. */
const REST_TAIL = { part: 0.3, mostS: 0.5 };
const LEAST_SAMPLES = 10;
/** A sum of two currents that stands less clear of zero is none. Choice of this program, no source. */
const CLEAR_OF_ZERO = 10;

/** Everything that one capture tells. What cannot be measured is absent. */
export function measure(whole: Capture, options: MeasureOptions = {}): MeasureResult {
  const notSampled = absentChannels(whole);
  if (whole.timeS.length < LEAST_SAMPLES)
    return { measured: {}, segments: [], notSampled, notes: ['The capture holds fewer than ten samples.'] };
  // A rig's own inputs pass steady current.
  const coupling = options.isIdeal || whole.feed ? undefined : acCoupling(whole);
  const capture = coupling ? withoutChannels(whole, coupling.channels) : whole;
  const doubts: CaptureDoubt[] = coupling ? [coupling] : [];
  // Of an instrument that is no rig: what it picked up with nothing driven.
  const still = options.isIdeal || whole.feed ? undefined : withoutHum(capture);
  if (still) doubts.push(...still.doubts);
  const leadIn = withLeadInZero(
    still?.capture ?? capture,
    withLeftHum(instrumentBudgets(capture, fineBudgets(capture, options.rig), options), still?.left),
  );
  const followed = options.isIdeal
    ? { capture: leadIn.capture, budgets: leadIn.budgets, notes: [] }
    : withFollowedZero(leadIn.capture, leadIn.budgets);
  const { budgets } = followed;
  const trace: Trace = { ...traceOf(followed.capture), isIdeal: options.isIdeal === true };
  const measured: Measured = { ...leadIn.measured };
  const notes: string[] = [...(still?.notes ?? []), ...leadIn.notes, ...followed.notes];
  const segments: Segment[] = [];
  const supplyV = usualSupply(trace, options.nominalVoltageV);
  const { seen, isCommanded, lateS, notes: ofThrows } = throwsTold(trace, supplyV, options);
  notes.push(...ofThrows);
  if (seen?.left) doubts.push(zeroMoved(seen.left, trace.channels.motorCurrentA !== undefined));
  const stretches = splitByFeed(seen?.stretches ?? commandedStretches(trace.position), trace.limited);
  const { ripple = true, ripplesPerTurn, expectedRpm } = options;
  const { stopsItself } = options;
  const context = { trace, budgets, restSupplyV: supplyV, ripple, ripplesPerTurn, isCommanded, stopsItself };
  const count = new StretchCount();
  const hasThrown = (): boolean => count.of('full', 'forward') + count.of('full', 'reverse') > 0;
  let last: ThrowSeen | undefined;
  for (const [at, stretch] of stretches.entries()) {
    const of = count.next(stretch.limited ? 'limited' : 'full', stretch.position, seen?.isWayUntold);
    if (of.feed === 'full' && isThrow(of)) {
      const drifted = options.isIdeal ? budgets : withDrift(trace, stretches, at, budgets);
      last = throwOf({ ...context, budgets: drifted }, stretch, of, expectedRpm?.get(of.id));
      doubts.push(...newOf(doubts, throwDoubts(last, trace, still ? whole : undefined)));
      Object.assign(measured, last.measured);
      notes.push(...last.notes);
      segments.push(last.segment);
    } else {
      const segment = levelSegment(trace, stretch, of);
      if (of.feed === 'limited') limitedLevels(trace, stretch, segment, { budgets, measured });
      // At rest before the first throw, of a capture that throws at all.
      else if (of.nth === 1 && !hasThrown() && (stretches.length > 1 || seen))
        tailLevels(trace, stretch, segment, REST_TAIL, { budgets, measured });
      if (last && of.feed === 'full') {
        const released = releaseOf(trace, stretch, last.before, budgets);
        Object.assign(measured, released.measured);
        if (released.class) last.segment.release = released.class;
        if (released.breakS !== undefined) segment.breakS = last.segment.breakS = released.breakS;
      }
      last = undefined;
      segments.push(segment);
    }
    lossOf(trace, stretch, lastOf(segments));
  }
  markReversals(segments, measured);
  const startedTurning = new Set(segments.flatMap(({ of, startsTurning }) => (startsTurning ? [of.id] : [])));
  // The last pair of throws: earlier ones may have been made through a limiter that nobody told of.
  const [forwards, reverses] = [count.of('full', 'forward'), count.of('full', 'reverse')];
  // A hand may have thrown one way once more than the other.
  const isByHand = !isCommanded && !options.isIdeal;
  const pairs = isByHand ? Math.min(forwards, reverses) : forwards === reverses ? forwards : 0;
  if (pairs > 0) {
    const each = (what: QuantityName): Quantity | undefined => {
      const [forward, reverse] = (['forward', 'reverse'] as const).map((position) =>
        readingOf(measured, what, runStretch('full', position, { nth: pairs })),
      );
      const isFromRest = [forward, reverse].every((one) => !startedTurning.has(one?.of?.id ?? ''));
      if (what === 'inrushPeakA' && !isFromRest) return undefined;
      return forward?.atLeast || reverse?.atLeast ? undefined : asymmetryOf(forward, reverse);
    };
    puttingInto(measured)('runningAsymmetryPercent', each('runningCurrentA'));
    puttingInto(measured)('inrushAsymmetryPercent', each('inrushPeakA'));
  }
  addClock(measured, clockUncertainty(options.rig));
  if (!options.isIdeal)
    notes.push(...boundClipped(capture, measured, { segments, budgets: budgetsOf(options.rig) }));
  for (const channel of notSampled) notes.push(`${CHANNEL[channel].label} was not sampled.`);
  for (const { of, lost } of segments) {
    for (const channel of CHANNELS) {
      const part = lost[channel] ?? 0;
      if (part > 0)
        notes.push(`${atStart(of)}: ${amount(100 * part, '%', 0)} of ${CHANNEL[channel].words} was lost.`);
    }
  }
  doubts.push(...misreadIn(trace, segments, measured));
  notes.unshift(...doubts.map(({ sentence }) => sentence));
  return {
    ...{ measured, segments, notSampled, notes },
    ...(doubts.length > 0 ? { doubts } : {}),
    ...(lateS === undefined ? {} : { toldLateS: lateS }),
    ...(followed.notes.length === 0 ? {} : { followed: followed.capture }),
  };
}

/** The throws by the waveform, where nothing tells the positions, or nothing that can be held to. */
function throwsTold(
  trace: Trace,
  supplyV: number,
  { isIdeal, thrownByHand }: MeasureOptions,
): { seen?: WaveformSeen; isCommanded: boolean; lateS?: number; notes: string[] } {
  const { positionKnown, feed } = trace.source;
  const isTold = positionKnown !== false && thrownByHand !== true;
  // A rig knows when it threw.
  if (isTold && (feed !== undefined || isIdeal)) return { isCommanded: true, notes: [] };
  const seen = waveformStretches(trace, supplyV);
  const lateS = isTold ? toldLateS(trace, commandedStretches(trace.position), seen.stretches) : undefined;
  if (isTold && lateS === undefined) return { isCommanded: true, notes: [] };
  const late =
    lateS === undefined
      ? []
      : [`The positions in the file come ${milli(lateS, 's', 0)} later than what they set off.`];
  return {
    seen,
    isCommanded: false,
    ...(lateS === undefined ? {} : { lateS }),
    notes: [...late, 'Throws were told from the waveform.', ...seen.notes],
  };
}

/** What rests on time, or on time's inverse, shares the error of its clock. */
const TIMED: ReadonlySet<string> = new Set(['s', 'Hz', 'rpm', 'J']);

export function addClock(measured: Measured, part: number): void {
  for (const [key, reading] of Object.entries(measured)) {
    if (!TIMED.has(reading.unit)) continue;
    const clock = lineOf(Math.abs(reading.value) * part, 'clock');
    measured[key] = { ...reading, ...withLine(reading, clock) };
  }
}

function usualSupply(trace: Trace, nominalVoltageV: number | undefined): number {
  const supply = trace.channels.supplyVoltageV;
  const seen = supply ? summarise(supply).mean : Number.NaN;
  if (seen > 1) return seen;
  if (nominalVoltageV !== undefined) return nominalVoltageV;
  // Not the very highest: an inductive kick runs beyond the supply.
  const highest = Math.max(
    ...(['leadAVoltageV', 'leadBVoltageV'] as const).map((channel) => {
      const values = trace.channels[channel];
      return values ? quantile(values, 0.99) : 0;
    }),
  );
  return highest > 1 ? highest : 12;
}

/** A stretch that levels are read from: at rest, or any under the limited feed. */
const levelSegment = (trace: Trace, stretch: CommandedStretch, of: RunStretch): Segment => ({
  of,
  fromS: sampleAt(trace.timeS, stretch.from),
  toS: sampleAt(trace.timeS, stretch.to - 1) + trace.stepS,
  brief: false,
  lost: {},
  dropouts: [],
});

function lossOf(trace: Trace, stretch: CommandedStretch, segment: Segment): void {
  for (const channel of CHANNELS) {
    const values = trace.channels[channel];
    if (!values) continue;
    let lost = 0;
    for (let i = stretch.from; i < stretch.to; i++) if (Number.isNaN(sampleAt(values, i))) lost++;
    if (lost > 0) segment.lost[channel] = lost / (stretch.to - stretch.from);
  }
}

/** Forward minus reverse running current, as a percentage of their mean. */
function asymmetryOf(forward: Quantity | undefined, reverse: Quantity | undefined): Quantity | undefined {
  if (!forward || !reverse) return undefined;
  const sum = forward.value + reverse.value;
  if (!(sum > CLEAR_OF_ZERO * (forward.standardUncertainty + reverse.standardUncertainty)) || sum <= 0)
    return undefined;
  // One rig, one gain: what both readings share cancels, so scatter and rounding remain; the whole is kept as the safe side.
  const lines = [
    ...scaledLines(forward, (400 * reverse.value) / sum ** 2, 'forward'),
    ...scaledLines(reverse, (400 * forward.value) / sum ** 2, 'reverse'),
  ];
  const { fromS } = forward;
  const { toS } = reverse;
  const span = fromS === undefined || toS === undefined ? undefined : { fromS, toS };
  return quantityOf((200 * (forward.value - reverse.value)) / sum, '%', lines, span);
}
