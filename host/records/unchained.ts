// What should stand in the chain and does not, and samples that are gone without a word.

import type { Database } from 'better-sqlite3';
import type { ChainFault } from './chain-link.js';

/** What is looked for, as rows of `about` and what is said of each. */
const MISSING: readonly { sql: string; key: 'runId' | 'rigId' | 'tag'; sentence: string }[] = [
  {
    sql: "SELECT id FROM runs WHERE status <> 'running' AND id NOT IN (SELECT run_id FROM chain WHERE run_id IS NOT NULL AND entry_id IS NULL) ORDER BY id",
    key: 'runId',
    sentence: 'it is closed but not in the chain',
  },
  {
    sql: 'SELECT run_id FROM entries WHERE id NOT IN (SELECT entry_id FROM chain WHERE entry_id IS NOT NULL) ORDER BY id',
    key: 'runId',
    sentence: 'an entry that was added to it is not in the chain',
  },
  {
    sql: 'SELECT run_id FROM dispositions WHERE id NOT IN (SELECT disposition_id FROM chain WHERE disposition_id IS NOT NULL) ORDER BY id',
    key: 'runId',
    sentence: 'a decision about it is not in the chain',
  },
  {
    sql: "SELECT coalesce(tag, '') FROM shop_entries WHERE id NOT IN (SELECT shop_entry_id FROM chain WHERE shop_entry_id IS NOT NULL) ORDER BY id",
    key: 'tag',
    sentence: 'an entry about it is not in the chain',
  },
  {
    sql: 'SELECT rig_id FROM calibrations WHERE id NOT IN (SELECT calibration_id FROM chain WHERE calibration_id IS NOT NULL) ORDER BY id',
    key: 'rigId',
    sentence: 'a calibration of it is not in the chain',
  },
  {
    sql: 'SELECT rig_id FROM shift_checks WHERE id NOT IN (SELECT shift_check_id FROM chain WHERE shift_check_id IS NOT NULL) ORDER BY id',
    key: 'rigId',
    sentence: 'a known-load check of it is not in the chain',
  },
  {
    sql: `SELECT run_id FROM removed_captures WHERE NOT EXISTS (SELECT 1 FROM shop_entries
      WHERE id = shop_entry_id AND kind = 'samples-removed' AND shop_entries.run_id = removed_captures.run_id
        AND content_json ->> '$.captureSha256' = sha256) ORDER BY run_id`,
    key: 'runId',
    sentence: 'its samples are gone, and no entry tells of their removal',
  },
];

export const missing = (database: Database): ChainFault[] =>
  MISSING.flatMap(({ sql, key, sentence }) =>
    (database.prepare(sql).pluck().all() as string[]).map((about) => ({
      ...(about === '' ? {} : { [key]: about }),
      sentence,
    })),
  );
