// Closes runs whose program died in the middle: recorded as aborted, with the samples saved so far.

import { hostname } from 'node:os';
import type { Database } from 'better-sqlite3';
import type { AbortRun } from './record.js';
import { RecordError } from './record-error.js';

/** A run that has not been touched for this long is nobody's, also on another machine or under a reused process id. */
const STALE_AFTER_MS = 10 * 60_000;

export function closeOrphans(database: Database, abort: (runId: string, abort: AbortRun) => void): void {
  const open = database
    .prepare("SELECT id, owner_host, owner_pid, touched_at FROM runs WHERE status = 'running' ORDER BY id")
    .all() as { id: string; owner_host: string; owner_pid: number; touched_at: string }[];
  for (const run of open) {
    const isStale = Date.now() - Date.parse(run.touched_at) > STALE_AFTER_MS;
    const isOurs = run.owner_host === hostname();
    if (!isStale && !(isOurs && !isAlive(run.owner_pid))) continue;
    try {
      abort(run.id, { reason: 'The program ended in mid-run.', endedAt: run.touched_at });
    } catch (error) {
      // Another program has closed it in the meantime.
      if (!(error instanceof RecordError && error.code === 'run-closed')) throw error;
    }
  }
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code !== 'ESRCH';
  }
}
