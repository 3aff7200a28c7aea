// The tables of the store, version by version. A version that has shipped is never edited: the next one is added.

import type { Database } from 'better-sqlite3';
import { chainDispositionsOfOld, chainNotesOfOld } from './chain.js';
import { RecordError } from './record-error.js';
import { SHOP_TABLES } from './shop-tables.js';
import { SITTINGS } from './sitting-tables.js';

/** Marks the file as ours (SQLite pragma application_id): the letters `Thrb`. */
export const APPLICATION_ID = 0x54687262;

/** `next` does what SQL cannot. */
type Version = string | { sql: string; next: (database: Database) => void };

const VERSIONS: readonly Version[] = [
  `
  CREATE TABLE units (
    tag TEXT PRIMARY KEY,
    first_seen_at TEXT NOT NULL
  ) STRICT;

  CREATE TABLE runs (
    id TEXT PRIMARY KEY,
    tag TEXT NOT NULL REFERENCES units (tag),
    status TEXT NOT NULL CHECK (status IN ('running', 'finished', 'aborted')),
    started_at TEXT NOT NULL,
    ended_at TEXT,
    profile_id TEXT NOT NULL,
    profile_json TEXT NOT NULL,
    rig_json TEXT NOT NULL,
    tool_version TEXT NOT NULL,
    verdict TEXT CHECK (verdict IN ('pass', 'fail', 'cannot-tell')),
    sentence TEXT,
    judgement_json TEXT,
    stop_json TEXT,
    counters_json TEXT,
    raw_lines BLOB,
    owner_host TEXT NOT NULL,
    owner_pid INTEGER NOT NULL,
    touched_at TEXT NOT NULL
  ) STRICT;
  CREATE INDEX runs_by_tag ON runs (tag, id);

  CREATE TABLE checks (
    run_id TEXT NOT NULL REFERENCES runs (id),
    place INTEGER NOT NULL,
    id TEXT NOT NULL,
    outcome TEXT NOT NULL,
    required INTEGER NOT NULL,
    origin TEXT NOT NULL,
    sentence TEXT NOT NULL,
    value REAL,
    unit TEXT,
    expanded_uncertainty REAL,
    lower REAL,
    upper REAL,
    PRIMARY KEY (run_id, place)
  ) STRICT;
  CREATE INDEX checks_by_id ON checks (id, run_id);

  CREATE TABLE captures (
    run_id TEXT PRIMARY KEY REFERENCES runs (id),
    samples INTEGER NOT NULL,
    blob BLOB NOT NULL
  ) STRICT;

  CREATE TABLE capture_chunks (
    run_id TEXT NOT NULL REFERENCES runs (id),
    place INTEGER NOT NULL,
    blob BLOB NOT NULL,
    PRIMARY KEY (run_id, place)
  ) STRICT;

  CREATE TABLE chain (
    place INTEGER PRIMARY KEY,
    run_id TEXT NOT NULL UNIQUE REFERENCES runs (id),
    previous_hash TEXT NOT NULL,
    hash TEXT NOT NULL
  ) STRICT;
  `,
  `
  CREATE TABLE calibrations (
    id INTEGER PRIMARY KEY,
    rig_id TEXT NOT NULL,
    channel TEXT NOT NULL,
    point TEXT NOT NULL CHECK (point IN ('zero', 'load')),
    at TEXT NOT NULL,
    reading REAL NOT NULL,
    reading_uncertainty REAL NOT NULL,
    reference REAL NOT NULL,
    reference_uncertainty REAL NOT NULL,
    at_zero_count REAL NOT NULL,
    per_count REAL NOT NULL,
    tool_version TEXT NOT NULL
  ) STRICT;
  CREATE INDEX calibrations_by_rig ON calibrations (rig_id, at);
  CREATE TRIGGER calibrations_not_changed BEFORE UPDATE ON calibrations
    BEGIN SELECT raise(ABORT, 'a calibration is never changed'); END;
  CREATE TRIGGER calibrations_not_removed BEFORE DELETE ON calibrations
    BEGIN SELECT raise(ABORT, 'a calibration is never removed'); END;

  CREATE TABLE shift_checks (
    id INTEGER PRIMARY KEY,
    rig_id TEXT NOT NULL,
    channel TEXT NOT NULL,
    moment TEXT NOT NULL CHECK (moment IN ('start', 'end')),
    at TEXT NOT NULL,
    reading REAL NOT NULL,
    reading_uncertainty REAL NOT NULL,
    reference REAL NOT NULL,
    reference_uncertainty REAL NOT NULL,
    allowed REAL NOT NULL,
    good INTEGER NOT NULL CHECK (good IN (0, 1)),
    tool_version TEXT NOT NULL
  ) STRICT;
  CREATE INDEX shift_checks_by_rig ON shift_checks (rig_id, at);
  CREATE TRIGGER shift_checks_not_changed BEFORE UPDATE ON shift_checks
    BEGIN SELECT raise(ABORT, 'a known-load check is never changed'); END;
  CREATE TRIGGER shift_checks_not_removed BEFORE DELETE ON shift_checks
    BEGIN SELECT raise(ABORT, 'a known-load check is never removed'); END;
  `,
  `
  CREATE TABLE entries (
    id INTEGER PRIMARY KEY,
    run_id TEXT NOT NULL REFERENCES runs (id),
    kind TEXT NOT NULL,
    at TEXT NOT NULL,
    content_json TEXT NOT NULL,
    tool_version TEXT NOT NULL
  ) STRICT;
  CREATE INDEX entries_by_run ON entries (run_id, id);
  CREATE TRIGGER entries_not_changed BEFORE UPDATE ON entries
    BEGIN SELECT raise(ABORT, 'an entry is never changed'); END;
  CREATE TRIGGER entries_not_removed BEFORE DELETE ON entries
    BEGIN SELECT raise(ABORT, 'an entry is never removed'); END;

  CREATE TABLE chain_with_entries (
    place INTEGER PRIMARY KEY,
    run_id TEXT NOT NULL REFERENCES runs (id),
    entry_id INTEGER UNIQUE REFERENCES entries (id),
    previous_hash TEXT NOT NULL,
    hash TEXT NOT NULL
  ) STRICT;
  INSERT INTO chain_with_entries (place, run_id, previous_hash, hash)
    SELECT place, run_id, previous_hash, hash FROM chain;
  DROP TABLE chain;
  ALTER TABLE chain_with_entries RENAME TO chain;
  CREATE UNIQUE INDEX chain_by_run ON chain (run_id) WHERE entry_id IS NULL;
  `,
  SITTINGS,
  {
    sql: `
  CREATE TABLE chain_with_notes (
    place INTEGER PRIMARY KEY,
    run_id TEXT REFERENCES runs (id),
    entry_id INTEGER UNIQUE REFERENCES entries (id),
    calibration_id INTEGER UNIQUE REFERENCES calibrations (id),
    shift_check_id INTEGER UNIQUE REFERENCES shift_checks (id),
    previous_hash TEXT NOT NULL,
    hash TEXT NOT NULL,
    CHECK ((run_id IS NOT NULL) + (calibration_id IS NOT NULL) + (shift_check_id IS NOT NULL) = 1)
  ) STRICT;
  INSERT INTO chain_with_notes (place, run_id, entry_id, previous_hash, hash)
    SELECT place, run_id, entry_id, previous_hash, hash FROM chain;
  DROP TABLE chain;
  ALTER TABLE chain_with_notes RENAME TO chain;
  CREATE UNIQUE INDEX chain_by_run ON chain (run_id) WHERE entry_id IS NULL;
  `,
    next: chainNotesOfOld,
  },
  { sql: SHOP_TABLES, next: chainDispositionsOfOld },
];

