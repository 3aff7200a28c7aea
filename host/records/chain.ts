// The hash chain over closed runs, what was added to them later, and calibrations and known-load checks of rigs: each
// record's SHA-256 takes in the one before, so an edit, a removal or an exchange shows. The last hash, noted elsewhere,
// also shows records cut off at the end.

import { createHash } from 'node:crypto';
import type { Database } from 'better-sqlite3';
import { CHANNEL, type Channel } from '../capture/index.js';
import { known } from '../fields/index.js';
import { localTime } from '../tell/index.js';
import { isAnchorOf } from './anchor.js';
import { canonicalJson } from './canonical-json.js';

/** Stands before the first record. */
const GENESIS = '0'.repeat(64);

export interface ChainFault {
  /** Of the run that it is about; absent where it is about a rig. */
  runId?: string;
  /** Absent where what is gone told it. */
  rigId?: string;
  sentence: string;
}

/** Where the record of an anchor stands. */
export interface ExpectedLink {
  runId?: string;
  rigId?: string;
  /** How many came after it. */
  later: number;
}

export interface Verification {
  /** Closed runs in the chain. */
  runs: number;
  /** Entries that were added to them later. */
  entries: number;
  /** Calibrations and known-load checks of rigs. */
  notes: number;
  /** Hash of the newest record; undefined while there is none. */
  lastHash?: string;
  /** Empty when every record is as it was when it was closed. */
  faults: ChainFault[];
  /** Of the anchor that was asked for; absent where no record has it. */
  expected?: ExpectedLink;
}

interface RunRow {
  id: string;
  raw_lines: Uint8Array | null;
  [column: string]: unknown;
}

/** What a link stands for: exactly one of them, an entry beside its run. */
export interface Linked {
  runId?: string;
  entryId?: number;
  calibrationId?: number;
  shiftCheckId?: number;
}

interface Link {
  place: number;
  run_id: string | null;
  entry_id: number | null;
  calibration_id: number | null;
  shift_check_id: number | null;
  previous_hash: string;
  hash: string;
}

/** Columns that may change after a run is closed: none of the record, only who held it while it ran. */
const NOT_HASHED = new Set(['owner_host', 'owner_pid', 'touched_at']);

/** Appends what has just been written; inside the transaction that writes it. */
export function appendToChain(database: Database, linked: Linked): void {
  const last = database.prepare('SELECT * FROM chain ORDER BY place DESC LIMIT 1').get() as Link | undefined;
  const previous = last?.hash ?? GENESIS;
  const { runId = null, entryId = null, calibrationId = null, shiftCheckId = null } = linked;
  database
    .prepare(
      `INSERT INTO chain (place, run_id, entry_id, calibration_id, shift_check_id, previous_hash, hash)
       VALUES (?, ?, ?, ?, ?, ?, ?)`,
    )
    .run(
      ...[(last?.place ?? 0) + 1, runId, entryId, calibrationId, shiftCheckId],
      ...[previous, hashOf(database, linked, previous)],
    );
}

/** What stood in a store before such things were chained joins the chain as it is found. */
export function chainNotesOfOld(database: Database): void {
  const notes = database
    .prepare(
      `SELECT id AS calibrationId, NULL AS shiftCheckId, at FROM calibrations
       UNION ALL SELECT NULL, id, at FROM shift_checks ORDER BY at`,
    )
    .all() as { calibrationId: number | null; shiftCheckId: number | null }[];
  for (const { calibrationId, shiftCheckId } of notes)
    appendToChain(database, {
      ...(calibrationId === null ? {} : { calibrationId }),
      ...(shiftCheckId === null ? {} : { shiftCheckId }),
    });
}

/**
 * Computes every hash again from what the store holds now.
 * @param expect the beginning of a hash that should be among them
 */
