// The rows of a capture file into columns of samples: plain rows by the million, every other one field by field.

import { itemAt, sampleAt } from '../arrays/index.js';
import { InputError, nearestName } from '../input/index.js';
import { type Special, specialNumber, specialOf, stampS, withUnitOf } from './cells.js';
import type { Columns } from './csv-header.js';
import { type PlainField, readPlainRows } from './csv-plain-rows.js';
import type { CsvScanner } from './csv-scanner.js';
import { NOT_A_NUMBER, readDecimal } from './decimal.js';
import { GROUPED } from './layout.js';
import { positionWord } from './positions.js';
import { inSi, type Unit } from './units.js';

const POINT = 46;
const COMMA = 44;

/** A column of numbers, NaN for an empty cell; longer than the rows are many. */
export interface NumberColumn {
  index: number;
  values: Float64Array;
  /** Rows whose reading lay beyond the range of the instrument, above or below; NaN stands there. */
  over: { row: number; mark: Exclude<Special, 'missing'> }[];
}

/** A column whose cells are words of a list; an empty cell means the word before it. */
export interface WordColumn {
  index: number;
  words: readonly string[];
  /** Index of each row's word in the list. */
  indices: Uint8Array;
  held: number;
}

export interface TextColumn {
  index: number;
  cells: string[];
}

export interface Rows {
  count: number;
  numbers: NumberColumn[];
  words: WordColumn[];
  texts: TextColumn[];
  /** Numbers were written with a decimal comma. */
  hasDecimalCommas: boolean;
  /** Lines that are remarks. */
  remarks: number;
}

export interface RowsWanted {
  /** Fields of a record, and the name of each for messages. */
  columns: Columns;
  numbers: readonly number[];
  words: readonly { index: number; words: readonly string[] }[];
  texts: readonly number[];
  /** The one of `numbers` that has to increase from row to row. */
  time: number | undefined;
  /** The fields that together are a date and time of day, in place of a number. */
  stamps?: readonly number[] | undefined;
  /** What one of a column's numbers is, for cells that bring their own unit. */
  units?: ReadonlyMap<number, Unit>;
  /** Numbers have decimal commas, as far as the file's beginning tells. */
  hasDecimalCommas?: boolean;
  /** Rows that the file may hold, for the first reservation. */
  capacity: number;
}

/** Reads every record from where the scanner stands. @throws InputError naming line and column of the first fault. */
export const readRows = (scanner: CsvScanner, wanted: RowsWanted): Rows =>
  new RowReader(scanner, wanted).read();

