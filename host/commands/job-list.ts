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
}

/** What a spreadsheet may call each column. */
const HEADS = {
  tag: ['tag', 'unit', 'unit tag'],
  job: ['job', 'order', 'job number'],
  profile: ['profile'],
  note: ['note', 'notes', 'remark', 'remarks'],
} as const;
type Column = keyof typeof HEADS;
const COLUMNS = Object.keys(HEADS) as Column[];
const LONGEST = { job: 40, note: 200 } as const;

/**
 * @param job of rows that name none
 * @throws InputError with file and line for the first row that cannot be meant
 */
export function readUnitList(cwd: string, file: string, job: string | undefined): UnitList {
  const bytes = bytesOf(resolve(cwd, file), file);
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch (error) {
    throw new InputError({ file, ...readFault(error) }, { cause: error });
  }
  const [head, ...rows] = csvRows(text, file);
  if (head === undefined || rows.length === 0)
    throw new InputError({
      file,
      what: 'lists no unit',
      mend: 'a head such as tag,job,profile,note, then a row a unit',
    });
  const places = placesOf(head.cells, file, head.line);
  const listed = rows.map(({ line, cells }) =>
    rowOf((column) => cells[places[column] ?? -1] ?? '', { file, line, job }),
  );
  for (const [i, row] of listed.entries()) {
    const first = listed.find((other) => other.tag === row.tag && other.job === row.job);
    if (first !== row && first !== undefined)
      throw new InputError({
        ...{ file, line: listed[i]?.line, key: 'tag' },
        what: `${row.tag} stands in line ${first.line} already`,
        mend: 'list each unit once a job',
      });
  }
  return { rows: listed, sha256: createHash('sha256').update(bytes).digest('hex') };
}

function bytesOf(path: string, file: string): Buffer {
  try {
    return readFileSync(path);
  } catch (error) {
    throw new InputError({ file, ...readFault(error) }, { cause: error });
  }
}

function placesOf(cells: readonly string[], file: string, line: number): Partial<Record<Column, number>> {
  const places: Partial<Record<Column, number>> = {};
  for (const [place, cell] of cells.entries()) {
    const name = cell.toLowerCase();
    const column = COLUMNS.find((one) => (HEADS[one] as readonly string[]).includes(name));
    if (column === undefined) continue;
    if (places[column] !== undefined)
      throw new InputError({
        file,
        line,
        key: cell,
        what: 'two columns mean the same',
        mend: 'keep one of them',
      });
    places[column] = place;
  }
  if (places.tag === undefined)
    throw new InputError({
      ...{ file, line, what: 'no column is headed tag' },
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
