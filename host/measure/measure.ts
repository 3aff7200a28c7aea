// From a capture to segments and measured quantities. Pure; sees the capture only, never the rig or a fault.

import { type Capture, CHANNELS } from '../capture/index.js';
import type { RigProfile } from '../profile/index.js';
import { budgetsOf, clockUncertainty } from './budget.js';
import { splitByFeed } from './fed.js';
import { withLeadInZero } from './lead-in.js';
import { limitedLevels } from './limited.js';
import { componentsOf, type Measured, type Quantity, quantityOf } from './quantity.js';
import { releaseOf } from './release.js';
import type { Segment } from './segment.js';
import { quantile, summarise } from './statistics.js';
import { tailLevels } from './tail-levels.js';
import { type ThrowSeen, throwOf } from './throw.js';
import { type CommandedStretch, commandedStretches, type Trace, traceOf } from './trace.js';
import { waveformStretches } from './waveform.js';

export interface MeasureOptions {
  /** Scales of the rig that took the capture; without it only scatter counts in the uncertainties. */
  rig?: RigProfile;
  /** Stands in for the supply where the supply was not sampled; used for thresholds only. */
  nominalVoltageV?: number;
  /** A simulated capture, free of noise, of which nobody asks how certain its numbers are: saves looking for that. */
  isIdeal?: boolean;
  /** Off saves a Fourier transform a throw. */
  ripple?: boolean;
  /** Ripples of the current in one turn of the shaft: turns the ripple into a speed. */
  ripplesPerTurn?: number;
  /** Speed of a good motor's shaft, by the throw's name: tells its ripple from the lines that a bad segment draws. */
  expectedRpm?: Readonly<Record<string, number>>;
  /** The switch was thrown by hand: the waveform tells the throws, whatever the capture says of positions. */
  thrownByHand?: boolean;
}

export interface MeasureResult {
  measured: Measured;
  segments: Segment[];
  /** Plain sentences: what could not be measured and why. */
  notes: string[];
}

/** The last part of a rest that its levels come from; feed comes on in the earlier part. */
const REST_TAIL = { part: 0.3, mostS: 0.5, word: 'rest' };

/** Everything that one capture tells. What cannot be measured is absent. */
export function measure(capture: Capture, options: MeasureOptions = {}): MeasureResult {
  const notes: string[] = [];
  if (capture.timeS.length < 10)
    return { measured: {}, segments: [], notes: ['The capture holds fewer than ten samples.'] };
  const leadIn = withLeadInZero(capture, budgetsOf(options.rig));
  const { budgets } = leadIn;
  const trace: Trace = { ...traceOf(leadIn.capture), isIdeal: options.isIdeal === true };
  const measured: Measured = { ...leadIn.measured };
  notes.push(...leadIn.notes);
  const segments: Segment[] = [];
  const supplyV = usualSupply(trace, options.nominalVoltageV);
  const isCommanded = capture.positionKnown !== false && options.thrownByHand !== true;
  const seen = isCommanded ? undefined : waveformStretches(trace, supplyV);
  if (seen) notes.push('Throws were told from the waveform.', ...seen.notes);
  const stretches = splitByFeed(seen?.stretches ?? commandedStretches(trace.position), trace.limited);
  const throws = new Map<string, number>();
  let last: ThrowSeen | undefined;
  let rests = 0;
  const limited = new Map<string, number>();
  stretches.forEach((stretch) => {
    if (stretch.limited) {
      last = undefined;
      const nth = (limited.get(stretch.position) ?? 0) + 1;
      limited.set(stretch.position, nth);
      const word = `limited${stretch.position[0]!.toUpperCase()}${stretch.position.slice(1)}`;
      const segment = levelSegment(trace, stretch, word, nth, true);
      Object.assign(measured, limitedLevels(trace, stretch, budgets, segment));
      segments.push(segment);
      return;
    }
    if (stretch.position === 'rest') {
      rests += 1;
      const segment = levelSegment(trace, stretch, 'rest', rests, false);
      if (rests === 1 && throws.size === 0 && (stretches.length > 1 || seen))
        Object.assign(measured, tailLevels(trace, stretch, budgets, segment, REST_TAIL).measured);
      if (last) {
        const seen = releaseOf(trace, stretch.from, stretch.to, last.before, budgets);
        Object.assign(measured, seen.measured);
        if (seen.class) last.segment.release = seen.class;
        if (seen.breakS !== undefined) segment.breakS = last.segment.breakS = seen.breakS;
        last = undefined;
      }
      segments.push(segment);
      return;
    }
    const nth = (throws.get(stretch.position) ?? 0) + 1;
    throws.set(stretch.position, nth);
    const name = nth === 1 ? stretch.position : `${stretch.position}${nth}`;
    last = throwOf(trace, stretch, name, supplyV, budgets, {
      ripple: options.ripple ?? true,
      ripplesPerTurn: options.ripplesPerTurn,
      expectedRpm: options.expectedRpm?.[name],
      isCommanded,
    });
    lossOf(trace, stretch, last.segment);
    Object.assign(measured, last.measured);
    notes.push(...last.notes);
    segments.push(last.segment);
  });
  // The last pair of throws: earlier ones may have been made through a limiter that nobody told of.
  const pairs = throws.get('forward') === throws.get('reverse') ? (throws.get('forward') ?? 0) : 0;
  const nth = pairs > 1 ? String(pairs) : '';
  const asymmetry =
    pairs === 0
      ? undefined
      : asymmetryOf(measured[`forward${nth}RunningCurrentA`], measured[`reverse${nth}RunningCurrentA`]);
  if (asymmetry) measured.runningAsymmetryPercent = asymmetry;
  addClock(measured, clockUncertainty(options.rig));
  for (const channel of CHANNELS) if (!capture.channels[channel]) notes.push(`${channel} was not sampled.`);
  for (const segment of segments) {
    for (const [channel, part] of Object.entries(segment.lost)) {
      notes.push(`${segment.name}: ${(100 * part).toFixed(0)} % of ${channel} was lost.`);
    }
  }
  return { measured, segments, notes };
}

