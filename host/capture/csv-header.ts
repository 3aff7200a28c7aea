// The header of a capture file: which column is which. Columns in any order and case; unknown ones are kept.

import { InputError, nearestName } from '../input/index.js';
import { CHANNEL, CHANNELS, type Channel } from './channels.js';
import { CHANNEL_COLUMNS, FEED_COLUMN, POSITION_COLUMN, TIME_COLUMN } from './columns.js';
import type { CsvScanner } from './csv-scanner.js';

const KNOWN_COLUMNS = [TIME_COLUMN, POSITION_COLUMN, ...CHANNEL_COLUMNS];
const MOTOR_COLUMN = CHANNEL.motorCurrentA.column;
/** How other instruments head their seconds; milliseconds and the like are not guessed at. */
const SECONDS = /^(?:time|t|s|sec|seconds?|x-axis)(?:\s*[([]\s*s(?:ec)?\s*[)\]])?$/i;
export const HEADER_HINT = 'the header time_s,position,feed_current_A,…';

export interface ReadOptions {
  /** Rate of the samples of a file without a column of times; refused for a file with one. */
  sampleRateHz?: number;
  /** Name of the column that is the motor current, whatever it is called. */
  currentColumn?: string;
  /** Multiplies every current: a clamp meter's amperes a volt. */
  currentScale?: number;
}

export interface Columns {
  count: number;
  names: string[];
  /** The column of times, or the rate of the samples where that was told instead. */
  times: { index: number } | { rateHz: number };
  position: number | undefined;
  channels: { name: Channel; index: number }[];
  extras: { name: string; index: number }[];
  notes: string[];
  /** False when the first record holds numbers already. */
  hasHeader: boolean;
}

/** The separator that the first line uses. */
export function separatorOf(text: string): string {
  const end = text.search(/[\r\n]/);
  const header = end === -1 ? text : text.slice(0, end);
  return header.includes(',') ? ',' : header.includes(';') ? ';' : header.includes('\t') ? '\t' : ',';
}

/** Reads the scanner's present record as the header, or as the first sample of a bare column of currents. @throws InputError */
export function readHeader(scanner: CsvScanner, file: string, options: ReadOptions = {}): Columns {
  const names = Array.from({ length: scanner.count }, (_, i) => scanner.field(i).trim());
  const { line } = scanner;
  const fault = (what: string, mend: string, key?: string): InputError =>
    new InputError({ file, line, ...(key === undefined ? {} : { key }), what, mend });
  const bare = bareColumns(names, options);
  if (bare) return bare;
  const index = new Map<string, number>();
  for (const [i, name] of names.entries()) {
    const known = [...KNOWN_COLUMNS, FEED_COLUMN].find(
      (column) => column.toLowerCase() === name.toLowerCase(),
    );
    const isNamed = options.currentColumn?.toLowerCase() === name.toLowerCase();
    const key = isNamed ? MOTOR_COLUMN : (known ?? (name === '' ? `column ${i + 1}` : name));
    if (index.has(key)) throw fault('this column stands twice', 'keep one of them', key);
    index.set(key, i);
  }
  if (options.currentColumn !== undefined && !index.has(MOTOR_COLUMN)) {
    const near = nearestName(options.currentColumn, names);
    throw fault(
      `no column ${options.currentColumn}`,
      near ? `did you mean ${near}?` : `name one of ${names.join(', ')}`,
    );
  }
  const taken = sampledTimes(index, options);
  const times = timesOf(index.get(TIME_COLUMN), options);
  if (times === undefined) {
    const near = nearestName(TIME_COLUMN, index.keys());
    const mend = near
      ? `rename column '${near}' to ${TIME_COLUMN}`
      : `start the file with ${HEADER_HINT}, or give --sample-rate for a file without times`;
    throw fault(`no column ${TIME_COLUMN}`, mend);
  }
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
  if (channels.length === 0) {
    const near = extras.flatMap(({ name }) => nearestName(name, absent) ?? [])[0];
    const mend = near
      ? `did you mean ${near}?`
      : `name at least one of ${CHANNEL_COLUMNS.join(', ')}, or tell the motor's with --current-column`;
    throw fault('no column holds a current or voltage', mend);
  }
  const notes = taken === undefined ? [] : [`Column '${taken}' was taken as the time in seconds.`];
  const unread = extras.flatMap(({ name }) => {
    if (name === FEED_COLUMN) return [];
    const near = nearestName(name, absent);
    return near ? [`Column '${name}' is not known and was not read; was ${near} meant?`] : [];
  });
  notes.push(...unread);
  const position = index.get(POSITION_COLUMN);
  if (position === undefined) notes.push('The file does not tell the positions thrown.');
  return { count: names.length, names, times, position, channels, extras, notes, hasHeader: true };
}

const timesOf = (
  index: number | undefined,
  { sampleRateHz: rateHz }: ReadOptions,
): Columns['times'] | undefined =>
  index !== undefined ? { index } : rateHz !== undefined ? { rateHz } : undefined;

/** Puts a column of seconds by another name in the place of the times, and gives that name. */
function sampledTimes(index: Map<string, number>, { sampleRateHz }: ReadOptions): string | undefined {
  if (index.has(TIME_COLUMN) || sampleRateHz !== undefined) return undefined;
  const [first, ...others] = [...index].filter(([name]) => SECONDS.test(name));
  if (first === undefined || others.length > 0) return undefined;
  const [name, at] = first;
  index.set(TIME_COLUMN, at);
  index.delete(name);
  return name;
}

/** Numbers in the first line: one column of current with a rate told, or a column of times and one of current. */
function bareColumns(names: readonly string[], { sampleRateHz }: ReadOptions): Columns | undefined {
  const times = sampleRateHz === undefined ? { index: 0 } : { rateHz: sampleRateHz };
  const wanted = 'index' in times ? 2 : 1;
  if (names.length !== wanted || !names.every((name) => /^[-+]?[\d.,]+(?:[eE][-+]?\d+)?$/.test(name)))
    return undefined;
  const index = wanted - 1;
  return {
    count: wanted,
    names: [...(wanted === 2 ? [TIME_COLUMN] : []), MOTOR_COLUMN],
    times,
    position: undefined,
    channels: [{ name: 'motorCurrentA', index }],
    extras: [],
    notes: ['The file has no header: its last column was taken as the motor current.'],
    hasHeader: false,
  };
}
