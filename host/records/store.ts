// The store of runs: one SQLite file. A run is durable before its verdict is shown (WAL, synchronous=FULL), is kept
// piece by piece while it goes on, and joins a hash chain when it is closed. Several programs may use it at once.

import { mkdirSync } from 'node:fs';
import { hostname } from 'node:os';
import { join } from 'node:path';
import { deflateSync, inflateSync } from 'node:zlib';
import Sqlite, { type Database } from 'better-sqlite3';
import type { Capture } from '../capture/index.js';
import { displayPath } from '../input/index.js';
import { programVersion } from '../program/index.js';
import type { SampleBlock } from '../rig/index.js';
import { CalibrationStore, type ShiftCheck } from './calibration-store.js';
import { packCapture, unpackCapture } from './capture-blob.js';
import { appendToChain, type Verification, verifyChain } from './chain.js';
import { exactJson } from './exact-json.js';
import { logsDir, STORE_FILE } from './location.js';
import { migrate } from './migrations.js';
import type { AbortRun, BeginRun, CloseRun, FinishRun, RunRecord, RunSummary } from './record.js';
import { asRecordError, RecordError } from './record-error.js';
import { closeOrphans } from './recover.js';
import { type RunRow, recordOf, SUMMARY_COLUMNS, summaryOf } from './rows.js';
import { joinChunks, packChunk } from './sample-chunks.js';
import { doubtOf } from './shift-doubt.js';

/** How long a write waits for another program's, ms. */
const BUSY_TIMEOUT_MS = 5000;

/**
 * Opens the store in `dir`, made when it is not there; default: THROWBENCH_LOGS, else logs/. Runs that a program left
 * open when it died are closed as aborted with what they had sampled.
 * @throws RecordError
 */
export function openStore(dir?: string): Store {
  const folder = logsDir(dir);
  const path = join(folder, STORE_FILE);
  const name = displayPath(path);
  const guard = <T>(action: () => T): T => {
    try {
      return action();
    } catch (error) {
      throw asRecordError(error, name);
    }
  };
  const database = guard(() => {
    mkdirSync(folder, { recursive: true });
    return openDatabase(path, name);
  });
  const store = new SqliteStore(path, database);
  guard(() => closeOrphans(database, (runId, abort) => store.abortRun(runId, abort)));
  return guarded(store, guard);
}

function openDatabase(path: string, name: string): Database {
  const database = new Sqlite(path, { timeout: BUSY_TIMEOUT_MS });
  try {
    setWal(database);
    database.pragma('synchronous = FULL');
    database.pragma('foreign_keys = ON');
    database.pragma('trusted_schema = OFF');
    migrate(database, name);
    return database;
  } catch (error) {
    database.close();
    throw error;
  }
}

/** The change to WAL does not wait for others by itself, so it is tried a few times. */
function setWal(database: Database): void {
  for (let attempt = 1; ; attempt++) {
    try {
      database.pragma('journal_mode = WAL');
      return;
    } catch (error) {
      if (attempt === 50 || !/^SQLITE_BUSY/.test((error as { code?: string }).code ?? '')) throw error;
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 50);
    }
  }
}

/** The same store, with the errors of SQLite sorted whatever is called. */
const guarded = (store: SqliteStore, guard: <T>(action: () => T) => T): Store =>
  new Proxy(store, {
    get(target, key) {
      const value: unknown = Reflect.get(target, key, target);
      return typeof value === 'function'
        ? (...args: unknown[]) => guard(() => value.apply(target, args))
        : value;
    },
  });

class SqliteStore extends CalibrationStore {
  constructor(
    /** Path of the database file. */
    readonly file: string,
    database: Database,
  ) {
    super(database);
  }

  /** Returns the id of the run: its date and a number, such as 2024-06-11-0003. */
  beginRun({ tag, unit, rig, startedAt }: BeginRun): string {
    const database = this.database;
    return database
      .transaction(() => {
        database
          .prepare('INSERT INTO units (tag, first_seen_at) VALUES (?, ?) ON CONFLICT DO NOTHING')
          .run(tag, startedAt);
        const runId = this.#nextId(new Date(startedAt));
        database
          .prepare(
            `INSERT INTO runs (id, tag, status, started_at, profile_id, profile_json, rig_json, tool_version,
               owner_host, owner_pid, touched_at)
             VALUES (?, ?, 'running', ?, ?, ?, ?, ?, ?, ?, ?)`,
          )
          .run(
            runId,
            tag,
            startedAt,
            unit.unit.id,
            exactJson(unit),
            exactJson(rig),
            programVersion(),
            hostname(),
            process.pid,
            new Date().toISOString(),
          );
        return runId;
      })
      .immediate();
  }