/** What rests on time, or on time's inverse, shares the error of its clock. */
function addClock(measured: Measured, part: number): void {
  for (const [name, quantity] of Object.entries(measured)) {
    if (!/^(?:s|Hz|rpm|J)$/.test(quantity.unit)) continue;
    const clock = {
      standardUncertainty: Math.abs(quantity.value) * part,
      degreesOfFreedom: Number.POSITIVE_INFINITY,
      source: 'clock',
    };
    const { value, unit, fromS, toS } = quantity;
    const stretch = fromS === undefined || toS === undefined ? undefined : { fromS, toS };
    measured[name] = quantityOf(value, unit, [...componentsOf(quantity), clock], stretch);
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
function levelSegment(
  trace: Trace,
  stretch: CommandedStretch,
  word: string,
  nth: number,
  limited: boolean,
): Segment {
  const segment: Segment = {
    position: stretch.position,
    name: nth === 1 ? word : `${word}${nth}`,
    ...(limited ? { limited } : {}),
    fromS: trace.timeS[stretch.from]!,
    toS: trace.timeS[stretch.to - 1]! + trace.stepS,
    brief: false,
    lost: {},
    dropouts: [],
  };
  lossOf(trace, stretch, segment);
  return segment;
}

function lossOf(trace: Trace, stretch: CommandedStretch, segment: Segment): void {
  for (const channel of CHANNELS) {
    const values = trace.channels[channel];
    if (!values) continue;
    let lost = 0;
    for (let i = stretch.from; i < stretch.to; i++) if (Number.isNaN(values[i]!)) lost++;
    if (lost > 0) segment.lost[channel] = lost / (stretch.to - stretch.from);
  }
}

/** Forward minus reverse running current, as a percentage of their mean. */
function asymmetryOf(forward: Quantity | undefined, reverse: Quantity | undefined): Quantity | undefined {
  if (!forward || !reverse) return undefined;
  const sum = forward.value + reverse.value;
  if (!(sum > 10 * (forward.standardUncertainty + reverse.standardUncertainty)) || sum <= 0) return undefined;
  const value = (200 * (forward.value - reverse.value)) / sum;
  // One rig, one gain: what both readings share cancels, so scatter and rounding remain; the whole is kept as the safe side.
  return quantityOf(
    value,
    '%',
    [
      { ...forward, standardUncertainty: (400 * reverse.value * forward.standardUncertainty) / sum ** 2 },
      { ...reverse, standardUncertainty: (400 * forward.value * reverse.standardUncertainty) / sum ** 2 },
    ],
    forward.fromS === undefined || reverse.toS === undefined
      ? undefined
      : { fromS: forward.fromS, toS: reverse.toS },
  );
}
