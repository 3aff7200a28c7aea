// Readings of a current that ran beyond the range of its instrument: lower bounds, or nothing.

import { sampleAt } from '../arrays/index.js';
import { type Capture, CHANNEL, type Channel } from '../capture/index.js';
import { significant } from '../tell/index.js';
import type { Budgets } from './budget.js';
import { clippedAt, type Ends, isCutOff } from './instrument.js';
import type { QuantityName } from './quantities.js';
import { type Measured, type Reading, readingOf } from './reading.js';
import { atStart, isThrow, type RunStretch } from './run-stretch.js';
import type { Segment } from './segment.js';

/** Grow with the current that was cut off. */
const BOUNDS: readonly QuantityName[] = [
  'inrushPeakA',
  'spikeA',
  'runningCurrentA',
  'runningPeakA',
  'motorCurrentA',
  'feedCurrentA',
  'heldRotorCurrentA',
  'energyJ',
  'feedEnergyJ',
];
/** Say nothing once the top is missing. */
const LOST: readonly QuantityName[] = [
  'inrushTimeS',
  'settleS',
  'fallTo37S',
  'sourceResistanceOhm',
  'startLoadA',
  'feedResistanceAtStartOhm',
  'groundResistanceAtStartOhm',
  'heldRotorFallPercent',
  'flatTopA',
  'flatTopS',
];

/** Makes lower bounds of what rests on cut-off samples and takes away what they spoil; a note for each throw. */
export function boundClipped(
  capture: Capture,
  measured: Measured,
  { segments, budgets }: { segments: readonly Segment[]; budgets: Budgets },
): string[] {
  const channel: Channel = capture.channels.motorCurrentA ? 'motorCurrentA' : 'feedCurrentA';
  const ends = clippedAt(capture, channel);
  // A rig's own end is told where the start is read.
  if (ends === undefined || !isCutOff(capture, channel, budgets)) return [];
  const notes: string[] = [];
  for (const { of, fromS, toS } of segments) {
    if (!isThrow(of)) continue;
    const cut = cutSpan(capture, channel, ends, { fromS, toS });
    if (cut === undefined || isSupplyLimit(capture, measured, of)) continue;
    bound(measured, of, cut);
    notes.push(cutNote(of, channel, cut, ends));
  }
  return notes;
}

function bound(measured: Measured, of: RunStretch, cut: Cut): void {
  for (const [key, reading] of Object.entries(measured)) {
    if (reading.what === 'inrushAsymmetryPercent') delete measured[key];
    if (reading.of?.id !== of.id || !touches(reading, cut)) continue;
    if (LOST.includes(reading.what)) delete measured[key];
    else if (BOUNDS.includes(reading.what)) measured[key] = boundOf(reading, cut.endA);
  }
}

/** A winding that is held warms, and its current falls by more within a throw (copper, 0.39 % a kelvin). Choice of this program, no source. */
const LEAST_FALL_PERCENT = 1;

/**
 * A lone current that stands at one level all through a throw, and does not fall as that of a held rotor does: the readings
 * as they are where the end of the instrument, or the supply's limit, holds it there. Undefined where there is none such.
 */
export function perhapsCutOff({
  measured,
  segments,
  notSampled,
}: {
  measured: Measured;
  segments: readonly Segment[];
  notSampled: readonly Channel[];
}): Measured | undefined {
  if (VOLTAGES.some((channel) => !notSampled.includes(channel))) return undefined;
  const told = { ...measured };
  let isAny = false;
  for (const { of, fromS, toS } of segments) {
    const level = readingOf(measured, 'heldRotorCurrentA', of);
    const fall = readingOf(measured, 'heldRotorFallPercent', of);
    if (!level || !fall || Math.abs(fall.value) > LEAST_FALL_PERCENT) continue;
    bound(told, of, { fromS, toS, endA: level.value });
    isAny = true;
  }
  return isAny ? told : undefined;
}

const VOLTAGES: readonly Channel[] = ['supplyVoltageV', 'leadAVoltageV', 'leadBVoltageV'];

function cutNote(of: RunStretch, channel: Channel, { endA }: Cut, { noiseA }: Ends): string {
  const least = significant(endA, 3, 'A');
  return noiseA === undefined
    ? `${atStart(of)}: ${CHANNEL[channel].words} ran beyond the range of the instrument: at least ${least}. Take a wider range for the peak and what follows from it.`
    : `${atStart(of)}: ${CHANNEL[channel].words} stands at ${least} where it would have gone higher: the end of the instrument's range, or the limit of the supply. The start is at least that; take a wider range.`;
}

/** A peak is at least what the instrument let through. */
const boundOf = (reading: Reading, endA: number): Reading => ({
  ...reading,
  atLeast: true,
  value: reading.what === 'inrushPeakA' || reading.what === 'runningPeakA' ? endA : reading.value,
});

/** So many deviations of noise about an end count as at it. Choice of this program, no source. */
const REACH = 2;

interface Cut {
  fromS: number;
  toS: number;
  endA: number;
}

/** From the first to the last sample of the stretch that stands at an end. */
function cutSpan(
  { timeS, channels }: Capture,
  channel: Channel,
  { above, below, noiseA = 0 }: Ends,
  stretch: { fromS: number; toS: number },
): Cut | undefined {
  const values = channels[channel];
  if (values === undefined) return undefined;
  let cut: Cut | undefined;
  let count = 0;
  for (let i = 0; i < values.length; i++) {
    const atS = sampleAt(timeS, i);
    const value = sampleAt(values, i);
    if (atS < stretch.fromS || atS > stretch.toS) continue;
    const isAbove = above !== undefined && value >= above - REACH * noiseA;
    const isBelow = below !== undefined && value <= below + REACH * noiseA;
    if (!isAbove && !isBelow) continue;
    count += 1;
    const endA = Math.abs((isAbove ? above : below) ?? value);
    cut = { fromS: cut?.fromS ?? atS, toS: atS, endA };
  }
  return count > 1 ? cut : undefined;
}

const touches = ({ fromS, toS }: Reading, cut: Cut): boolean =>
  fromS === undefined || toS === undefined || (fromS <= cut.toS && toS >= cut.fromS);

/** A supply that limits its current lets the voltage down meanwhile: that top is the current's own. */
const isSupplyLimit = ({ channels }: Capture, measured: Measured, of: RunStretch): boolean =>
  (channels.supplyVoltageV !== undefined ||
    (channels.leadAVoltageV !== undefined && channels.leadBVoltageV !== undefined)) &&
  readingOf(measured, 'flatTopA', of) !== undefined;
