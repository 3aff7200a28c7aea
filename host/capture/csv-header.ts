// The header of this program's own capture files: columns in any order and case; unknown ones are kept. How the files of
// other instruments are understood: layout.ts and foreign-columns.ts.

import { editDistance, InputError, nearestName } from '../input/index.js';
import { CHANNEL, CHANNELS, type Channel } from './channels.js';
import { CHANNEL_COLUMNS, COIL_FEED_COLUMN, FEED_COLUMN, POSITION_COLUMN, TIME_COLUMN } from './columns.js';
import type { CsvScanner } from './csv-scanner.js';
import type { DirectionLines } from './direction-lines.js';
import { headingOf, kindOf } from './headings.js';
import type { Mapping } from './mappings.js';
import type { Unit } from './units.js';

const KNOWN_COLUMNS = [TIME_COLUMN, POSITION_COLUMN, ...CHANNEL_COLUMNS];
export const HEADER_HINT = 'the header time_s,position,feed_current_A,…';

export interface ReadOptions {
  /** Rate of the samples of a file without a column of times; refused for a file with one. */
  sampleRateHz?: number;
  /** Name of the column that is the motor current, whatever it is called. */
  currentColumn?: string;
  /** Multiplies every current: a clamp meter's amperes a volt. */
  currentScale?: number;
  /** What a person says of further columns. */
  columns?: readonly Mapping[];
  /** Name or number of the column of times; `none` where the file's is not to be used. */
  timeColumn?: string;
  /** What one of that column is. */
  timeScale?: Unit;
  /** Lines at the beginning that are not looked at. */
  skipRows?: number;
  decimal?: 'point' | 'comma';
}

/** A column of samples, and what one of its numbers is: SI where nothing else is said. */
export interface ChannelColumn {
  name: Channel;
  index: number;
  unit?: Unit;
  factor?: number;
  /** Nothing told the unit: SI was assumed. */
  assumed?: true;
  /** Read across both leads of the motor; `perhaps` where that, or that it is the supply, is to be seen by its readings. */
  across?: 'motor' | 'perhaps';
  note?: string;
}

export interface TimeColumn {
  index: number;
  unit?: Unit;
  /** Columns whose cells together are a date and time of day. */
  stamps?: readonly number[];
  /** Counted from the first sample: the numbers are too large to be kept. */
  fromFirst?: boolean;
}

export interface Columns {
  count: number;
  names: string[];
  /** The column of times, or the rate of the samples where that was told instead. */
  times: TimeColumn | { rateHz: number };
  position: number | undefined;
  /** Columns of logic that tell the positions in place of it, among the extras. */
  directions?: DirectionLines | undefined;
  channels: ChannelColumn[];
  extras: { name: string; index: number }[];
  notes: string[];
  /** False when the first record holds numbers already. */
  hasHeader: boolean;
  /** Not of this program's own form: marks, units in cells and remarks are looked for. */
  isForeign?: true;
  hasDecimalCommas?: boolean;
}

/** The separator that the first line uses. */
export function separatorOf(text: string): string {
  const end = text.search(/[\r\n]/);
  const header = end === -1 ? text : text.slice(0, end);
  return header.includes(',') ? ',' : header.includes(';') ? ';' : header.includes('\t') ? '\t' : ',';
}

/** Whether the first line is the header of this program's own form, and nothing told asks for another reading. */
export function isOwnHeader(names: readonly string[], options: ReadOptions): boolean {
  const { currentColumn, columns, timeColumn, timeScale, skipRows, decimal, sampleRateHz } = options;
  if ([currentColumn, columns, timeColumn, timeScale, skipRows, decimal].some((told) => told !== undefined))
    return false;
  const known = names.map((name) => name.toLowerCase());
  const isChannel = (name: string): boolean =>
    CHANNEL_COLUMNS.some((column) => column.toLowerCase() === name);
  if (!known.some(isChannel)) return false;
  const others = names.filter((name) => !isChannel(name.toLowerCase()) && name.toLowerCase() !== TIME_COLUMN);
  // Columns of anything else are kept; one of a further current or voltage may be wanted.
  const wanted = others.filter((name) => ['current', 'voltage'].includes(kindOf(headingOf(name)) ?? ''));
  if (
    wanted.some(
      (name) =>
        !CHANNEL_COLUMNS.some((column) => editDistance(column.toLowerCase(), name.toLowerCase()) === 1),
    )
  )
    return false;
  return (
    known.includes(TIME_COLUMN) || (sampleRateHz !== undefined && known.every((name) => isChannel(name)))
  );
}

/** Reads the scanner's present record as the header of this program's own form. @throws InputError */
export function readHeader(scanner: CsvScanner, file: string, options: ReadOptions = {}): Columns {
  const names = namesOf(scanner);
  const { line } = scanner;
  const fault = (what: string, mend: string, key?: string): InputError =>
    new InputError({ file, line, ...(key === undefined ? {} : { key }), what, mend });
  const index = new Map<string, number>();
  for (const [i, name] of names.entries()) {
    const known = [...KNOWN_COLUMNS, FEED_COLUMN, COIL_FEED_COLUMN].find(
      (column) => column.toLowerCase() === name.toLowerCase(),
    );
    const key = known ?? (name === '' ? `column ${i + 1}` : name);
    if (index.has(key)) throw fault('this column stands twice', 'keep one of them', key);
    index.set(key, i);
  }
  const times = timesOf(index.get(TIME_COLUMN), options);
  if (times === undefined)
    throw fault(`no column ${TIME_COLUMN}`, `start the file with ${HEADER_HINT}, or give --sample-rate`);
  if ('index' in times && options.sampleRateHz !== undefined)
    throw fault(`column ${TIME_COLUMN} tells the times already`, 'leave --sample-rate out');
  const channels = CHANNELS.flatMap((name) => {
    const at = index.get(CHANNEL[name].column);
    return at === undefined ? [] : [{ name, index: at }];
  });
  const extras = [...index]
    .filter(([name]) => !KNOWN_COLUMNS.includes(name))
    .map(([name, at]) => ({ name, index: at }));
  const absent = KNOWN_COLUMNS.filter((name) => !index.has(name));
  const notes = extras.flatMap(({ name }) => {
    if (name === FEED_COLUMN || name === COIL_FEED_COLUMN) return [];
    const near = nearestName(name, absent);
    return near ? [`Column '${name}' is not known and was not read; was ${near} meant?`] : [];
  });
  const position = index.get(POSITION_COLUMN);
  if (position === undefined) notes.push('The file does not tell the positions thrown.');
  return { count: names.length, names, times, position, channels, extras, notes, hasHeader: true };
}

/** The scanner's present record as names. @throws InputError for what is no text */
export const namesOf = (scanner: CsvScanner): string[] =>
  Array.from({ length: scanner.count }, (_, i) => scanner.field(i).trim());

const timesOf = (
  index: number | undefined,
  { sampleRateHz: rateHz }: ReadOptions,
): Columns['times'] | undefined =>
  index !== undefined ? { index } : rateHz !== undefined ? { rateHz } : undefined;
