// Trouble with the store of records: one class, permanent codes. What a user typed wrong is an InputError instead.

import { dirname, resolve } from 'node:path';
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
  | 'run-closed'
  | 'run-open'
  | 'entry-unknown'
  | 'archive-differs'
  | 'key-unusable'
  | 'server-away'
  | 'server-refuses'
  | 'server-full'
  | 'server-not-set-up'
  | 'server-older'
  | 'server-newer'
  | 'server-differs'
  | 'server-unfit'
  | 'server-failed'
  | 'chain-broken';

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

/** What the codes of SQLite and of the file system mean; the first that fits. */
const TROUBLES: readonly (readonly [codes: RegExp, code: RecordErrorCode, what: string, advice: string])[] = [
  [
    /^SQLITE_(BUSY|LOCKED)/,
    'store-busy',
    'another program holds the store',
    'close other benches that record there, then try again',
  ],
  [
    /^SQLITE_(CORRUPT|NOTADB)/,
    'store-damaged',
    'is not a sound SQLite database',
    'put it aside under another name, or restore a copy of it',
  ],
  [
    // The last is SQLite's memory beside the file, which has no room to grow.
    /^(SQLITE_FULL|ENOSPC|EDQUOT|SQLITE_IOERR_SHMSIZE)$/,
    'store-full',
    'the disk is full',
    'free some space on the disk of FOLDER, then do it again',
  ],
  [
    /^(SQLITE_READONLY|EROFS$)/,
    'store-read-only',
    'may not be written',
    'give yourself write permission for the file and for FOLDER',
  ],
  [
    /^(SQLITE_CANTOPEN|E(ACCES|PERM|EXIST|NOTDIR|ISDIR|NOENT)$)/,
    'store-unreachable',
    'cannot be opened',
    'check FOLDER and its permissions, or set THROWBENCH_LOGS',
  ],
  [/^SQLITE_/, 'store-failed', 'the database failed (CODE)', 'check the disk, then try again'],
];

/** Sorts what SQLite or the file system threw; passes on what is none of theirs. */
export function asRecordError(error: unknown, file: string): unknown {
  if (error instanceof RecordError || !(error instanceof Error) || !('code' in error)) return error;
  const code = String(error.code);
  const trouble = TROUBLES.find(([codes]) => codes.test(code));
  if (!trouble) return error;
  const [, kind, what, advice] = trouble;
  const folder = dirname(resolve(file));
  return new RecordError(
    kind,
    `${file}: ${what.replace('CODE', code)}`,
    advice.replace('FOLDER', () => folder),
    {
      cause: error,
    },
  );
}
