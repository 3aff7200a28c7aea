// A voltage that was read across both leads of the motor: it tells what drives the motor, and of neither lead where it
// stands. And a lone voltage of which nothing is said: whether it behaves as the motor's or as the supply's.

import { sampleAt } from '../arrays/index.js';
import type { Capture } from './capture.js';
import { ACROSS_ROLE } from './columns.js';
import type { ChannelColumn } from './csv-header.js';

/** As a capture holds it: the parts above and below zero, so that A less B is what was read. */
export const acrossLeads = (voltageV: Float64Array): Capture['channels'] => ({
  leadAVoltageV: voltageV.map((value) => Math.max(0, value)),
  leadBVoltageV: voltageV.map((value) => Math.max(0, -value)),
});

/** A current flows above the first part of its most and is off below the second. Choices of this program, no source. */
const FLOWS_PART = 0.15;
const OFF_PART = 0.04;
/** At least so many samples of each. */
const LEAST_SAMPLES = 20;
/** Less is no voltage that drives a motor. */
const LEAST_DRIVE_V = 2;
/** Without a current the motor's is below the first part of what it is with one, a supply's above the second. */
const DEAD_PART = 0.2;
const STANDS_PART = 0.85;
/** So many of the samples have the sign of the current. */
const AGREES_PART = 0.9;

/** Undefined where it behaves as neither, or nothing tells. */
export function behavesAs(voltageV: Float64Array, currentA: Float64Array): 'motor' | 'supply' | undefined {
  const most = currentA.reduce((max, value) => Math.max(max, Number.isNaN(value) ? 0 : Math.abs(value)), 0);
  const flowing: number[] = [];
  const off: number[] = [];
  let agrees = 0;
  let isReversed = false;
  for (let k = 0; k < voltageV.length; k++) {
    const volts = sampleAt(voltageV, k);
    const amperes = sampleAt(currentA, k);
    if (Number.isNaN(volts) || Number.isNaN(amperes)) continue;
    if (Math.abs(amperes) < OFF_PART * most) off.push(volts);
    if (Math.abs(amperes) < FLOWS_PART * most) continue;
    flowing.push(volts);
    if (volts > 0 === amperes > 0) agrees++;
    if (amperes < 0) isReversed = true;
  }
  if (flowing.length < LEAST_SAMPLES || off.length < LEAST_SAMPLES) return undefined;
  const driveV = middle(flowing.map(Math.abs));
  if (driveV < LEAST_DRIVE_V) return undefined;
  const agreeing = agrees / flowing.length;
  if (middle(off.map(Math.abs)) < DEAD_PART * driveV) return agreeing >= AGREES_PART ? 'motor' : undefined;
  const least = Math.min(...[flowing, off].map((values) => quantileOf(values, LOW)));
  if (least <= 0 || middle(off) < STANDS_PART * driveV) return undefined;
  // A supply stands whichever way the current flows; one that follows its sign would have been a motor's.
  return agreeing >= AGREES_PART || isReversed ? 'supply' : undefined;
}

const LOW = 0.02;
const quantileOf = (values: readonly number[], part: number): number =>
  [...values].sort((a, b) => a - b)[Math.floor(part * (values.length - 1))] ?? 0;
const middle = (values: readonly number[]): number => quantileOf(values, 0.5);

/** A column as its readings show it, beside the currents that were read already; undefined where they tell nothing of it. */
export function asFound(
  column: ChannelColumn,
  samples: Float64Array,
  { motorCurrentA, feedCurrentA, supplyVoltageV }: Capture['channels'],
): ChannelColumn | undefined {
  if (column.across !== 'perhaps') return column;
  const currentA = motorCurrentA ?? feedCurrentA;
  const { across: _, ...plain } = column;
  switch (currentA && behavesAs(samples, currentA)) {
    case 'motor':
      return { ...plain, across: 'motor' };
    case 'supply':
      return supplyVoltageV === undefined ? { ...plain, name: 'supplyVoltageV' } : undefined;
    default:
      return undefined;
  }
}

export const acrossNote = ({ across }: ChannelColumn, title: string): string =>
  across === 'perhaps'
    ? `'${title}' comes and goes with the current: it was taken as the voltage across the motor. Where either lead stands is not known; if it is something else, say so with --column.`
    : `'${title}' is the voltage across the motor: where either lead stands is not known.`;

export const supplyNote = (title: string): string =>
  `'${title}' stands whether a current flows or not: it was taken as the supply. If it is something else, say so with --column.`;

export const notUsed = (title: string): string =>
  `Column '${title}' looks like a voltage and was not used; say what it is, such as --column '${ACROSS_ROLE}=${title}' or 'supply=${title}'.`;
