// Trouble with the store of records: one class, permanent codes. What a user typed wrong is an InputError instead.

import { oneLine } from '../input/index.js';

export type RecordErrorCode =
  | 'store-unreachable'
  | 'store-read-only'
  | 'store-damaged'
  | 'store-foreign'
  | 'store-newer'
  | 'store-busy'
  | 'store-full'
  | 'store-failed'
  | 'run-unknown'
  | 'run-closed';

export class RecordError extends Error {
  override name = 'RecordError';

  constructor(
    readonly code: RecordErrorCode,
    sentence: string,
    /** What the operator can do about it; told on its own. */
    readonly advice: string,
    options?: ErrorOptions,
  ) {
    super(oneLine(sentence), options);
  }
}

/** Sorts what SQLite or the file system threw; passes on what is none of theirs. */
export function asRecordError(error: unknown, file: string): unknown {
  if (error instanceof RecordError) return error;
  const code = (error as { code?: unknown })?.code;
  if (typeof code !== 'string') return error;
  const make = (kind: RecordErrorCode, what: string, advice: string) =>
    new RecordError(kind, `${file}: ${what}`, advice, { cause: error });
  if (/^SQLITE_(BUSY|LOCKED)/.test(code)) {
    return make(
      'store-busy',
      'another program holds the store',
      'close other benches that record there, then try again',
    );
  }
  if (/^SQLITE_(CORRUPT|NOTADB)/.test(code)) {
    return make(
      'store-damaged',
      'is not a sound SQLite database',
      'put it aside under another name, or restore a copy of it',
    );
  }
  if (code === 'SQLITE_FULL' || code === 'ENOSPC' || code === 'EDQUOT') {
    return make('store-full', 'the disk is full', 'free some space, then run the unit again');
  }
  if (/^SQLITE_READONLY/.test(code) || code === 'EROFS') {
    return make(
      'store-read-only',
      'may not be written',
      'give yourself write permission for the file and its folder',
    );
  }
  if (/^SQLITE_CANTOPEN/.test(code) || /^E(ACCES|PERM|EXIST|NOTDIR|ISDIR|NOENT)$/.test(code)) {
    return make(
      'store-unreachable',
      'cannot be opened',
      'check the folder and its permissions, or set THROWBENCH_LOGS',
    );
  }
  if (/^SQLITE_/.test(code)) {
    return make('store-failed', `the database failed (${code})`, 'check the disk, then try again');
  }
  return error;
}
