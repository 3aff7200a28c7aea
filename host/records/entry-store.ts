// Entries that were added to closed runs: only ever added, each linked into the hash chain as it is written.

import { programVersion } from '../program/index.js';
import { CalibrationStore } from './calibration-store.js';
import type { EntryContent, RunEntry } from './entry.js';
import { exactJson, readExactJson } from './exact-json.js';
import { RecordError } from './record-error.js';

interface EntryRow {
  run_id: string;
  at: string;
  content_json: string;
  tool_version: string;
  hash: string | null;
}

const COLUMNS = 'entries.run_id, at, content_json, tool_version, hash';
const LINKED = 'entries LEFT JOIN chain ON chain.entry_id = entries.id';

export class EntryStore extends CalibrationStore {
  /** Durable when it returns. @throws RecordError where the run is not there, or still going on. */
  addEntry(runId: string, content: EntryContent, at = new Date().toISOString()): void {
    this.database
      .transaction(() => {
        const run = this.database.prepare('SELECT status FROM runs WHERE id = ?').get(runId) as
          | { status: string }
          | undefined;
        if (run === undefined)
          throw new RecordError('run-unknown', `no run ${runId}`, 'list the runs to see their ids');
        if (run.status === 'running')
          throw new RecordError('run-open', `run ${runId} is still going on`, 'wait until it has ended');
        const { lastInsertRowid } = this.database
          .prepare(
            'INSERT INTO entries (run_id, kind, at, content_json, tool_version) VALUES (?, ?, ?, ?, ?)',
          )
          .run(runId, content.kind, at, exactJson(content), programVersion());
        this.link({ runId, entryId: Number(lastInsertRowid) });
      })
      .immediate();
  }

  /** Oldest first. */
  listEntries(runId: string): RunEntry[] {
    const rows = this.database
      .prepare(`SELECT ${COLUMNS} FROM ${LINKED} WHERE entries.run_id = ? ORDER BY entries.id`)
      .all(runId) as EntryRow[];
    return rows.map(entryOf);
  }

  /** Clips of a rig that were moved and not seen back since, with the run that they were moved for. */
  clipsAway(rigId: string): RunEntry[] {
    const rows = this.database
      .prepare(
        `SELECT ${COLUMNS} FROM ${LINKED} WHERE kind IN ('clip-moved', 'clip-back')
         AND content_json ->> '$.rigId' = ? ORDER BY entries.id`,
      )
      .all(rigId) as EntryRow[];
    const last = new Map<string, RunEntry>();
    for (const entry of rows.map(entryOf)) if ('clip' in entry) last.set(entry.clip, entry);
    return [...last.values()].filter(({ kind }) => kind === 'clip-moved');
  }
}

function entryOf({ run_id: runId, at, content_json, tool_version: toolVersion, hash }: EntryRow): RunEntry {
  const content = readExactJson(content_json) as EntryContent;
  return { ...content, runId, at, toolVersion, ...(hash === null ? {} : { hash }) };
}
