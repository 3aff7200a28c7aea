// One link of the hash chain: what it stands for, the hash over that, and what it is called when it is told of.

import { createHash } from 'node:crypto';
import type { Database } from 'better-sqlite3';
import { CHANNEL, type Channel } from '../capture/index.js';
import { known } from '../fields/index.js';
import { dayTime } from '../tell/index.js';
import { canonicalJson } from './canonical-json.js';

/** What a link stands for: exactly one of them, an entry beside its run. */
export interface Linked {
  runId?: string;
  entryId?: number;
  calibrationId?: number;
  shiftCheckId?: number;
  dispositionId?: number;
  shopEntryId?: number;
}

export interface Link {
  place: number;
  run_id: string | null;
  entry_id: number | null;
  calibration_id: number | null;
  shift_check_id: number | null;
  disposition_id: number | null;
  shop_entry_id: number | null;
  previous_hash: string;
  hash: string;
}

export const COLUMN_OF = {
  runId: 'run_id',
  entryId: 'entry_id',
  calibrationId: 'calibration_id',
  shiftCheckId: 'shift_check_id',
  dispositionId: 'disposition_id',
  shopEntryId: 'shop_entry_id',
} as const satisfies Record<keyof Linked, keyof Link>;

export const linkedOf = (link: Link): Linked =>
  known({
    runId: link.run_id ?? undefined,
    entryId: link.entry_id ?? undefined,
    calibrationId: link.calibration_id ?? undefined,
    shiftCheckId: link.shift_check_id ?? undefined,
    dispositionId: link.disposition_id ?? undefined,
    shopEntryId: link.shop_entry_id ?? undefined,
  });

/** What a record is about. */
export interface About {
  /** Of the run that it is about. */
  runId?: string;
  /** Of the rig, where what is gone does not tell it. */
  rigId?: string;
  /** Of the unit, of the job. */
  tag?: string;
  job?: string;
  /** Path of a file with learned limits. */
  learnedPath?: string;
}

/** What is wrong with a record. */
export interface ChainFault extends About {
  sentence: string;
}

/** What a link is about, and what it is called when it is told of. */
export function toldOf(
  database: Database,
  { runId, entryId, calibrationId, shiftCheckId, dispositionId, shopEntryId }: Linked,
): { of: About; what: string; written: string } {
  if (runId !== undefined)
    return entryId === undefined
      ? { of: { runId }, what: 'its record', written: 'closed' }
      : { of: { runId }, what: 'an entry that was added to it', written: 'written' };
  if (dispositionId !== undefined) {
    const row = database.prepare('SELECT run_id FROM dispositions WHERE id = ?').get(dispositionId) as
      | { run_id: string }
      | undefined;
    return { of: known({ runId: row?.run_id }), what: 'a decision about it', written: 'written' };
  }
  if (shopEntryId !== undefined) {
    const row = database
      .prepare(
        `SELECT tag, job, run_id AS runId, at, CASE WHEN kind = 'learned-limits' AND json_valid(content_json)
           THEN content_json ->> '$.path' END AS learnedPath FROM shop_entries WHERE id = ?`,
      )
      .get(shopEntryId) as
      | ({ [name in 'tag' | 'job' | 'runId' | 'learnedPath']: string | null } & { at: string })
      | undefined;
    if (row === undefined) return { of: {}, what: 'an entry of the shop', written: 'written' };
    const { tag, job, runId: run, at, learnedPath } = row;
    const of = known({
      ...{ runId: run ?? undefined, tag: tag ?? undefined, job: job ?? undefined },
      learnedPath: learnedPath ?? undefined,
    });
    return { of, what: `the entry of ${dayTime(new Date(at))}`, written: 'written' };
  }
  const [table, word] =
    calibrationId === undefined
      ? (['shift_checks', 'known-load check'] as const)
      : (['calibrations', 'calibration'] as const);
  const row = database
    .prepare(`SELECT rig_id, channel, at FROM ${table} WHERE id = ?`)
    .get(calibrationId ?? shiftCheckId) as { rig_id: string; channel: Channel; at: string } | undefined;
  if (row === undefined) return { of: {}, what: `a ${word}`, written: 'noted' };
  const what = `the ${word} of ${CHANNEL[row.channel].words} on ${dayTime(new Date(row.at))}`;
  return { of: { rigId: row.rig_id }, what, written: 'noted' };
}

/** Columns that may change after a run is closed: none of the record, only who held it while it ran. */
const NOT_HASHED = new Set(['owner_host', 'owner_pid', 'touched_at']);

/** Undefined where what it stands for is gone. */
export function hashOf(database: Database, linked: Linked, previous: string): string | undefined {
  const content = contentOf(database, linked);
  return content === undefined ? undefined : sha256(`${previous}\n${canonicalJson(content)}`);
}

/** What is hashed, behind the hash before it and a line break. */
export function contentOf(
  database: Database,
  { runId, entryId, calibrationId, shiftCheckId, dispositionId, shopEntryId }: Linked,
): object | undefined {
  const row = (table: string, id: number) =>
    database.prepare(`SELECT * FROM ${table} WHERE id = ?`).get(id) as Row | undefined;
  const named = (name: string, found: Row | undefined) => found && { [name]: found };
  if (entryId !== undefined) return named('entry', row('entries', entryId));
  if (calibrationId !== undefined) return named('calibration', row('calibrations', calibrationId));
  if (shiftCheckId !== undefined) return named('shiftCheck', row('shift_checks', shiftCheckId));
  // An empty column is no part of these, so that a table may grow.
  if (dispositionId !== undefined) return named('disposition', filled(row('dispositions', dispositionId)));
  if (shopEntryId !== undefined) return named('shopEntry', filled(row('shop_entries', shopEntryId)));
  const run = database.prepare('SELECT * FROM runs WHERE id = ?').get(runId) as Row | undefined;
  if (!run) return undefined;
  const checks = database.prepare('SELECT * FROM checks WHERE run_id = ? ORDER BY place').all(runId);
  const content = Object.entries(run)
    .filter(([name, value]) => !NOT_HASHED.has(name) && value !== null)
    .map(([name, value]) => [name, value instanceof Uint8Array ? sha256(value) : value]);
  return { run: Object.fromEntries(content), checks, capture: captureOf(database, runId ?? '') };
}

type Row = Record<string, unknown>;

const filled = (row: Row | undefined): Row | undefined =>
  row && Object.fromEntries(Object.entries(row).filter(([, value]) => value !== null));

/** The hash of the samples stands for them, also where they were taken out. */
function captureOf(database: Database, runId: string): { samples: number; sha256: string } | null {
  const capture = database.prepare('SELECT samples, blob FROM captures WHERE run_id = ?').get(runId) as
    | { samples: number; blob: Uint8Array }
    | undefined;
  if (capture) return { samples: capture.samples, sha256: sha256(capture.blob) };
  const removed = hasTable(database, 'removed_captures')
    ? (database.prepare('SELECT samples, sha256 FROM removed_captures WHERE run_id = ?').get(runId) as
        | { samples: number; sha256: string }
        | undefined)
    : undefined;
  return removed ?? null;
}

/** Links are also made while an older store is brought to its next version. */
const hasTable = (database: Database, name: string): boolean =>
  database.prepare("SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = ?").get(name) !== undefined;

export const sha256 = (data: string | Uint8Array): string => createHash('sha256').update(data).digest('hex');