export function verifyChain(database: Database, expect?: string): Verification {
  const faults: ChainFault[] = [];
  let previous = GENESIS;
  let place = 0;
  let expected: ExpectedLink | undefined;
  const links = database.prepare('SELECT * FROM chain ORDER BY place').all() as Link[];
  for (const [i, link] of links.entries()) {
    place += 1;
    const linked = linkedOf(link);
    const { of, what, written } = toldOf(database, linked);
    if (link.place !== place) {
      faults.push({ ...of, sentence: `record ${place} of the chain is missing before it` });
      place = link.place;
    } else if (link.previous_hash !== previous) {
      faults.push({ ...of, sentence: 'it does not follow the record before it' });
    }
    const hash = hashOf(database, linked, link.previous_hash);
    if (hash === undefined) faults.push({ ...of, sentence: `${what} is gone` });
    else if (hash !== link.hash)
      faults.push({ ...of, sentence: `${what} was changed after it was ${written}` });
    else if (expect !== undefined && isAnchorOf(expect, hash))
      expected = { ...of, later: links.length - 1 - i };
    previous = link.hash;
  }
  faults.push(...unchained(database));
  const runs = links.filter(({ run_id, entry_id }) => run_id !== null && entry_id === null).length;
  const entries = links.filter(({ entry_id }) => entry_id !== null).length;
  return {
    ...{ runs, entries, notes: links.length - runs - entries },
    ...(links.length === 0 ? {} : { lastHash: previous }),
    faults,
    ...(expected === undefined ? {} : { expected }),
  };
}

/** What should stand in the chain and does not. */
function unchained(database: Database): ChainFault[] {
  const without = (sql: string): string[] => database.prepare(sql).pluck().all() as string[];
  const [runs, entries, calibrations, checks] = [
    "SELECT id FROM runs WHERE status <> 'running' AND id NOT IN (SELECT run_id FROM chain WHERE run_id IS NOT NULL AND entry_id IS NULL) ORDER BY id",
    'SELECT run_id FROM entries WHERE id NOT IN (SELECT entry_id FROM chain WHERE entry_id IS NOT NULL) ORDER BY id',
    'SELECT rig_id FROM calibrations WHERE id NOT IN (SELECT calibration_id FROM chain WHERE calibration_id IS NOT NULL) ORDER BY id',
    'SELECT rig_id FROM shift_checks WHERE id NOT IN (SELECT shift_check_id FROM chain WHERE shift_check_id IS NOT NULL) ORDER BY id',
  ].map(without);
  return [
    ...(runs ?? []).map((runId) => ({ runId, sentence: 'it is closed but not in the chain' })),
    ...(entries ?? []).map((runId) => ({
      runId,
      sentence: 'an entry that was added to it is not in the chain',
    })),
    ...(calibrations ?? []).map((rigId) => ({ rigId, sentence: 'a calibration of it is not in the chain' })),
    ...(checks ?? []).map((rigId) => ({ rigId, sentence: 'a known-load check of it is not in the chain' })),
  ];
}

function linkedOf({ run_id, entry_id, calibration_id, shift_check_id }: Link): Linked {
  return known({
    runId: run_id ?? undefined,
    entryId: entry_id ?? undefined,
    calibrationId: calibration_id ?? undefined,
    shiftCheckId: shift_check_id ?? undefined,
  });
}

/** What a link is about, and what it is called when it is told of. */
function toldOf(
  database: Database,
  { runId, entryId, calibrationId, shiftCheckId }: Linked,
): { of: Pick<ChainFault, 'runId' | 'rigId'>; what: string; written: string } {
  if (runId !== undefined)
    return entryId === undefined
      ? { of: { runId }, what: 'its record', written: 'closed' }
      : { of: { runId }, what: 'an entry that was added to it', written: 'written' };
  const [table, word] =
    calibrationId === undefined
      ? (['shift_checks', 'known-load check'] as const)
      : (['calibrations', 'calibration'] as const);
  const row = database
    .prepare(`SELECT rig_id, channel, at FROM ${table} WHERE id = ?`)
    .get(calibrationId ?? shiftCheckId) as { rig_id: string; channel: Channel; at: string } | undefined;
  if (row === undefined) return { of: {}, what: `a ${word}`, written: 'noted' };
  const { day, time } = localTime(new Date(row.at));
  const what = `the ${word} of ${CHANNEL[row.channel].words} on ${day} ${time}`;
  return { of: { rigId: row.rig_id }, what, written: 'noted' };
}

function hashOf(
  database: Database,
  { runId, entryId, calibrationId, shiftCheckId }: Linked,
  previous: string,
): string | undefined {
  const rowHash = (name: string, table: string, id: number): string | undefined => {
    const row = database.prepare(`SELECT * FROM ${table} WHERE id = ?`).get(id);
    return row === undefined ? undefined : sha256(`${previous}\n${canonicalJson({ [name]: row })}`);
  };
  if (entryId !== undefined) return rowHash('entry', 'entries', entryId);
  if (calibrationId !== undefined) return rowHash('calibration', 'calibrations', calibrationId);
  if (shiftCheckId !== undefined) return rowHash('shiftCheck', 'shift_checks', shiftCheckId);
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
