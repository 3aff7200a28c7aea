// Tables of a sitting at the bench: which units stood in which order, what was skipped, what was decided about each, and
// which cautions were acknowledged, and on which port a rig answered. Rows are added, never changed: what is taken back is one more row.

const neverChanged = (table: string, thing: string): string => `
  CREATE TRIGGER ${table}_not_changed BEFORE UPDATE ON ${table}
    BEGIN SELECT raise(ABORT, '${thing} is never changed'); END;
  CREATE TRIGGER ${table}_not_removed BEFORE DELETE ON ${table}
    BEGIN SELECT raise(ABORT, '${thing} is never removed'); END;`;

/** New columns of runs are empty in older records, and an empty column is no part of a record's hash. */
export const SITTINGS = `
  CREATE TABLE sittings (
    id INTEGER PRIMARY KEY,
    kind TEXT NOT NULL CHECK (kind IN ('run', 'tray', 'bench')),
    title TEXT NOT NULL,
    started_at TEXT NOT NULL,
    port TEXT,
    rig_id TEXT,
    operator TEXT,
    tool_version TEXT NOT NULL
  ) STRICT;
  CREATE TABLE sitting_units (
    sitting_id INTEGER NOT NULL REFERENCES sittings (id),
    place INTEGER NOT NULL,
    tag TEXT NOT NULL,
    unit_json TEXT NOT NULL,
    case_json TEXT,
    PRIMARY KEY (sitting_id, place)
  ) STRICT;
  CREATE TABLE skips (
    id INTEGER PRIMARY KEY,
    sitting_id INTEGER NOT NULL,
    place INTEGER NOT NULL,
    at TEXT NOT NULL,
    FOREIGN KEY (sitting_id, place) REFERENCES sitting_units (sitting_id, place)
  ) STRICT;

  ALTER TABLE runs ADD COLUMN sitting_id INTEGER REFERENCES sittings (id);
  ALTER TABLE runs ADD COLUMN place INTEGER;
  ALTER TABLE runs ADD COLUMN attempt INTEGER;
  ALTER TABLE runs ADD COLUMN operator TEXT;
  CREATE INDEX runs_by_sitting ON runs (sitting_id, place);

  CREATE TABLE dispositions (
    id INTEGER PRIMARY KEY,
    tag TEXT NOT NULL REFERENCES units (tag),
    run_id TEXT NOT NULL REFERENCES runs (id),
    word TEXT CHECK (word IN ('accept', 'rework', 'reject', 'hold')),
    takes_back INTEGER REFERENCES dispositions (id),
    at TEXT NOT NULL,
    operator TEXT,
    tool_version TEXT NOT NULL,
    CHECK ((word IS NULL) <> (takes_back IS NULL))
  ) STRICT;
  CREATE INDEX dispositions_by_run ON dispositions (run_id, id);

  CREATE TABLE acknowledgements (
    id INTEGER PRIMARY KEY,
    what TEXT NOT NULL CHECK (what IN ('cautions', 'held-rotor')),
    lines_json TEXT NOT NULL,
    at TEXT NOT NULL,
    tag TEXT,
    rig_id TEXT,
    operator TEXT,
    tool_version TEXT NOT NULL
  ) STRICT;
  CREATE TABLE rig_ports (
    id INTEGER PRIMARY KEY,
    rig_id TEXT NOT NULL,
    path TEXT NOT NULL,
    usb_json TEXT NOT NULL,
    at TEXT NOT NULL
  ) STRICT;
  ${[
    ['sittings', 'a sitting'],
    ['sitting_units', 'the list of a sitting'],
    ['skips', 'a skip'],
    ['dispositions', 'a disposition'],
    ['acknowledgements', 'an acknowledgement'],
    ['rig_ports', 'the port of a rig'],
  ]
    .map(([table, thing]) => neverChanged(table ?? '', thing ?? ''))
    .join('\n')}
`;
