// A capture as CSV (RFC 4180, CRLF). Gaps and notes are not in the format: a missing sample is an empty cell.

import { itemAt, sampleAt } from '../arrays/index.js';
import { type Capture, sampledChannels, toldChannels } from './capture.js';
import { CHANNEL } from './channels.js';
import { ACROSS_COLUMN, COIL_FEED_COLUMN, FEED_COLUMN, POSITION_COLUMN, TIME_COLUMN } from './columns.js';
import { digitsOf, putNumber, type Scale, scaleOf } from './decimal-digits.js';

/** How far numbers mean something: so many decimals, or so many parts of the largest in their column. */
export type Precision = { decimals: number } | { resolution: number };

/** Rows written at a time. */
const ROWS_A_PIECE = 8192;
const MOST_REMEMBERED = 4096;
/** Times to the nanosecond where numbers are cut. */
const OF_TIME: Precision = { decimals: 9 };
/** Below it a double is whole to the last bit at this size: no column means more. */
const MOST_DECIMALS = 15;
/** The longest text of a double: -2.2250738585072014e-308. */
const EXACT_BYTES = 24;
/** ASCII. */
const COMMA = 0x2c;
const CR = 0x0d;
const LF = 0x0a;

interface Column {
  name: string;
  /** Most bytes of one cell. */
  width: number;
  /** Writes the cell of `row` from `at` on and returns the place behind it. */
  put(bytes: Buffer, at: number, row: number): number;
}

/**
 * @param precision of the numbers, whose trailing zeros are left out; without it every number reads back as the same double.
 * @param more further columns by name.
 * @throws RangeError for an infinite sample, which no instrument gives.
 */
export function writeCaptureCsv(
  capture: Capture,
  { precision, more = {} }: { precision?: Precision; more?: Readonly<Record<string, Float64Array>> } = {},
): Buffer {
  const { timeS, feed, coilFeed } = capture;
  const numbers = (name: string, values: Float64Array, to = precision): Column =>
    to === undefined ? exactColumn(name, values) : decimalColumn(name, values, to);
  const columns = [
    numbers(TIME_COLUMN, timeS, precision && OF_TIME),
    ...(capture.positionKnown === false ? [] : [textColumn(POSITION_COLUMN, capture.position)]),
    ...(feed ? [textColumn(FEED_COLUMN, feed)] : []),
    ...(coilFeed ? [textColumn(COIL_FEED_COLUMN, new Array(timeS.length).fill(coilFeed))] : []),
    ...sampledChannels(toldChannels(capture)).map(([channel, values]) =>
      numbers(CHANNEL[channel].column, values),
    ),
    ...acrossColumn(capture).map((values) => numbers(ACROSS_COLUMN, values)),
    ...Object.entries(more).map(([name, values]) => numbers(name, values)),
    ...Object.entries(capture.extraColumns ?? {}).map(([name, cells]) => textColumn(name, cells)),
  ];
  const rowBytes = columns.reduce((sum, { width }) => sum + width + 1, 1);
  const pieces = [Buffer.from(`${columns.map(({ name }) => quoted(name)).join(',')}\r\n`)];
  for (let from = 0; from < timeS.length; from += ROWS_A_PIECE) {
    const to = Math.min(from + ROWS_A_PIECE, timeS.length);
    const bytes = Buffer.allocUnsafe((to - from) * rowBytes);
    let at = 0;
    for (let row = from; row < to; row++) {
      for (const column of columns) {
        at = column.put(bytes, at, row);
        bytes[at++] = COMMA;
      }
      bytes[at - 1] = CR;
      bytes[at++] = LF;
    }
    pieces.push(bytes.subarray(0, at));
  }
  return Buffer.concat(pieces);
}

/** What was read between the leads, where nothing else is known of them. */
function acrossColumn({ leadsByDifference, channels }: Capture): Float64Array[] {
  const { leadAVoltageV: a, leadBVoltageV: b } = channels;
  return leadsByDifference && a && b ? [a.map((value, k) => value - sampleAt(b, k))] : [];
}

function decimalColumn(name: string, values: Float64Array, precision: Precision): Column {
  let largest = 0;
  for (const value of values) if (Math.abs(value) > largest) largest = Math.abs(value);
  if (largest === Number.POSITIVE_INFINITY) throw new RangeError(`a sample of ${name} must be finite`);
  const scale = scaleFor(precision, largest);
  return {
    name,
    width: digitsOf(largest) + scale.decimals + 3,
    put: (bytes, at, row) => {
      const value = sampleAt(values, row);
      return Number.isNaN(value) ? at : putNumber(bytes, at, value, scale);
    },
  };
}

function scaleFor(precision: Precision, largest: number): Scale {
  if ('decimals' in precision) return scaleOf(precision.decimals);
  const wanted = largest === 0 ? 0 : Math.ceil(-Math.log10(largest * precision.resolution));
  return scaleOf(Math.min(MOST_DECIMALS, Math.max(0, wanted)));
}

function exactColumn(name: string, values: Float64Array): Column {
  // A converter of ten bits gives a thousand different readings: their texts are made once.
  const texts = new Map<number, string>();
  const textOf = (value: number): string => {
    // String() drops the sign of minus zero, and Map takes it for zero.
    if (value === 0) return Object.is(value, -0) ? '-0' : '0';
    const known = texts.get(value);
    if (known !== undefined) return known;
    if (!Number.isFinite(value)) throw new RangeError(`a sample of ${name} must be finite, not ${value}`);
    const text = String(value);
    if (texts.size < MOST_REMEMBERED) texts.set(value, text);
    return text;
  };
  return {
    name,
    width: EXACT_BYTES,
    put: (bytes, at, row) => {
      const value = sampleAt(values, row);
      return Number.isNaN(value) ? at : at + bytes.write(textOf(value), at, 'latin1');
    },
  };
}

function textColumn(name: string, cells: readonly string[]): Column {
  // Positions and feeds are few words: each is made to bytes once.
  const bytesOf = new Map<string, Uint8Array>();
  for (const cell of cells) if (!bytesOf.has(cell)) bytesOf.set(cell, Buffer.from(quoted(cell)));
  return {
    name,
    width: [...bytesOf.values()].reduce((most, { length }) => Math.max(most, length), 0),
    put: (bytes, at, row) => {
      const cell = bytesOf.get(itemAt(cells, row));
      if (cell === undefined) return at;
      bytes.set(cell, at);
      return at + cell.length;
    },
  };
}

function quoted(text: string): string {
  return /[",\r\n]|^\s|\s$/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
