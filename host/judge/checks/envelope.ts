// The whole course of each throw, held against the band in which good units move: what no single reading of it shows.
// Aligned at the edges that the capture itself shows. The rest behind a throw is the release check's.

import { type Capture, CHANNELS, type Channel, firstAtOrAfter } from '../../capture/index.js';
import { LEAD_IN_S } from '../../circuit/index.js';
import type { Segment } from '../../measure/index.js';
import type { Check } from '../verdict.js';
import { throwId, throwWords } from '../words.js';
import { type CheckContext, modelOrigin, whyMissing } from './context.js';

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
/** Outside for longer than this part is no edge and no ripple any more (common practice, no source). */
const OUTSIDE_PART = 0.05;
/** Up to here edges that come late may be all of it, as where a limit is reached early: neither passed nor failed. */
const SURELY_OUTSIDE = 2 * OUTSIDE_PART;
/** Supply is no doing of the unit. */
const ASKED: readonly Channel[] = CHANNELS.filter((channel) => channel !== 'supplyVoltageV');
/** No band is narrower: what a circuit at rest may show and a good joint may drop (the limits of those checks). */
const LEAST_REACH: Record<Channel, number> = {
  feedCurrentA: 0.2,
  motorCurrentA: 0.2,
  coilCurrentA: 0.01,
  leadAVoltageV: 0.2,
  leadBVoltageV: 0.2,
  supplyVoltageV: 0.2,
};
const WORDS: Partial<Record<Channel, string>> = {
  feedCurrentA: 'feed current',
  motorCurrentA: 'motor current',
  coilCurrentA: 'coil current',
  leadAVoltageV: 'lead A',
  leadBVoltageV: 'lead B',
};

/** Of a harness with its motor; a part alone has its own questions, and what it hangs on would answer for it. */
export function envelopeChecks(context: CheckContext, capture: Capture): Check[] {
  if (context.unit.unit.subject !== 'harness-with-motor') return [];
  const starts = plannedStarts(context);
  return context.expectation.throws.flatMap(({ name }) => {
    const planned = starts.get(name);
    return planned === undefined ? [] : [envelopeCheck(context, capture, name, planned)];
  });
}

function envelopeCheck(context: CheckContext, capture: Capture, name: string, planned: Planned): Check {
  const base = { id: throwId('envelope', name), required: true, origin: modelOrigin(context) };
  const words = throwWords(name);
  const segment = context.seen.segments.find((one) => one.name === name);
  if (!segment || segment.brief || !context.supplyHolds) {
    return { ...base, outcome: 'not-tested', sentence: `${words}: course ${whyMissing(context, name)}.` };
  }
  let worst: { channel: Channel; part: number } | undefined;
  for (const channel of ASKED) {
    const part = outsidePart(context, capture, channel, segment, planned);
    if (part !== undefined && (!worst || part > worst.part)) worst = { channel, part };
  }
  if (!worst)
    return { ...base, required: false, outcome: 'not-tested', sentence: `${words}: course not measured.` };
  const percent = 100 * worst.part;
  const often = `${percent.toFixed(percent < 10 ? 1 : 0)} % of the time (at most ${(100 * OUTSIDE_PART).toFixed(0)} %)`;
  return {
    ...base,
    sentence:
      worst.part === 0
        ? `${words}: leads and currents keep to the course of good units.`
        : `${words}: the ${WORDS[worst.channel]} leaves the course of good units for ${often}.`,
    value: percent,
    unit: '%',
    expandedUncertainty: 0,
    upper: 100 * OUTSIDE_PART,
    outcome: worst.part <= OUTSIDE_PART ? 'pass' : worst.part <= SURELY_OUTSIDE ? 'conditional-fail' : 'fail',
  };
}

interface Planned {
  /** In the band's time: its lead-in counts. */
  startS: number;
  durationS: number;
}

/** Full-feed throws of the plan, by the names that measuring gives them. */
function plannedStarts({ unit }: CheckContext): Map<string, Planned> {
  const starts = new Map<string, Planned>();
  const counts = new Map<string, number>();
  let atS = LEAD_IN_S;
  for (const { position, feed, durationS } of unit.plan.steps) {
    if (position !== 'rest' && feed === 'full') {
      const nth = (counts.get(position) ?? 0) + 1;
      counts.set(position, nth);
      starts.set(nth === 1 ? position : `${position}${nth}`, { startS: atS, durationS });
    }
    atS += durationS;
  }
  return starts;
}

