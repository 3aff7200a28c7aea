// A list of units from a spreadsheet: tag, job, profile, note by the heads of its columns, every row checked before
// anything is written.

import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { csvRows, InputError, readFault, steeringIn } from '../input/index.js';
import { loadUnit } from '../profile/index.js';
import { tagFault } from './tag-told.js';

export interface ListedRow {
  line: number;
  tag: string;
  job: string;
  profile?: string;
  note?: string;
}

export interface UnitList {
  rows: ListedRow[];
  /** Of the file. */
  sha256: string;
  /** Heads of columns that mean nothing here. */
  notRead: string[];
}

/** What a spreadsheet may call each column. */
const HEADS = {
  tag: ['tag', 'unit', 'unit tag', 'label'],
  job: ['job', 'order', 'work order'],
  profile: ['profile', 'unit profile'],
  note: ['note', 'notes', 'remark', 'remarks', 'comment', 'comments', 'complaint'],
} as const;
/** What may stand behind such a name: `Tag no.`, `Job number`, `Unit #`. */
const NUMBERED = /\s*(?:#|no|nr|number|id)$/;
/** A spreadsheet may begin with its own title. */
const MOST_BEFORE_HEAD = 10;
type Column = keyof typeof HEADS;
const COLUMNS = Object.keys(HEADS) as Column[];
const LONGEST = { job: 40, note: 200 } as const;

/**
 * @param job of rows that name none
 * @throws InputError with file and line for the first row that cannot be meant
 */
export function readUnitList(cwd: string, file: string, job: string | undefined): UnitList {
  const bytes = bytesOf(resolve(cwd, file), file);
  const text = textOf(bytes, file);
  const all = csvRows(text, file);
  const headAt = all.slice(0, MOST_BEFORE_HEAD).findIndex(({ cells }) => columnsOf(cells).includes('tag'));
  const [head, ...rows] = all.slice(Math.max(0, headAt));
  if (head === undefined || rows.length === 0)
    throw new InputError({
      file,
      what: 'lists no unit',
      mend: 'a head such as tag,job,profile,note, then a row a unit',
    });
  const places = placesOf(head.cells, file, head.line);
  const listed = rows.map(({ line, cells }) => {
    mustEndWithHead(cells, head.cells, { file, line });
    return rowOf((column) => cells[places[column] ?? -1] ?? '', { file, line, job });
  });
  const seen = new Map<string, ListedRow>();
  for (const row of listed) {
    // A tag is found in any case, so that two that differ in it alone are one.
    const unit = JSON.stringify([row.tag, row.job].map((text) => text.toLowerCase()));
    const first = seen.get(unit);
    if (first !== undefined)
      throw new InputError({
        ...{ file, line: row.line, key: 'tag' },
        what: `${first.tag} stands in line ${first.line} already`,
        mend: 'list each unit once a job',
      });
    seen.set(unit, row);
  }
  const read = new Set(Object.values(places));
  const notRead = head.cells.filter((cell, place) => cell !== '' && !read.has(place));
  return { rows: listed, sha256: createHash('sha256').update(bytes).digest('hex'), notRead };
}

/** A cell more than there are heads is the end of a text that was cut at a comma: it would be lost in silence. */
function mustEndWithHead(
  cells: readonly string[],
  heads: readonly string[],
  { file, line }: { file: string; line: number },
): void {
  if (!cells.slice(heads.length).some((cell) => cell !== '')) return;
  throw new InputError({
    ...{ file, line },
    what: `has ${cells.length} cells, the head ${heads.length}`,
    mend: 'put quotation marks round a text that holds the separator, or head that column',
  });
}

/** How a spreadsheet's own file begins: a ZIP archive, or a compound file of the time before. */
const OWN_FILES = [Buffer.from('PK\x03\x04', 'latin1'), Buffer.from([0xd0, 0xcf, 0x11, 0xe0])];

/** UTF-8, or UTF-16 by its mark, as "Unicode text" of a spreadsheet has it. */
function textOf(bytes: Buffer, file: string): string {
  if (OWN_FILES.some((own) => bytes.subarray(0, own.length).equals(own)))
    throw new InputError({
      file,
      what: "is a spreadsheet's own file, no CSV",
      mend: 'in the spreadsheet, save it as CSV UTF-8',
    });
  const [first, second] = bytes;
  const coding =
    first === 0xff && second === 0xfe ? 'utf-16le' : first === 0xfe && second === 0xff ? 'utf-16be' : 'utf-8';
  try {
    return new TextDecoder(coding, { fatal: true }).decode(bytes);
  } catch (error) {
    const { what } = readFault(error);
    throw new InputError({ file, what, mend: 'in the spreadsheet, save it as CSV UTF-8' }, { cause: error });
  }
}

function bytesOf(path: string, file: string): Buffer {
  try {
    return readFileSync(path);
  } catch (error) {
    throw new InputError({ file, ...readFault(error) }, { cause: error });
  }
}

/** Which column each cell of a head names, in any case, with or without full stops and the like. */
const columnsOf = (cells: readonly string[]): (Column | undefined)[] =>
  cells.map((cell) => {
    const name = cell
      .toLowerCase()
      .replace(/[\s._:-]+/g, ' ')
      .trim();
    return COLUMNS.find((one) => {
      const names: readonly string[] = HEADS[one];
      return names.includes(name) || names.includes(name.replace(NUMBERED, ''));
    });
  });

function placesOf(cells: readonly string[], file: string, line: number): Partial<Record<Column, number>> {
  const places: Partial<Record<Column, number>> = {};
  for (const [place, column] of columnsOf(cells).entries()) {
    if (column === undefined) continue;
    if (places[column] !== undefined)
      throw new InputError({
        file,
        line,
        key: cells[place] ?? '',
        what: 'two columns mean the same',
        mend: 'keep one of them',
      });
    places[column] = place;
  }
  if (places.tag === undefined)
    throw new InputError({
      ...{
        file,
        line,
        what: `no column is headed tag, but ${cells.filter((cell) => cell !== '').join(', ')}`,
      },
      mend: 'head the columns tag, job, profile, note',
    });
  return places;
}

function rowOf(
  cell: (column: Column) => string,
  { file, line, job: given }: { file: string; line: number; job: string | undefined },
): ListedRow {
  const refuse = (key: Column, fault: { what: string; mend: string }): never => {
    throw new InputError({ file, line, key, ...fault });
  };
  const tag = cell('tag');
  const fault = tagFault(tag);
  if (fault) refuse('tag', fault);
  const job = cell('job') || (given ?? '');
  if (job === '') refuse('job', { what: 'the job is missing', mend: 'write it there, or give --job JOB' });
  for (const key of ['job', 'note'] as const) {
    const text = key === 'job' ? job : cell('note');
    if (text.length > LONGEST[key])
      refuse(key, { what: `has ${text.length} characters`, mend: `use ${LONGEST[key]} at the most` });
    // A line break within a cell is a blank in a list.
    const steering = steeringIn(text.replace(/\r?\n/g, ' '));
    if (steering !== undefined)
      refuse(key, { what: `holds ${steering}, which is no letter`, mend: 'take that character out' });
  }
  const profile = cell('profile');
  if (profile !== '') mustBeProfile(profile, { file, line });
  const note = cell('note').replace(/\r?\n/g, ' ');
  return { line, tag, job, ...(profile === '' ? {} : { profile }), ...(note === '' ? {} : { note }) };
}

const known = new Set<string>();

/** @throws InputError with the line of the list in front of what is wrong with the profile */
function mustBeProfile(profile: string, { file, line }: { file: string; line: number }): void {
  if (known.has(profile)) return;
  try {
    loadUnit(profile);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    throw new InputError(
      {
        file,
        line,
        key: 'profile',
        what: error.message,
        mend: 'throwbench profile list names what there is',
      },
      { cause: error },
    );
  }
  known.add(profile);
}
