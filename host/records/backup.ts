// Whole copies of a store, made while it is in use, and read back before they count.

import { existsSync, renameSync, rmSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import Sqlite, { type Database } from 'better-sqlite3';
import { APPLICATION_ID, NEWEST_VERSION } from './migrations.js';
import { RecordError } from './record-error.js';

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
  } finally {
    rmSync(part, { force: true });
  }
}

/** An older store is copied beside itself before it is brought to the newest version. */
export function keepBeforeMigration(database: Database, path: string): void {
  const version = database.pragma('user_version', { simple: true }) as number;
  const owner = database.pragma('application_id', { simple: true }) as number;
  if (owner !== APPLICATION_ID || version === 0 || version >= NEWEST_VERSION) return;
  const file = join(dirname(path), `${basename(path, '.sqlite')}-version-${version}.sqlite`);
  if (!existsSync(file)) copyStore(database, file);
}