/** Part of the cells that lie outside the band by more than the guard; undefined where too little was sampled. */
function outsidePart(
  context: CheckContext,
  capture: Capture,
  channel: Channel,
  segment: Segment,
  { startS, durationS }: Planned,
): number | undefined {
  const values = capture.channels[channel];
  const { band, features } = context.expectation;
  const lower = band.lower[channel];
  const upper = band.upper[channel];
  if (!values || !lower || !upper) return undefined;
  // Contact on contact; the command on the command where no contact was seen.
  const delayS = features[`${segment.name}ContactDelayS`]?.nominal;
  const seenAtS =
    segment.contactS !== undefined && delayS !== undefined ? segment.contactS - delayS : segment.fromS;
  const supply = supplyFactors(context, channel);
  const guardOf = guard(context, channel);
  const bandStepS = band.timeS[1]! - band.timeS[0]!;
  // Where travel ends has a check of its own, and moves with the supply.
  const hasLimits = context.unit.style.elements.some(({ kind }) => kind === 'limit');
  const lastS = (hasLimits ? 0.5 : 1) * Math.min(segment.toS - seenAtS, durationS) - EDGE_S;
  let cells = 0;
  let outside = 0;
  let i = firstAtOrAfter(capture.timeS, seenAtS + EDGE_S);
  for (let fromS = EDGE_S; fromS + CELL_S <= lastS; fromS += CELL_S) {
    let sum = 0;
    let count = 0;
    while (i < capture.timeS.length && capture.timeS[i]! < seenAtS + fromS + CELL_S) {
      const value = values[i]!;
      if (!Number.isNaN(value)) {
        sum += value;
        count += 1;
      }
      i += 1;
    }
    if (count === 0) continue;
    // One slot more on either side: relays differ by so much in what follows their contact.
    const first = Math.max(0, Math.floor((startS + fromS) / bandStepS) - 1);
    const last = Math.min(band.timeS.length - 1, Math.ceil((startS + fromS + CELL_S) / bandStepS) + 1);
    let low = Number.POSITIVE_INFINITY;
    let high = Number.NEGATIVE_INFINITY;
    for (let slot = first; slot <= last; slot++) {
      if (lower[slot]! < low) low = lower[slot]!;
      if (upper[slot]! > high) high = upper[slot]!;
    }
    if (!(low <= high)) continue;
    const middle = (low + high) / 2;
    const reach = Math.max(LEAST_REACH[channel], (WIDEN * (high - low)) / 2);
    const bounds = [middle - reach, middle + reach].flatMap((edge) => supply.map((factor) => edge * factor));
    const mean = sum / count;
    cells += 1;
    const guardA = guardOf(mean);
    if (mean < Math.min(...bounds) - guardA || mean > Math.max(...bounds) + guardA) outside += 1;
  }
  return cells < 10 ? undefined : outside / cells;
}

/** Expanded uncertainty of one cell, and the ripple that it may hold. */
function guard({ unit }: CheckContext, channel: Channel): (value: number) => number {
  const { gainUncertaintyPercent, offsetUncertainty, perCount } = unit.rig.scales[channel];
  const ripple = channel === 'motorCurrentA' || channel === 'feedCurrentA' ? RIPPLE_PART : 0;
  return (value) =>
    2 * Math.hypot((gainUncertaintyPercent / 100) * value, offsetUncertainty, perCount / Math.sqrt(12)) +
    ripple * Math.abs(value);
}

/**
 * The run's own supply over the model's. Voltages and coils go with it, motor currents between its root and itself
 * (published pair: +17 % of the supply gives +14 to +25 % of the running current and +33 % of the stall current).
 */
function supplyFactors({ seen, expectation }: CheckContext, channel: Channel): number[] {
  const supply = seen.measured.restSupplyVoltageV?.value;
  if (supply === undefined) return [1];
  const ratio = supply / expectation.nominalSupplyV;
  return channel === 'motorCurrentA' || channel === 'feedCurrentA'
    ? [Math.sqrt(ratio), ratio ** 1.3]
    : [ratio];
}
