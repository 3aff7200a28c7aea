// Where in a foreign file the table stands: what lies above it, its headings, a row of units, its first row of samples,
// what separates its columns and which sign is decimal. Found in the file's beginning by what the rows have in common.

import { InputError } from '../input/index.js';
import { type CellKind, cellKind } from './cells.js';
import { type HeadRecord, headRecords } from './head-records.js';
import { type Told, toldIn } from './preamble.js';
import { unitOf } from './units.js';

export interface Layout {
  /** A space stands for any run of blanks. */
  separator: string;
  decimal: 'point' | 'comma' | undefined;
  /** One for each column; '' where nothing heads it. */
  headings: string[];
  /** Of the row of units; '' where there is none. */
  units: string[];
  /** Line of the headings, from 1; of the first row of samples where there are none. */
  line: number;
  hasHeader: boolean;
  /** Where the first row of samples begins, in characters of the head, and its line. */
  at: number;
  dataLine: number;
  told: Told[];
  /** The rows of samples that the head holds. */
  rows: string[][];
  kinds: CellKind[];
}

const SEPARATORS = ['\t', ';', '|', ',', ' '] as const;
/** Two values in one cell: the wrong separator was taken. */
const GLUED = /[\d.][;,\t| ]+[-+.\d]|\d[,;|]\s*$/;
/** Rows at the end of the head by which a table is known. */
const TAIL_ROWS = 40;

interface Table {
  separator: string;
  records: HeadRecord[];
  start: number;
  kinds: CellKind[];
  glued: number;
}

/** @throws InputError where no table is found, or one that can be read two ways. */
export function layoutOf(
  head: string,
  file: string,
  {
    isWhole,
    decimal,
    skipRows = 0,
  }: { isWhole: boolean; decimal?: 'point' | 'comma' | undefined; skipRows?: number | undefined },
): Layout {
  const start = behindLines(head, skipRows);
  const said = /^sep=(.)\r?\n?/i.exec(head.slice(start.at));
  const from = said ? { at: start.at + said[0].length, line: start.line + 1 } : start;
  const tables = (said ? [said[1] ?? ','] : SEPARATORS).flatMap((separator) => {
    if (separator === ',' && decimal === 'comma' && !said) return [];
    const records = headRecords(head, separator, from, isWhole);
    return tableOf(records, separator) ?? [];
  });
  if (decimal === 'comma' && tables.length === 0)
    tables.push(...[tableOf(headRecords(head, '\u0000', from, isWhole), '\u0000') ?? []].flat());
  const numbers = ({ kinds }: Table): number =>
    kinds.filter((kind) => kind === 'number' || kind === 'stamp').length;
  const texts = ({ kinds }: Table): number => kinds.filter((kind) => kind === 'text').length;
  const [table] = tables.sort(
    (one, two) => one.glued - two.glued || numbers(two) - numbers(one) || texts(one) - texts(two),
  );
  if (table === undefined)
    throw new InputError({
      file,
      line: from.line,
      what: 'no table of numbers was found',
      mend: 'give one row a sample, with its columns separated by commas, semicolons, tabs or blanks',
    });
  return described(table, decimal, file);
}

/** Where the line behind the first `count` lines begins. */
function behindLines(head: string, count: number): { at: number; line: number } {
  let at = 0;
  for (let k = 0; k < count; k++) {
    const end = /\r\n|\n|\r/g;
    end.lastIndex = at;
    const found = end.exec(head);
    if (!found) break;
    at = end.lastIndex;
  }
  return { at, line: count + 1 };
}

