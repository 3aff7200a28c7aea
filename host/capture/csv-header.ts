// The header of a capture file: which column is which. Columns in any order and case; unknown ones are kept.

import { InputError, nearestName } from '../profile/index.js';
import { CHANNELS, type Channel } from './capture.js';
import { COLUMN_OF, POSITION_COLUMN, TIME_COLUMN } from './columns.js';
import type { CsvScanner } from './csv-scanner.js';

const KNOWN_COLUMNS = [TIME_COLUMN, POSITION_COLUMN, ...Object.values(COLUMN_OF)];
export const HEADER_HINT = 'the header time_s,position,feed_current_A,…';

export interface Columns {
  count: number;
  names: string[];
  time: number;
  position: number | undefined;
  channels: { name: Channel; column: string; index: number }[];
  extras: { name: string; index: number }[];
  notes: string[];
}

/** The separator that the first line uses. */
export function separatorOf(text: string): string {
  const end = text.search(/[\r\n]/);
  const header = end === -1 ? text : text.slice(0, end);
  return header.includes(',') ? ',' : header.includes(';') ? ';' : header.includes('\t') ? '\t' : ',';
}

/** Reads the scanner's present record as the header. @throws InputError */
export function readHeader(scanner: CsvScanner, file: string): Columns {
  const names = Array.from({ length: scanner.count }, (_, i) => scanner.field(i).trim());
  const { line } = scanner;
  const index = new Map<string, number>();
  for (const [i, name] of names.entries()) {
    const known = KNOWN_COLUMNS.find((column) => column.toLowerCase() === name.toLowerCase());
    const key = known ?? (name === '' ? `column ${i + 1}` : name);
    if (index.has(key)) {
      throw new InputError({ file, line, key, what: 'this column stands twice', mend: 'keep one of them' });
    }
    index.set(key, i);
  }
  const time = index.get(TIME_COLUMN);
  if (time === undefined) {
    const near = nearestName(TIME_COLUMN, index.keys());
    const mend = near ? `rename column '${near}' to ${TIME_COLUMN}` : `start the file with ${HEADER_HINT}`;
    throw new InputError({ file, line, what: `no column ${TIME_COLUMN}`, mend });
  }
  const channels = CHANNELS.flatMap((name) => {
    const at = index.get(COLUMN_OF[name]);
    return at === undefined ? [] : [{ name, column: COLUMN_OF[name], index: at }];
  });
  const extras = [...index]
    .filter(([name]) => !KNOWN_COLUMNS.includes(name))
    .map(([name, at]) => ({ name, index: at }));
  const absent = KNOWN_COLUMNS.filter((name) => !index.has(name));
  if (channels.length === 0) {
    const near = extras.flatMap(({ name }) => nearestName(name, absent) ?? [])[0];
    const mend = near
      ? `did you mean ${near}?`
      : `name at least one of ${Object.values(COLUMN_OF).join(', ')}`;
    throw new InputError({ file, line, what: 'no column holds a current or voltage', mend });
  }
  const notes = extras.flatMap(({ name }) => {
    const near = nearestName(name, absent);
    return near ? [`Column '${name}' is not known and was not read; was ${near} meant?`] : [];
  });
  const position = index.get(POSITION_COLUMN);
  if (position === undefined) notes.push('The file does not tell the positions thrown.');
  return { count: names.length, names, time, position, channels, extras, notes };
}
