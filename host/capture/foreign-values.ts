// The numbers of a foreign table in SI units, and the line that tells what was understood of it.

import { sampleAt } from '../arrays/index.js';
import { InputError } from '../input/index.js';
import { shortly } from '../tell/index.js';
import type { Capture } from './capture.js';
import { CHANNEL } from './channels.js';
import type { ChannelColumn, Columns, TimeColumn } from './csv-header.js';
import type { NumberColumn } from './csv-rows.js';
import { scaleTold, wordsOfColumn } from './foreign-columns.js';
import { roleOf } from './mappings.js';
import { inSi, isSi, type Unit } from './units.js';

export const SI_UNIT: Record<'A' | 'V', Unit> = {
  A: { kind: 'current', name: 'A', up: 1, down: 1 },
  V: { kind: 'voltage', name: 'V', up: 1, down: 1 },
};

/** No current in amperes and no voltage in volts of such a bench is above this (fuses of 15 A, supplies of 24 V). */
const LARGEST_SI = 100;

export function secondsOf(values: Float64Array, { unit, fromFirst }: TimeColumn): Float64Array {
  const start = fromFirst ? sampleAt(values, 0) : 0;
  if (start === 0 && (unit === undefined || isSi(unit))) return values;
  return values.map((value) => (unit ? inSi(value - start, unit) : value - start));
}

export function inSiUnits(
  values: Float64Array,
  { name, unit, factor }: ChannelColumn,
  currentScale: number | undefined,
): Float64Array {
  const scale = (factor ?? 1) * (CHANNEL[name].unit === 'A' ? (currentScale ?? 1) : 1);
  if (scale === 1 && (unit === undefined || isSi(unit))) return values;
  return values.map((value) => scale * (unit ? inSi(value, unit) : value));
}

/** @throws InputError where nothing told the unit and the numbers are too large for the one assumed. */
export function refuseLarge(
  values: Float64Array,
  { name, assumed }: ChannelColumn,
  { file, title }: { file: string; title: string },
): void {
  if (!assumed) return;
  const { unit } = CHANNEL[name];
  let largest = 0;
  for (const value of values) if (Math.abs(value) > largest) largest = Math.abs(value);
  if (largest <= LARGEST_SI) return;
  throw new InputError({
    file,
    key: title,
    what: `its unit is not told: ${shortly(largest)} may be ${unit} or m${unit}`,
    mend: `say --column '${roleOf(name)}=${title}:m${unit}' or '${roleOf(name)}=${title}:${unit}'`,
  });
}

/** Puts readings beyond the range at the outermost one that the instrument gave. */
export function beyondOf(
  over: NumberColumn['over'],
  samples: Float64Array,
  { name }: ChannelColumn,
): { beyond?: { above?: number; below?: number }; note?: string } {
  if (over.length === 0) return {};
  let most = Number.NEGATIVE_INFINITY;
  let least = Number.POSITIVE_INFINITY;
  for (const value of samples) {
    if (value > most) most = value;
    if (value < least) least = value;
  }
  const beyond: { above?: number; below?: number } = {};
  for (const { row, mark } of over) {
    if (!Number.isFinite(most)) continue;
    // An instrument that gives no sign is beyond on the side of the reading before.
    const isBelow = mark === 'under' || (least < 0 && nearSign(samples, row) < 0);
    samples[row] = isBelow ? least : most;
    if (isBelow) beyond.below = least;
    else beyond.above = most;
  }
  const ends = [beyond.above, beyond.below].flatMap((end) => end ?? []);
  const { unit, words } = CHANNEL[name];
  return {
    beyond,
    note: `${over.length} readings of ${words} were beyond the range of the instrument: there it is at least ${ends.map((end) => `${shortly(end)} ${unit}`).join(' or ')}.`,
  };
}

function nearSign(samples: Float64Array, row: number): number {
  for (let back = row - 1; back >= 0; back--) {
    const value = sampleAt(samples, back);
    if (!Number.isNaN(value)) return value;
  }
  return 0;
}

/** `Read 12000 rows, 5000 a second, 2.4 s: motor current from 'CH1 (mA)' in mA (x 0.001).` */
export function understood(
  { timeS, sampleRateHz }: Capture,
  rows: number,
  columns: Columns,
  currentScale: number | undefined,
): string {
  const spanS = timeS.length === 0 ? 0 : sampleAt(timeS, timeS.length - 1) - sampleAt(timeS, 0);
  const rate = sampleRateHz > 0 ? `${Number(sampleRateHz.toPrecision(6))} a second` : 'not evenly spaced';
  const { times } = columns;
  const time =
    'index' in times ? `time from '${columns.names[times.index]}' ${timeTold(times)}` : 'time by the rate';
  const read = columns.channels.map(
    (column) =>
      `${wordsOfColumn(column.name, column.across).replace(/^the /, '')} from '${columns.names[column.index]}' ${scaleTold(column, currentScale)}`,
  );
  return `Read ${rows} rows, ${rate}, ${Number(spanS.toPrecision(4))} s: ${[time, ...read].join(', ')}.`;
}

function timeTold({ unit, stamps }: TimeColumn): string {
  if (stamps) return 'as date and time';
  return `in ${unit?.name ?? 's'}`;
}
