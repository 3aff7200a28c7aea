// The hash chain over closed runs and what was added to them later: each record's SHA-256 takes in the one before, so an edit, a removal or an
// exchange shows. The last hash, noted elsewhere, also shows records cut off at the end.

import { createHash } from 'node:crypto';
import type { Database } from 'better-sqlite3';
import { canonicalJson } from './canonical-json.js';

/** Stands before the first record. */
const GENESIS = '0'.repeat(64);

export interface Verification {
  /** Closed runs in the chain. */
  runs: number;
  /** Entries that were added to them later. */
  entries: number;
  /** Hash of the newest record; undefined while there is none. */
  lastHash?: string;
  /** Empty when every record is as it was when it was closed. */
  faults: { runId: string; sentence: string }[];
}

interface RunRow {
  id: string;
  raw_lines: Uint8Array | null;
  [column: string]: unknown;
}

interface Link {
  place: number;
  run_id: string;
  /** Null of the run itself. */
  entry_id: number | null;
  previous_hash: string;
  hash: string;
}

/** Columns that may change after a run is closed: none of the record, only who held it while it ran. */
const NOT_HASHED = new Set(['owner_host', 'owner_pid', 'touched_at']);

/** Appends a run that has just been closed, or an entry of it; inside the transaction that writes it. */
export function appendToChain(database: Database, runId: string, entryId: number | null = null): void {
  const last = database.prepare('SELECT * FROM chain ORDER BY place DESC LIMIT 1').get() as Link | undefined;
  const previous = last?.hash ?? GENESIS;
  database
    .prepare('INSERT INTO chain (place, run_id, entry_id, previous_hash, hash) VALUES (?, ?, ?, ?, ?)')
    .run((last?.place ?? 0) + 1, runId, entryId, previous, hashOf(database, { runId, entryId }, previous));
}

/** Computes every hash again from what the store holds now. */
export function verifyChain(database: Database): Verification {
  const faults: Verification['faults'] = [];
  let previous = GENESIS;
  let place = 0;
  const links = database.prepare('SELECT * FROM chain ORDER BY place').all() as Link[];
  for (const link of links) {
    place += 1;
    const runId = link.run_id;
    if (link.place !== place) {
      faults.push({ runId, sentence: `record ${place} of the chain is missing before it` });
      place = link.place;
    } else if (link.previous_hash !== previous) {
      faults.push({ runId, sentence: 'it does not follow the record before it' });
    }
    const entryId = link.entry_id;
    const hash = hashOf(database, { runId, entryId }, link.previous_hash);
    const what = entryId === null ? 'its record' : 'an entry that was added to it';
    if (hash === undefined) faults.push({ runId, sentence: `${what} is gone` });
    else if (hash !== link.hash)
      faults.push({
        runId,
        sentence: `${what} was changed after it was ${entryId === null ? 'closed' : 'written'}`,
      });
    previous = link.hash;
  }
  const outside = database
    .prepare(
      "SELECT id FROM runs WHERE status <> 'running' AND id NOT IN (SELECT run_id FROM chain WHERE entry_id IS NULL) ORDER BY id",
    )
    .all() as { id: string }[];
  for (const { id } of outside) faults.push({ runId: id, sentence: 'it is closed but not in the chain' });
  const unlinked = database
    .prepare(
      'SELECT run_id FROM entries WHERE id NOT IN (SELECT entry_id FROM chain WHERE entry_id IS NOT NULL) ORDER BY id',
    )
    .all() as { run_id: string }[];
  for (const { run_id: runId } of unlinked)
    faults.push({ runId, sentence: 'an entry that was added to it is not in the chain' });
  const runs = links.filter(({ entry_id }) => entry_id === null).length;
  return {
    ...{ runs, entries: links.length - runs },
    ...(links.length === 0 ? {} : { lastHash: previous }),
    faults,
  };
}

interface Linked {
  runId: string;
  entryId: number | null;
}

function hashOf(database: Database, { runId, entryId }: Linked, previous: string): string | undefined {
  if (entryId !== null) {
    const entry = database.prepare('SELECT * FROM entries WHERE id = ?').get(entryId);
    return entry === undefined ? undefined : sha256(`${previous}\n${canonicalJson({ entry })}`);
  }
  const run = database.prepare('SELECT * FROM runs WHERE id = ?').get(runId) as RunRow | undefined;
  if (!run) return undefined;
  const checks = database.prepare('SELECT * FROM checks WHERE run_id = ? ORDER BY place').all(runId);
  const capture = database.prepare('SELECT samples, blob FROM captures WHERE run_id = ?').get(runId) as
    | { samples: number; blob: Uint8Array }
    | undefined;
  const content = Object.fromEntries(
    Object.entries(run)
      .filter(([name, value]) => !NOT_HASHED.has(name) && value !== null)
      .map(([name, value]) => [name, value instanceof Uint8Array ? sha256(value) : value]),
  );
  return sha256(
    `${previous}\n${canonicalJson({
      run: content,
      checks,
      capture: capture === undefined ? null : { samples: capture.samples, sha256: sha256(capture.blob) },
    })}`,
  );
}

const sha256 = (data: string | Uint8Array): string => createHash('sha256').update(data).digest('hex');
