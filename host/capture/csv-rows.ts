// The rows of a capture file into columns of samples: plain rows by the million, every other one field by field.

import { InputError, nearestName } from '../profile/index.js';
import type { Columns } from './csv-header.js';
import { type PlainField, readPlainRows } from './csv-plain-rows.js';
import type { CsvScanner } from './csv-scanner.js';
import { NOT_A_NUMBER, readDecimal } from './decimal.js';

const POINT = 46;
const COMMA = 44;

/** A column whose cells are words of a list; an empty cell means the word before it. */
export interface WordColumn {
  index: number;
  words: readonly string[];
  /** Index of each row's word in the list. */
  indices: Uint8Array;
  held: number;
}

export interface Rows {
  count: number;
  /** Columns of numbers, NaN for an empty cell, in the order asked; longer than `count`. */
  numbers: Float64Array[];
  words: WordColumn[];
  /** Cells of each column of text. */
  texts: string[][];
  /** Numbers were written with a decimal comma. */
  hasDecimalCommas: boolean;
}

export interface RowsWanted {
  /** Fields of a record, and the name of each for messages. */
  columns: Columns;
  numbers: readonly number[];
  words: readonly { index: number; words: readonly string[] }[];
  texts: readonly number[];
  /** The one of `numbers` that has to increase from row to row. */
  time: number | undefined;
  /** Rows that the file may hold, for the first reservation. */
  capacity: number;
}

/** Reads every record from where the scanner stands. @throws InputError naming line and column of the first fault. */
export function readRows(scanner: CsvScanner, wanted: RowsWanted): Rows {
  const { columns, texts } = wanted;
  const file = scanner.fileName;
  let capacity = Math.max(64, wanted.capacity);
  const rows: Rows = {
    count: 0,
    numbers: wanted.numbers.map(() => new Float64Array(capacity)),
    words: wanted.words.map((column) => ({ ...column, indices: new Uint8Array(capacity), held: 0 })),
    texts: texts.map(() => []),
    hasDecimalCommas: false,
  };
  const timeAt = wanted.time === undefined ? -1 : wanted.numbers.indexOf(wanted.time);
  const fault = (index: number, what: string, mend: string, line = scanner.line): InputError =>
    new InputError({ file, line, key: columns.names[index], what, mend });

  const numberOf = (index: number): number => {
    const cell = scanner.field(index);
    const value = readDecimal(cell, 0, cell.length, rows.hasDecimalCommas ? COMMA : POINT);
    if (value !== NOT_A_NUMBER) return value;
    if (scanner.separator !== ',' && !rows.hasDecimalCommas && cell.includes(',')) {
      const other = readDecimal(cell, 0, cell.length, COMMA);
      if (other !== NOT_A_NUMBER) {
        rows.hasDecimalCommas = true;
        return other;
      }
    }
    const mend = cell.includes(',')
      ? 'write a decimal point, or separate the columns by semicolons'
      : 'write a number, or leave the cell empty where there is no sample';
    throw fault(index, `'${cell.slice(0, 40)}' is not a number`, mend);
  };

  const wordOf = (column: WordColumn, row: number): number => {
    const cell = scanner.field(column.index).trim();
    const found = column.words.indexOf(cell.toLowerCase());
    if (found >= 0) return found;
    if (cell === '' && row > 0) {
      column.held += 1;
      return column.indices[row - 1]!;
    }
    const near = cell === '' ? undefined : nearestName(cell, column.words);
    const mend = near ? `did you mean ${near}?` : `write ${column.words.join(', ')}`;
    const name = columns.names[column.index]!.toLowerCase();
    const what = cell === '' ? `the ${name} is missing` : `'${cell.slice(0, 40)}' is no ${name}`;
    throw fault(column.index, what, mend);
  };

  let lastS = Number.NEGATIVE_INFINITY;
  /** Rows [from, to), the last of which stands in the scanner's present line. */
  const checkTimes = (from: number, to: number): void => {
    if (timeAt < 0) return;
    const timeS = rows.numbers[timeAt]!;
    for (let row = from; row < to; row++) {
      const atS = timeS[row]!;
      if (!(atS > lastS)) {
        const line = scanner.line - (to - 1 - row);
        const index = wanted.time!;
        if (Number.isNaN(atS))
          throw fault(index, 'the time is missing', 'write seconds, such as 0.0002', line);
        const what =
          atS === lastS ? `the time ${atS} stands twice` : `the time goes back from ${lastS} to ${atS}`;
        const mend = 'write times that increase from row to row, with enough decimals';
        throw fault(index, what, mend, line);
      }
      lastS = atS;
    }
  };

  // With columns of text every row is taken field by field: their cells have to become strings anyway.
  const isPlain = texts.length === 0 && wanted.numbers.length + wanted.words.length === columns.count;
  let fields: PlainField[] = [];
  const layOut = (): void => {
    if (!isPlain) return;
    fields = new Array(columns.count);
    for (const [i, index] of wanted.numbers.entries()) fields[index] = { numbers: rows.numbers[i]! };
    for (const { index, indices, words } of rows.words) fields[index] = { indices, words };
  };
  layOut();
  for (;;) {
    if (isPlain) {
      const to = readPlainRows(scanner, fields, rows.hasDecimalCommas ? COMMA : POINT, rows.count, capacity);
      checkTimes(rows.count, to);
      rows.count = to;
    }
    if (!scanner.next()) break;
    if (scanner.count !== columns.count) throw wrongCount(scanner, columns.count);
    if (rows.count === capacity) {
      capacity *= 2;
      rows.numbers = rows.numbers.map((column) => grown(column, new Float64Array(capacity)));
      for (const column of rows.words) column.indices = grown(column.indices, new Uint8Array(capacity));
      layOut();
    }
    const row = rows.count;
    for (const [i, index] of wanted.numbers.entries()) {
      rows.numbers[i]![row] = numberOf(index);
      // In the order of the fields, so that the first fault of a row is told.
      if (i === timeAt) checkTimes(row, row + 1);
    }
    for (const column of rows.words) column.indices[row] = wordOf(column, row);
    for (const [i, index] of texts.entries()) rows.texts[i]!.push(scanner.field(index));
    rows.count += 1;
  }
  if (rows.count === 0) {
    const what = 'no sample follows the header';
    throw new InputError({ file, line: scanner.line, what, mend: 'add rows of samples' });
  }
  return rows;
}

function wrongCount(scanner: CsvScanner, asked: number): InputError {
  const more = scanner.count > asked && scanner.separator === ',';
  return new InputError({
    file: scanner.fileName,
    line: scanner.line,
    what: `${scanner.count} fields where the header has ${asked}`,
    mend: more
      ? 'write decimal points (or separate the columns by semicolons), and put text with commas in quotes'
      : 'fill the row with empty cells; the file may be cut off here',
  });
}

function grown<T extends Float64Array | Uint8Array>(column: T, larger: T): T {
  larger.set(column);
  return larger;
}