export const NEWEST_VERSION = VERSIONS.length;

/** Brings the store to the newest version. @throws RecordError when a newer program, or another one, made it. */
export function migrate(database: Database, file: string): void {
  database
    .transaction(() => {
      const version = database.pragma('user_version', { simple: true }) as number;
      const owner = database.pragma('application_id', { simple: true }) as number;
      const hasTables = database.prepare('SELECT count(*) AS n FROM sqlite_schema').get() as { n: number };
      if (owner !== APPLICATION_ID && (owner !== 0 || hasTables.n > 0)) {
        throw new RecordError(
          'store-foreign',
          `${file}: is another program's database`,
          'set THROWBENCH_LOGS to an own folder',
        );
      }
      if (version > VERSIONS.length) {
        throw new RecordError(
          'store-newer',
          `${file}: was written by a newer version of this program (store version ${version}, known ${VERSIONS.length})`,
          'update this program',
        );
      }
      if (version === VERSIONS.length) return;
      for (const step of VERSIONS.slice(version)) {
        const { sql, next } = typeof step === 'string' ? { sql: step, next: undefined } : step;
        database.exec(sql);
        next?.(database);
      }
      database.pragma(`application_id = ${APPLICATION_ID}`);
      database.pragma(`user_version = ${VERSIONS.length}`);
    })
    .immediate();
}