const REMARK = /^\s*(?:#(?!n\/?a)|%|\/\/|!)/i;
const THOUSANDS = 'export it without thousands separators; where its commas are decimal, say --decimal comma';

class RowReader {
  readonly #rows: Rows;
  #firstStampS: number | undefined;
  #capacity: number;
  /** Of the row before; no time is below it. */
  #lastS = Number.NEGATIVE_INFINITY;
  /** With columns of text every row is taken field by field: their cells have to become strings anyway. */
  readonly #isPlain: boolean;

  constructor(
    readonly scanner: CsvScanner,
    readonly wanted: RowsWanted,
  ) {
    const { columns, numbers, words, texts } = wanted;
    const capacity = Math.max(64, wanted.capacity);
    this.#capacity = capacity;
    this.#rows = {
      count: 0,
      numbers: numbers.map((index) => ({ index, values: new Float64Array(capacity), over: [] })),
      words: words.map((column) => ({ ...column, indices: new Uint8Array(capacity), held: 0 })),
      texts: texts.map((index) => ({ index, cells: [] })),
      hasDecimalCommas: wanted.hasDecimalCommas ?? false,
      remarks: 0,
    };
    this.#isPlain =
      texts.length === 0 &&
      numbers.length + words.length === columns.count &&
      wanted.stamps === undefined &&
      !scanner.isSpaced;
  }

  read(): Rows {
    const { scanner } = this;
    const rows = this.#rows;
    for (;;) {
      if (this.#isPlain) this.#takePlainRows();
      if (!scanner.next()) break;
      if (this.#isForeign && this.#holdsNothing()) continue;
      if (scanner.count !== this.wanted.columns.count && !this.#onlyEmptyDiffer())
        throw wrongCount(scanner, this.wanted.columns.count);
      if (rows.count === this.#capacity) this.#grow();
      this.#takeRow();
    }
    if (rows.count === 0) {
      const what = 'no sample follows the header';
      throw new InputError({ file: scanner.fileName, line: scanner.line, what, mend: 'add rows of samples' });
    }
    if (this.#isForeign) this.#takeMarksOut();
    return rows;
  }

  /** Numbers that stand for no reading, or for one beyond the range. */
  #takeMarksOut(): void {
    const { count, numbers } = this.#rows;
    for (const { index, values, over } of numbers) {
      if (index === this.wanted.time) continue;
      for (let row = 0; row < count; row++) {
        const mark = specialNumber(sampleAt(values, row));
        if (mark === undefined) continue;
        values[row] = Number.NaN;
        if (mark !== 'missing') over.push({ row, mark });
      }
    }
  }

  get #isForeign(): boolean {
    return this.wanted.columns.isForeign === true;
  }

  /** A remark, or a row of empty cells. */
  #holdsNothing(): boolean {
    const { scanner } = this;
    if (REMARK.test(scanner.field(0))) {
      this.#rows.remarks += 1;
      return true;
    }
    // Without a column of times an empty row is a sample that is missing.
    if (this.wanted.time === undefined) return false;
    for (let c = 0; c < scanner.count; c++) if (scanner.field(c).trim() !== '') return false;
    return true;
  }

  /** More or fewer separators at the end of a row than in the rows before, with nothing between them. */
  #onlyEmptyDiffer(): boolean {
    const { scanner, wanted } = this;
    if (!this.#isForeign) return false;
    for (let c = wanted.columns.count; c < scanner.count; c++)
      if (scanner.field(c).trim() !== '') return false;
    const needed = Math.max(
      ...wanted.numbers,
      ...wanted.words.map(({ index }) => index),
      ...wanted.texts,
      ...(wanted.stamps ?? []),
    );
    return scanner.count > needed;
  }

  #takePlainRows(): void {
    const rows = this.#rows;
    const fields = new Array<PlainField>(this.wanted.columns.count);
    for (const { index, values } of rows.numbers) fields[index] = { numbers: values };
    for (const { index, indices, words } of rows.words) fields[index] = { indices, words };
    const to = readPlainRows(this.scanner, fields, this.#point, rows.count, this.#capacity);
    const kept = this.#isForeign ? this.#withoutEmptyRows(rows.count, to) : to;
    this.#checkTimes(rows.count, kept);
    rows.count = kept;
  }

  /** Closes up rows [from, to) over those without time and any number; the end of what is left. */
  #withoutEmptyRows(from: number, to: number): number {
    const { numbers } = this.#rows;
    const time = numbers.find(({ index }) => index === this.wanted.time);
    if (time === undefined) return to;
    let kept = from;
    for (let row = from; row < to; row++) {
      if (Number.isNaN(time.values[row]) && numbers.every(({ values }) => Number.isNaN(values[row])))
        continue;
      if (kept < row) {
        for (const { values } of numbers) values[kept] = sampleAt(values, row);
        for (const { indices } of this.#rows.words) indices[kept] = indices[row] ?? 0;
      }
      kept += 1;
    }
    return kept;
  }

  /** The scanner's present record, field by field. */
  #takeRow(): void {
    const rows = this.#rows;
    const row = rows.count;
    for (const column of rows.numbers) {
      const { index, values } = column;
      values[row] =
        index === this.wanted.time && this.wanted.stamps
          ? this.#stampAt(this.wanted.stamps)
          : this.#numberAt(column, row);
      // In the order of the fields, so that the first fault of a row is told.
      if (index === this.wanted.time) this.#checkTimes(row, row + 1);
    }
    for (const column of rows.words) column.indices[row] = this.#wordAt(column, row);
    for (const { index, cells } of rows.texts) cells.push(this.scanner.field(index));
    rows.count += 1;
  }

  #grow(): void {
    this.#capacity *= 2;
    for (const column of this.#rows.numbers)
      column.values = grown(column.values, new Float64Array(this.#capacity));
    for (const column of this.#rows.words)
      column.indices = grown(column.indices, new Uint8Array(this.#capacity));
  }

  /** Code of the decimal sign. */
  get #point(): number {
    return this.#rows.hasDecimalCommas ? COMMA : POINT;
  }

  /** Seconds since the first row's date and time; one that knows no date goes on past midnight. */
  #stampAt(fields: readonly number[]): number {
    const cell = fields.map((field) => this.scanner.field(field)).join(' ');
    const atS = stampS(cell);
    if (atS === undefined)
      throw this.#fault(
        fields[0] ?? 0,
        `'${cell.slice(0, 40)}' is no date and time`,
        'write it as 2026-11-29 10:00:00.000',
      );
    this.#firstStampS ??= atS;
    // Whole microseconds: the difference of two large numbers carries dust behind them.
    const sinceS = Math.round(1e9 * (atS - this.#firstStampS)) / 1e9;
    const days =
      sinceS < this.#lastS - 43_200 && this.#firstStampS < 86_400
        ? Math.round((this.#lastS - sinceS) / 86_400)
        : 0;
    return sinceS + 86_400 * days;
  }

  #numberAt(column: NumberColumn, row: number): number {
    const { index } = column;
    const rows = this.#rows;
    const cell = this.scanner.field(index);
    const value = readDecimal(cell, 0, cell.length, this.#point);
    if (value !== NOT_A_NUMBER) return value;
    if ((this.scanner.separator !== ',' || this.#isForeign) && !rows.hasDecimalCommas && cell.includes(',')) {
      const other = readDecimal(cell, 0, cell.length, COMMA);
      if (other !== NOT_A_NUMBER && !(this.#isForeign && GROUPED.test(cell))) {
        rows.hasDecimalCommas = true;
        return other;
      }
    }
    const mark = specialOf(cell);
    if (mark === 'missing') return Number.NaN;
    if (mark !== undefined && index !== this.wanted.time) {
      column.over.push({ row, mark });
      return Number.NaN;
    }
    if (this.#isForeign) {
      const own = withUnitOf(cell, this.#point);
      const unit = this.wanted.units?.get(index);
      if (own && unit && own.unit.kind === unit.kind)
        return (inSi(own.value, own.unit) * unit.down) / unit.up;
      if (/\d[.,' ]\d{3}/.test(cell) && /^[-+\d.,' ]+$/.test(cell))
        throw this.#fault(index, `'${cell.slice(0, 40)}' is not a number`, THOUSANDS);
    }
    const mend = cell.includes(',')
      ? 'write a decimal point, or separate the columns by semicolons'
      : 'write a number, or leave the cell empty where there is no sample';
    throw this.#fault(index, `'${cell.slice(0, 40)}' is not a number`, mend);
  }

  #wordAt(column: WordColumn, row: number): number {
    const cell = this.scanner.field(column.index).trim();
    const word = cell.toLowerCase();
    const [own, other] = [column.words.indexOf(word), column.words.indexOf(positionWord(word))];
    if (own >= 0 || other >= 0) return own >= 0 ? own : other;
    const before = column.indices[row - 1];
    if (cell === '' && before !== undefined) {
      column.held += 1;
      return before;
    }
    const near = cell === '' ? undefined : nearestName(cell, column.words);
    const mend = near ? `did you mean ${near}?` : `write ${column.words.join(', ')}`;
    const name = itemAt(this.wanted.columns.names, column.index).toLowerCase();
    const what = cell === '' ? `the ${name} is missing` : `'${cell.slice(0, 40)}' is no ${name}`;
    throw this.#fault(column.index, what, mend);
  }

  /** Rows [from, to), the last of which stands in the scanner's present line. */
  #checkTimes(from: number, to: number): void {
    const time = this.#rows.numbers.find(({ index }) => index === this.wanted.time);
    if (time === undefined) return;
    let lastS = this.#lastS;
    for (let row = from; row < to; row++) {
      const atS = sampleAt(time.values, row);
      if (!(atS > lastS)) throw this.#timeFault(time.index, lastS, atS, this.scanner.line - (to - 1 - row));
      lastS = atS;
    }
    this.#lastS = lastS;
  }

  #timeFault(index: number, lastS: number, atS: number, line: number): InputError {
    if (Number.isNaN(atS))
      return this.#fault(index, 'the time is missing', 'write seconds, such as 0.0002', line);
    const what =
      atS === lastS ? `the time ${atS} stands twice` : `the time goes back from ${lastS} to ${atS}`;
    const mend = 'write times that increase from row to row, with enough decimals';
    const instead = this.#isForeign ? `${mend}; or say --time-column none with --sample-rate` : mend;
    return this.#fault(index, what, instead, line);
  }

  #fault(index: number, what: string, mend: string, line = this.scanner.line): InputError {
    const { fileName: file } = this.scanner;
    return new InputError({ file, line, key: this.wanted.columns.names[index], what, mend });
  }
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
