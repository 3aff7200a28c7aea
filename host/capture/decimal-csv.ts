// A simulated capture as CSV, each number no longer than it means: so many decimals as its column's largest value calls
// for. Written digit by digit into bytes, which is several times quicker than joining the texts of doubles.

import { itemAt, sampleAt } from '../arrays/index.js';
import type { Capture } from './capture.js';
import { CHANNEL, CHANNELS } from './channels.js';
import { POSITION_COLUMN, TIME_COLUMN } from './columns.js';
import { POSITIONS } from './positions.js';

const ROWS_A_PIECE = 8192;
/** Times to the nanosecond; longer ones than a year are none of a simulation's. */
const OF_TIME: Scale = { decimals: 9, unit: 1e9 };
const TIME_WIDTH = 24;
/** Below it a double is whole to the last bit at this size: no column means more. */
const MOST_DECIMALS = 15;
/** Largest number that the machine divides as a whole one. */
const MOST_INT = 0x7fffffff;
/** ASCII. */
const MINUS = 0x2d;
const POINT = 0x2e;
const COMMA = 0x2c;
const ZERO = 0x30;
const CR = 0x0d;
const LF = 0x0a;

interface Scale {
  decimals: number;
  /** Ten to the decimals. */
  unit: number;
}

interface Column extends Scale {
  name: string;
  values: Float64Array;
  /** Most bytes of one number, its comma included. */
  width: number;
}

/**
 * Header and rows of `capture` and `more` columns by name, piece by piece; a missing sample is an empty cell. A number is
 * written to `resolution` parts of the largest in its column, and its trailing zeros are left out.
 * @throws RangeError for an infinite sample, which no instrument gives.
 */
export function* decimalCsv(
  { timeS, position, channels }: Capture,
  more: Readonly<Record<string, Float64Array>>,
  resolution: number,
): Generator<Uint8Array> {
  const columns = [
    ...CHANNELS.flatMap((channel): [string, Float64Array][] => {
      const values = channels[channel];
      return values === undefined ? [] : [[CHANNEL[channel].column, values]];
    }),
    ...Object.entries(more),
  ].map(([name, values]) => columnOf(name, values, resolution));
  const encoder = new TextEncoder();
  yield encoder.encode(`${[TIME_COLUMN, POSITION_COLUMN, ...columns.map(({ name }) => name)].join(',')}\r\n`);
  const words = POSITIONS.map((word) => encoder.encode(`,${word}`));
  const longestWord = Math.max(...words.map(({ length }) => length));
  const rowBytes = columns.reduce((sum, { width }) => sum + width, TIME_WIDTH + longestWord);
  for (let from = 0; from < timeS.length; from += ROWS_A_PIECE) {
    const to = Math.min(from + ROWS_A_PIECE, timeS.length);
    const bytes = new Uint8Array((to - from) * rowBytes);
    let at = 0;
    for (let row = from; row < to; row++) {
      at = put(bytes, at, sampleAt(timeS, row), OF_TIME);
      const word = itemAt(words, POSITIONS.indexOf(itemAt(position, row)));
      bytes.set(word, at);
      at += word.length;
      for (const column of columns) {
        bytes[at++] = COMMA;
        at = put(bytes, at, sampleAt(column.values, row), column);
      }
      bytes[at++] = CR;
      bytes[at++] = LF;
    }
    yield bytes.subarray(0, at);
  }
}

function columnOf(name: string, values: Float64Array, resolution: number): Column {
  let largest = 0;
  for (const value of values) if (Math.abs(value) > largest) largest = Math.abs(value);
  if (largest === Number.POSITIVE_INFINITY) throw new RangeError(`a sample of ${name} must be finite`);
  const wanted = largest === 0 ? 0 : Math.ceil(-Math.log10(largest * resolution));
  const decimals = Math.min(MOST_DECIMALS, Math.max(0, wanted));
  return { name, values, decimals, unit: 10 ** decimals, width: digitsOf(largest) + decimals + 4 };
}

/** Writes one number from `at` on and returns the place behind it. */
function put(bytes: Uint8Array, at: number, value: number, { decimals, unit }: Scale): number {
  if (Number.isNaN(value)) return at;
  const count = Math.round(Math.abs(value) * unit);
  let end = at;
  if (value < 0 && count > 0) bytes[end++] = MINUS;
  const whole = Math.floor(count / unit);
  end = putDigits(bytes, end, whole, digitsOf(whole));
  let fraction = count - whole * unit;
  if (fraction === 0) return end;
  let places = decimals;
  for (let shorter = fraction / 10; shorter === Math.floor(shorter); shorter = fraction / 10) {
    fraction = shorter;
    places--;
  }
  bytes[end] = POINT;
  return putDigits(bytes, end + 1, fraction, places);
}

function digitsOf(count: number): number {
  let digits = 1;
  for (let most = 10; count >= most; most *= 10) digits++;
  return digits;
}

function putDigits(bytes: Uint8Array, at: number, count: number, digits: number): number {
  let left = count;
  let place = at + digits - 1;
  for (; left > MOST_INT; place--) {
    const higher = Math.floor(left / 10);
    bytes[place] = ZERO + left - 10 * higher;
    left = higher;
  }
  // What fits is divided as the machine divides whole numbers.
  for (let whole = left | 0; place >= at; place--) {
    const higher = (whole / 10) | 0;
    bytes[place] = ZERO + whole - 10 * higher;
    whole = higher;
  }
  return at + digits;
}
