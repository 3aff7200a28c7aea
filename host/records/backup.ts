// Whole copies of a store, made while it is in use, and read back before they count.

import { existsSync, renameSync, rmSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import Sqlite, { type Database } from 'better-sqlite3';
import { displayPath } from '../input/index.js';
import { APPLICATION_ID, NEWEST_VERSION } from './migrations.js';
import { asRecordError, RecordError, type RecordErrorCode } from './record-error.js';

/**
 * Copies the store to `file`, which must not be there: one moment of it, whole or not at all, also while others write.
 * @throws RecordError store-damaged where the copy does not read back
 */
export function copyStore(database: Database, file: string): void {
  const part = `${file}.part`;
  rmSync(part, { force: true });
  try {
    database.prepare('VACUUM INTO ?').run(part);
    const copy = new Sqlite(part, { readonly: true });
    try {
      const told = copy.pragma('integrity_check', { simple: true });
      if (told !== 'ok')
        throw new RecordError(
          'store-damaged',
          `${file}: the copy does not read back (${String(told)})`,
          'check the disk, and try another one',
        );
    } finally {
      copy.close();
    }
    renameSync(part, file);
  } catch (error) {
    throw troubleOfCopy(error, file);
  } finally {
    rmSync(part, { force: true });
  }
}

/** It is the copy that could not be written, not the store; and no unit need be run again. */
function troubleOfCopy(error: unknown, file: string): unknown {
  const sorted = asRecordError(error, displayPath(file));
  const advice = sorted instanceof RecordError && error !== sorted ? OF_A_COPY[sorted.code] : undefined;
  if (advice === undefined || !(sorted instanceof RecordError)) return error;
  return new RecordError(sorted.code, sorted.message, advice, { cause: error });
}

const OF_A_COPY: Readonly<Partial<Record<RecordErrorCode, string>>> = {
  'store-full': 'free some space there, or copy to another disk',
  'store-unreachable': 'check that the folder is there and may be written; the store itself is as it was',
  'store-read-only': 'copy to a place that may be written; the store itself is as it was',
};

/** An older store is copied beside itself before it is brought to the newest version. */
export function keepBeforeMigration(database: Database, path: string): void {
  const version = database.pragma('user_version', { simple: true }) as number;
  const owner = database.pragma('application_id', { simple: true }) as number;
  if (owner !== APPLICATION_ID || version === 0 || version >= NEWEST_VERSION) return;
  const file = join(dirname(path), `${basename(path, '.sqlite')}-version-${version}.sqlite`);
  if (!existsSync(file)) copyStore(database, file);
}