function tableOf(records: HeadRecord[], separator: string): Table | undefined {
  const real = records.filter(({ comment }) => !comment);
  if (real.length === 0) return undefined;
  const tail = real.slice(-Math.min(TAIL_ROWS, Math.max(1, Math.ceil(real.length / 2))));
  const counts = new Map<number, number>();
  for (const { cells } of tail) counts.set(cells.length, (counts.get(cells.length) ?? 0) + 1);
  const [width] = [...counts].sort((one, two) => two[1] - one[1] || two[0] - one[0])[0] ?? [0];
  if (width === 0 || (separator === ' ' && width < 2)) return undefined;
  // Between commas only a quoted cell holds one.
  const comma = true;
  const fitting = tail.filter(({ cells }) => cells.length === width);
  const kinds = Array.from({ length: width }, (_, c): CellKind => {
    const found = fitting
      .map(({ cells }) => cellKind(cells[c] ?? '', comma))
      .filter((kind) => kind !== 'empty');
    const most = (kind: CellKind): number => found.filter((other) => other === kind).length;
    if (found.length === 0) return 'empty';
    if (most('text') > 0.5 * found.length) return 'text';
    return most('stamp') > most('number') ? 'stamp' : most('number') > 0 ? 'number' : 'special';
  });
  if (!kinds.some((kind) => kind === 'number')) return undefined;
  const fits = ({ cells, comment }: HeadRecord): boolean => {
    if (comment || cells.slice(width).some((cell) => cell.trim() !== '')) return false;
    if (cells.length < width && kinds.slice(cells.length).some((kind) => kind !== 'empty')) return false;
    const here = cells.slice(0, width).map((cell) => cellKind(cell, comma));
    return (
      here.some((kind, c) => kind === 'number' && kinds[c] !== 'text') &&
      here.every((kind, c) => kind !== 'text' || kinds[c] === 'text' || kinds[c] === 'empty')
    );
  };
  const start = records.findIndex(
    (record, i) => fits(record) && records.slice(i + 1, i + 3).every((next) => next.comment || fits(next)),
  );
  if (start < 0) return undefined;
  const glued = kinds.filter(
    (kind, c) => kind === 'text' && fitting.some(({ cells }) => GLUED.test(cells[c] ?? '')),
  ).length;
  return { separator, records, start, kinds, glued };
}

function described(table: Table, decimal: Layout['decimal'], file: string): Layout {
  const { records, start, kinds, separator } = table;
  const width = kinds.length;
  const first = records[start] as HeadRecord;
  const rows = records
    .slice(start)
    .filter(({ comment }) => !comment)
    .map(({ cells }) => cells);
  const used = kinds.reduce((last, kind, c) => (kind === 'empty' ? last : c + 1), 0);
  const above = records.slice(0, start);
  const headings = new Array<string>(width).fill('');
  const units = new Array<string>(width).fill('');
  const lines = new Set<number>();
  let line = first.line;
  const candidates = above
    .slice(-4)
    .reverse()
    .flatMap((record) => {
      const cells = trimmed(record.header ?? record.cells);
      const isFull = cells.length >= 1 && cells.length <= width && cells.length >= Math.max(1, used);
      return isFull && cells.some((cell) => cellKind(cell, true) === 'text') ? [{ record, cells }] : [];
    });
  const isUnits = (cells: readonly string[]): boolean =>
    cells.every((cell) => cell === '' || unitIn(cell) !== undefined || /^[([]?[-\s]*[)\]]?$/.test(cell)) &&
    cells.some((cell) => unitIn(cell) !== undefined);
  const [near, ...further] = candidates;
  if (near) {
    const rowOfUnits = isUnits(near.cells) ? near : undefined;
    // The row of names above a row of units may be of numbers: channels 1 and 2.
    const names = rowOfUnits
      ? (further[0] ?? namesAbove(above, rowOfUnits.record, used, width))
      : further.length > 0 && isUnits(further[0]?.cells ?? [])
        ? near
        : near;
    for (const [c, cell] of (names ?? near).cells.entries()) headings[c] = cell;
    line = (names ?? near).record.line;
    lines.add(line);
    if (rowOfUnits && names) {
      for (const [c, cell] of rowOfUnits.cells.entries()) units[c] = bare(cell);
      lines.add(rowOfUnits.record.line);
    }
  }
  // A channel may be without a reading in all of the last rows of the head.
  for (const [c, kind] of kinds.entries()) {
    if (kind !== 'empty' || headings[c] === '') continue;
    const found = rows.map((cells) => cellKind(cells[c] ?? '', true)).filter((cell) => cell !== 'empty');
    if (found.length > 0 && found.every((cell) => cell !== 'text')) kinds[c] = 'number';
  }
  const told = above.flatMap(({ cells, line: at }) => (lines.has(at) ? [] : (toldIn(cells, at) ?? [])));
  // Some oscilloscopes write what they tell beside the first rows of samples.
  const beside = kinds.flatMap((kind, c) => (kind === 'empty' ? [c] : []));
  if (beside.length > 0)
    for (const { cells, line: at } of records.slice(start, start + 40)) {
      const entry = toldIn(
        beside.map((c) => cells[c] ?? ''),
        at,
      );
      if (entry) told.push(entry);
    }
  const mismatch = near ? undefined : above.filter(({ comment }) => !comment).at(-1);
  const names = mismatch && trimmed(mismatch.header ?? mismatch.cells);
  if (mismatch && names && names.length >= 2 && names.every((cell) => cellKind(cell, true) === 'text'))
    throw countMismatch(file, first, names.length, separator);
  return {
    separator,
    decimal: decimal ?? decimalIn(rows, kinds, file, first.line),
    headings,
    units,
    line,
    hasHeader: near !== undefined,
    at: first.at,
    dataLine: first.line,
    told,
    rows,
    kinds,
  };
}

