// Rows of numbers and position words, straight from bytes into columns: what millions of samples mostly are. Anything
// else (quotes, a wrong word, a missing field, an empty line) is left for CsvScanner, which also tells the faults.

import { itemAt, sampleAt } from '../arrays/index.js';
import type { CsvScanner } from './csv-scanner.js';
import { NOT_A_NUMBER, POWERS_OF_TEN, readDecimal } from './decimal.js';

const CR = 13;
const LF = 10;
const SPACE = 32;
const MINUS = 45;
const PLUS = 43;
/** So many digits fit 32 bits. */
const MOST_SHORT_DIGITS = 9;

/** What a field holds and where it goes: a number (NaN for an empty cell) or the index of a word in its list. */
export type PlainField = { numbers: Float64Array } | { indices: Uint8Array; words: readonly string[] };

/**
 * Takes rows from where the scanner stands until one is not plain, until `to`, or until the window ends; into index
 * `from` of the columns onwards. The scanner then stands behind the last row taken.
 * @param point code of the decimal sign.
 * @returns the index behind the last row.
 */
export function readPlainRows(
  scanner: CsvScanner,
  fields: readonly PlainField[],
  point: number,
  from: number,
  to: number,
): number {
  const { bytes, end, isLast } = scanner.window;
  const separator = scanner.separator.charCodeAt(0);
  const last = fields.length - 1;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const numbers = fields.map((field) => ('numbers' in field ? field.numbers : undefined));
  const words = fields.map((field) =>
    'words' in field ? { ...field, words: field.words.map(codesOf) } : undefined,
  );
  // At hand in the loop: an import is looked up anew each time by some module systems.
  const powers = POWERS_OF_TEN;
  let row = from;
  let { at } = scanner;
  rows: while (row < to && at < end) {
    let cursor = at;
    for (let field = 0; field <= last; field++) {
      const column = numbers[field];
      const word = words[field];
      if (column !== undefined) {
        const start = cursor;
        let code = view.getUint8(cursor);
        const isNegative = code === MINUS;
        if (isNegative) code = view.getUint8(++cursor);
        let mantissa = 0;
        const first = cursor;
        while (code >= 48 && code <= 57) {
          mantissa = (mantissa * 10 + (code - 48)) | 0;
          code = view.getUint8(++cursor);
        }
        let digits = cursor - first;
        let decimals = 0;
        if (code === point) {
          const firstDecimal = ++cursor;
          code = view.getUint8(cursor);
          while (code >= 48 && code <= 57) {
            mantissa = (mantissa * 10 + (code - 48)) | 0;
            code = view.getUint8(++cursor);
          }
          decimals = cursor - firstDecimal;
          digits += decimals;
          // A point without digits behind it is a matter for the slow way.
          if (decimals === 0) digits = 0;
        }
        const isEnd = code === separator || code === LF || code === CR;
        if (isEnd && digits > 0 && digits <= MOST_SHORT_DIGITS) {
          // Exact by the same rule as readDecimal.
          const value = decimals > 0 ? mantissa / sampleAt(powers, decimals) : mantissa;
          column[row] = isNegative ? -value : value;
        } else if (isEnd && cursor === start) column[row] = Number.NaN;
        else {
          cursor = endOfNumber(view, start, point);
          code = view.getUint8(cursor);
          if (code !== separator && code !== LF && code !== CR) break rows;
          const value = longNumber(bytes, start, cursor, point);
          if (value === NOT_A_NUMBER) break rows;
          column[row] = value;
        }
      } else if (word !== undefined) {
        const found = wordStarting(bytes, cursor, word.words);
        if (found < 0) break rows;
        word.indices[row] = found;
        cursor += itemAt(word.words, found).length;
      }
      const code = view.getUint8(cursor);
      if (field < last) {
        if (code !== separator) break rows;
        cursor += 1;
      } else if (code === CR) {
        if (bytes[cursor + 1] === LF) cursor += 1;
      } else if (code !== LF) break rows;
    }
    if (cursor >= end && !isLast) break;
    // One empty field is an empty line.
    if (last === 0 && numbers[0] !== undefined && Number.isNaN(numbers[0][row])) break;
    at = cursor + 1;
    row += 1;
  }
  scanner.at = at;
  scanner.nextLine += row - from;
  scanner.line = scanner.nextLine - 1;
  return row;
}

/** Behind everything that a number, with spaces around it, may be written with. */
function endOfNumber(view: DataView, start: number, point: number): number {
  let at = start;
  for (;;) {
    const code = view.getUint8(at);
    const isPart =
      (code >= 48 && code <= 57) ||
      code === point ||
      code === MINUS ||
      code === PLUS ||
      code === SPACE ||
      (code | 32) === 101;
    if (!isPart) return at;
    at += 1;
  }
}

function longNumber(bytes: Uint8Array, start: number, end: number, point: number): number {
  const text = Buffer.from(bytes.buffer, bytes.byteOffset + start, end - start).toString('latin1');
  return readDecimal(text, 0, text.length, point);
}

/** Which of the words stands at `at`; -1 for none. */
function wordStarting(bytes: Uint8Array, at: number, words: readonly Uint8Array[]): number {
  for (let k = 0; k < words.length; k++) {
    const word = itemAt(words, k);
    let same = 0;
    while (same < word.length && bytes[at + same] === word[same]) same += 1;
    if (same === word.length) return k;
  }
  return -1;
}

const codesOf = (word: string): Uint8Array => Buffer.from(word, 'latin1');
