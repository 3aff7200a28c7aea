// Tables of what a shop keeps beside its runs, of signatures, and of samples that were taken out; and the chain that
// takes them in.

export const SHOP_TABLES = `
  ALTER TABLE runs ADD COLUMN zone TEXT;
  ALTER TABLE runs ADD COLUMN utc_offset_min INTEGER;
  ALTER TABLE dispositions ADD COLUMN reason TEXT;
  ALTER TABLE dispositions ADD COLUMN zone TEXT;
  ALTER TABLE dispositions ADD COLUMN utc_offset_min INTEGER;

  CREATE TABLE shop_entries (
    id INTEGER PRIMARY KEY,
    kind TEXT NOT NULL,
    tag TEXT REFERENCES units (tag),
    job TEXT,
    run_id TEXT REFERENCES runs (id),
    corrects INTEGER REFERENCES shop_entries (id),
    at TEXT NOT NULL,
    zone TEXT NOT NULL,
    utc_offset_min INTEGER NOT NULL,
    operator TEXT,
    content_json TEXT NOT NULL,
    tool_version TEXT NOT NULL
  ) STRICT;
  CREATE INDEX shop_entries_by_tag ON shop_entries (tag, id);
  CREATE INDEX shop_entries_by_job ON shop_entries (job, id);
  CREATE UNIQUE INDEX shop_entries_corrected_once ON shop_entries (corrects) WHERE corrects IS NOT NULL;
  CREATE TRIGGER shop_entries_not_changed BEFORE UPDATE ON shop_entries
    BEGIN SELECT raise(ABORT, 'an entry is never changed'); END;
  CREATE TRIGGER shop_entries_not_removed BEFORE DELETE ON shop_entries
    BEGIN SELECT raise(ABORT, 'an entry is never removed'); END;

  CREATE TABLE removed_captures (
    run_id TEXT PRIMARY KEY REFERENCES runs (id),
    samples INTEGER NOT NULL,
    sha256 TEXT NOT NULL,
    shop_entry_id INTEGER NOT NULL REFERENCES shop_entries (id)
  ) STRICT;

  CREATE TABLE signatures (
    place INTEGER PRIMARY KEY,
    key_id TEXT NOT NULL,
    signature BLOB NOT NULL
  ) STRICT;

  CREATE TABLE chain_with_shop (
    place INTEGER PRIMARY KEY,
    run_id TEXT REFERENCES runs (id),
    entry_id INTEGER UNIQUE REFERENCES entries (id),
    calibration_id INTEGER UNIQUE REFERENCES calibrations (id),
    shift_check_id INTEGER UNIQUE REFERENCES shift_checks (id),
    disposition_id INTEGER UNIQUE REFERENCES dispositions (id),
    shop_entry_id INTEGER UNIQUE REFERENCES shop_entries (id),
    previous_hash TEXT NOT NULL,
    hash TEXT NOT NULL,
    CHECK ((run_id IS NOT NULL) + (calibration_id IS NOT NULL) + (shift_check_id IS NOT NULL)
      + (disposition_id IS NOT NULL) + (shop_entry_id IS NOT NULL) = 1)
  ) STRICT;
  INSERT INTO chain_with_shop (place, run_id, entry_id, calibration_id, shift_check_id, previous_hash, hash)
    SELECT place, run_id, entry_id, calibration_id, shift_check_id, previous_hash, hash FROM chain;
  DROP TABLE chain;
  ALTER TABLE chain_with_shop RENAME TO chain;
  CREATE UNIQUE INDEX chain_by_run ON chain (run_id) WHERE entry_id IS NULL AND run_id IS NOT NULL;
`;