/** The row above a row of units where that is of numbers too. */
function namesAbove(
  above: readonly HeadRecord[],
  below: HeadRecord,
  used: number,
  width: number,
): { record: HeadRecord; cells: string[] } | undefined {
  const record = above[above.indexOf(below) - 1];
  const cells = record && trimmed(record.header ?? record.cells);
  return record && cells && cells.length >= used && cells.length <= width ? { record, cells } : undefined;
}

function countMismatch(
  file: string,
  { cells, line }: HeadRecord,
  names: number,
  separator: string,
): InputError {
  const count = cells.length;
  const twice = separator === ',' && count > names;
  return new InputError({
    file,
    line,
    what: twice
      ? `${count} fields where the header has ${names}: either there are ${count} columns, or the commas are decimal`
      : `${count} fields where the header has ${names}`,
    mend: twice
      ? 'export it with decimal points, or with semicolons between the columns'
      : 'head every column, or leave the headings out with --skip-rows',
  });
}

const bare = (cell: string): string => cell.trim().replace(/^[([{]\s*(.*?)\s*[)\]}]$/, '$1');
const unitIn = (cell: string) => unitOf(bare(cell), cell === cell.toUpperCase());
const trimmed = (cells: readonly string[]): string[] => {
  const all = cells.map((cell) => cell.trim());
  while (all.length > 0 && all.at(-1) === '') all.pop();
  return all;
};

const NUMBER_WITH_COMMA = /^\s*[-+]?\d*,\d+(?:[eE][-+]?\d+)?\s*\D*$/;
/** Groups of three digits: thousands, or three decimals. */
export const GROUPED = /^\s*[-+]?[1-9]\d{0,2}(?:,\d{3})+\s*$/;

/** @throws InputError where thousands and decimals cannot be told apart. */
function decimalIn(
  rows: readonly string[][],
  kinds: readonly CellKind[],
  file: string,
  line: number,
): Layout['decimal'] {
  let grouped: string | undefined;
  for (const cells of rows) {
    for (const [c, cell] of cells.entries()) {
      if (kinds[c] !== 'number' || !cell.includes(',')) continue;
      if (GROUPED.test(cell)) grouped ??= cell.trim();
      else if (NUMBER_WITH_COMMA.test(cell)) return 'comma';
    }
  }
  if (grouped === undefined) return undefined;
  const [decimals, thousands] = [grouped.replace(',', '.'), grouped.replaceAll(',', '')];
  throw new InputError({
    file,
    line,
    what: `'${grouped}' may be ${decimals} or, with a comma for thousands, ${thousands}`,
    mend: 'say --decimal comma for the first; else export it without thousands separators',
  });
}

/** Bytes of the head's first `at` characters, as they stand in the file. */
export const bytesOf = (head: string, at: number, isLatin: boolean): number =>
  isLatin ? at : Buffer.byteLength(head.slice(0, at), 'utf8');