  /** Adds what has been sampled since the last call. */
  appendSamples(runId: string, blocks: readonly SampleBlock[]): void {
    const blob = packChunk(blocks);
    const database = this.database;
    database
      .transaction(() => {
        this.#mustRun(runId);
        database.prepare('UPDATE runs SET touched_at = ? WHERE id = ?').run(new Date().toISOString(), runId);
        database
          .prepare(
            `INSERT INTO capture_chunks (run_id, place, blob)
             SELECT ?, coalesce(max(place), 0) + 1, ? FROM capture_chunks WHERE run_id = ?`,
          )
          .run(runId, blob, runId);
      })
      .immediate();
  }

  /** Durable when it returns. */
  finishRun(runId: string, finish: FinishRun): void {
    const { capture, judgement, stop, unit } = finish;
    this.#closeRun(runId, finish, capture, () => {
      if (unit)
        this.database
          .prepare('UPDATE runs SET profile_id = ?, profile_json = ? WHERE id = ?')
          .run(unit.unit.id, exactJson(unit), runId);
      this.database
        .prepare(
          `UPDATE runs SET status = 'finished', verdict = ?, sentence = ?, judgement_json = ?, stop_json = ? WHERE id = ?`,
        )
        .run(
          judgement.verdict,
          judgement.sentence,
          exactJson(judgement),
          stop === undefined ? null : exactJson(stop),
          runId,
        );
      const insert = this.database.prepare(
        `INSERT INTO checks (run_id, place, id, outcome, required, origin, sentence, value, unit, expanded_uncertainty,
           lower, upper) VALUES (@runId, @place, @id, @outcome, @required, @origin, @sentence, @value, @unit,
           @expandedUncertainty, @lower, @upper)`,
      );
      for (const [place, check] of judgement.checks.entries()) {
        const { id, outcome, required, origin, sentence, unit: unitOfValue } = check;
        insert.run({
          ...{ runId, place, id, outcome, origin, sentence },
          required: required ? 1 : 0,
          unit: unitOfValue ?? null,
          value: finite(check.value),
          expandedUncertainty: finite(check.expandedUncertainty),
          lower: finite(check.lower),
          upper: finite(check.upper),
        });
      }
    });
  }

  abortRun(runId: string, abort: AbortRun): void {
    const capture =
      abort.capture ??
      joinChunks(this.#chunks(runId), 'The run was broken off: samples up to the last piece saved.');
    this.#closeRun(runId, abort, capture, () => {
      this.database
        .prepare("UPDATE runs SET status = 'aborted', verdict = 'cannot-tell', sentence = ? WHERE id = ?")
        .run(abort.reason, runId);
    });
  }

  /** Newest first. */
  listRuns({ tag, limit }: { tag?: string; limit?: number } = {}): RunSummary[] {
    const where = tag === undefined ? '' : 'WHERE tag = @tag';
    const rows = this.database
      .prepare(
        `SELECT ${SUMMARY_COLUMNS} FROM runs ${where}
         ORDER BY started_at DESC, length(id) DESC, id DESC LIMIT @limit`,
      )
      .all({ ...(tag === undefined ? {} : { tag }), limit: limit ?? -1 });
    const checks = this.listShiftChecks();
    return (rows as RunRow[]).map((row) => ({ ...summaryOf(row), ...doubt(checks, row) }));
  }

  /** `last` is the newest run. @throws RecordError run-unknown */
  showRun(runId: string): RunRecord {
    const row = this.database
      .prepare(
        `SELECT runs.*, coalesce(samples, 0) AS samples, hash FROM runs
         LEFT JOIN captures ON captures.run_id = runs.id LEFT JOIN chain ON chain.run_id = runs.id WHERE runs.id = ?`,
      )
      .get(this.#idOf(runId)) as RunRow;
    return { ...recordOf(row), ...doubt(this.listShiftChecks(), row) };
  }

  /** Undefined when the run has no samples. */
  readCapture(runId: string): Capture | undefined {
    const id = this.#idOf(runId);
    const row = this.database.prepare('SELECT blob FROM captures WHERE run_id = ?').get(id) as
      | { blob: Uint8Array }
      | undefined;
    return row ? unpackCapture(row.blob) : joinChunks(this.#chunks(id), 'The run is still going on.');
  }

  readRawLines(runId: string): string[] {
    const row = this.database.prepare('SELECT raw_lines FROM runs WHERE id = ?').get(this.#idOf(runId)) as {
      raw_lines: Uint8Array | null;
    };
    return row.raw_lines === null
      ? []
      : (JSON.parse(inflateSync(row.raw_lines).toString('utf8')) as string[]);
  }

  /** Recomputes the hash chain over all closed runs. */
  verify(): Verification {
    // One transaction: a run closed meanwhile is either in or out.
    return this.database.transaction(() => verifyChain(this.database))();
  }

  close(): void {
    this.database.close();
  }

  #closeRun(runId: string, close: CloseRun, capture: Capture | undefined, write: () => void): void {
    const database = this.database;
    const blob = capture && packCapture(capture);
    const rawLines = close.rawLines?.length ? deflateSync(JSON.stringify(close.rawLines)) : null;
    database
      .transaction(() => {
        this.#mustRun(runId);
        write();
        database
          .prepare('UPDATE runs SET ended_at = ?, counters_json = ?, raw_lines = ? WHERE id = ?')
          .run(close.endedAt ?? new Date().toISOString(), exactJson(close.counters ?? {}), rawLines, runId);
        if (capture && blob) {
          database
            .prepare('INSERT INTO captures (run_id, samples, blob) VALUES (?, ?, ?)')
            .run(runId, capture.timeS.length, blob);
        }
        database.prepare('DELETE FROM capture_chunks WHERE run_id = ?').run(runId);
        appendToChain(database, runId);
      })
      .immediate();
  }

  #chunks(runId: string): Uint8Array[] {
    const rows = this.database
      .prepare('SELECT blob FROM capture_chunks WHERE run_id = ? ORDER BY place')
      .all(runId);
    return (rows as { blob: Uint8Array }[]).map(({ blob }) => blob);
  }

  /** Date of the bench's own day and the next free number of it. */
  #nextId(startedAt: Date): string {
    const two = (value: number): string => String(value).padStart(2, '0');
    const day = `${startedAt.getFullYear()}-${two(startedAt.getMonth() + 1)}-${two(startedAt.getDate())}`;
    const last = this.database
      .prepare('SELECT id FROM runs WHERE id GLOB ? ORDER BY length(id) DESC, id DESC LIMIT 1')
      .get(`${day}-*`) as { id: string } | undefined;
    const number = last === undefined ? 1 : Number(last.id.slice(day.length + 1)) + 1;
    return `${day}-${String(number).padStart(4, '0')}`;
  }

  #idOf(ref: string): string {
    const row =
      ref === 'last'
        ? this.database
            .prepare('SELECT id FROM runs ORDER BY started_at DESC, length(id) DESC, id DESC LIMIT 1')
            .get()
        : this.database.prepare('SELECT id FROM runs WHERE id = ?').get(ref);
    if (row) return (row as { id: string }).id;
    throw new RecordError(
      'run-unknown',
      `no run ${ref} in ${displayPath(this.file)}`,
      'list the runs to see their ids',
    );
  }

  #mustRun(runId: string): void {
    const row = this.database.prepare('SELECT status FROM runs WHERE id = ?').get(runId) as
      | { status: string }
      | undefined;
    if (row?.status === 'running') return;
    if (row)
      throw new RecordError(
        'run-closed',
        `run ${runId} is ${row.status}`,
        'a closed record is never written again',
      );
    throw new RecordError('run-unknown', `no run ${runId}`, 'begin it first');
  }
}

/** What others see of it. */
export type Store = Pick<SqliteStore, keyof SqliteStore>;

/** Not part of the record: it follows from checks that came later. */
function doubt(checks: readonly ShiftCheck[], row: RunRow): { doubt?: string } {
  const rigId = row.rig_id ?? (JSON.parse(row.rig_json) as { rigId?: string }).rigId;
  const found = rigId === undefined ? undefined : doubtOf(checks, rigId, row.started_at);
  return found === undefined ? {} : { doubt: found };
}

const finite = (value: number | undefined): number | null =>
  value !== undefined && Number.isFinite(value) ? value : null;
