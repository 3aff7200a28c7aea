// Runs in the store: begun, kept piece by piece while they go on, closed into the chain; listed and read again.

import { hostname } from 'node:os';
import { deflateSync, inflateSync } from 'node:zlib';
import type { Capture } from '../capture/index.js';
import { known } from '../fields/index.js';
import { displayPath } from '../input/index.js';
import { programVersion } from '../program/index.js';
import type { SampleBlock } from '../rig/index.js';
import { localTime } from '../tell/index.js';
import { benchZone } from './bench-zone.js';
import { packCapture, unpackCapture } from './capture-blob.js';
import { exactJson } from './exact-json.js';
import type {
  AbortRun,
  BeginRun,
  CloseRun,
  FinishRun,
  FirstCause,
  RunRecord,
  RunSummary,
  Turn,
} from './record.js';
import { RecordError } from './record-error.js';
import { type RunRow, recordOf, SUMMARY_COLUMNS, summaryOf } from './rows.js';
import { conditionOf, type RunQuery } from './run-query.js';
import { joinChunks, packChunk } from './sample-chunks.js';
import { doubtOf, type Noted } from './shift-doubt.js';
import { ShopStore } from './shop-store.js';

/** How long a write waits for another program's, ms. */
export const BUSY_TIMEOUT_MS = 5000;
/** The same while outputs may be on; the board cuts them when it hears nothing for 250 ms. */
const RUNNING_TIMEOUT_MS = 50;

const NEWEST_FIRST = 'ORDER BY started_at DESC, length(id) DESC, id DESC';

export abstract class RunStore extends ShopStore {
  /** Path of the database file. */
  abstract readonly file: string;

  /** Returns the id of the run: its date and a number, such as 2024-06-11-0003. */
  beginRun({ tag, unit, rig, startedAt, turn, operator }: BeginRun): string {
    return this.together(() => {
      this.run('INSERT INTO units (tag, first_seen_at) VALUES (?, ?) ON CONFLICT DO NOTHING', tag, startedAt);
      const runId = this.#nextId(new Date(startedAt));
      const { zone, utcOffsetMin } = benchZone(new Date(startedAt));
      this.run(
        `INSERT INTO runs (id, tag, status, started_at, profile_id, profile_json, rig_json, tool_version,
           owner_host, owner_pid, touched_at, zone, utc_offset_min, operator, sitting_id, place, attempt)
         VALUES (?, ?, 'running', ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
        ...[runId, tag, startedAt, unit.unit.id, exactJson(unit), exactJson(rig)],
        ...[programVersion(), hostname(), process.pid, new Date().toISOString(), zone, utcOffsetMin],
        ...[operator ?? null],
        ...(turn ? [turn.sittingId, turn.place, this.#nextAttempt(turn)] : [null, null, null]),
      );
      return runId;
    });
  }

  /** Adds what has been sampled since the last call. */
  appendSamples(runId: string, blocks: readonly SampleBlock[]): void {
    const blob = packChunk(blocks);
    // In mid-run the board waits for its host, who must not wait for another program.
    this.#waitingFor(RUNNING_TIMEOUT_MS, () => {
      this.#mustRun(runId);
      this.run('UPDATE runs SET touched_at = ? WHERE id = ?', new Date().toISOString(), runId);
      this.run(
        `INSERT INTO capture_chunks (run_id, place, blob)
         SELECT ?, coalesce(max(place), 0) + 1, ? FROM capture_chunks WHERE run_id = ?`,
        ...[runId, blob, runId],
      );
    });
  }

  /** Durable when it returns. */
  finishRun(runId: string, finish: FinishRun): void {
    const { capture, judgement, stop, unit } = finish;
    this.#closeRun(runId, finish, capture, () => {
      if (unit) {
        const profile = [unit.unit.id, exactJson(unit), runId];
        this.run('UPDATE runs SET profile_id = ?, profile_json = ? WHERE id = ?', ...profile);
      }
      const { verdict, sentence } = judgement;
      this.run(
        `UPDATE runs SET status = 'finished', verdict = ?, sentence = ?, judgement_json = ?, stop_json = ? WHERE id = ?`,
        ...[verdict, sentence, exactJson(judgement), stop === undefined ? null : exactJson(stop), runId],
      );
      const insert = this.database.prepare(
        `INSERT INTO checks (run_id, place, id, outcome, required, origin, sentence, value, unit, expanded_uncertainty,
           lower, upper) VALUES (@runId, @place, @id, @outcome, @required, @origin, @sentence, @value, @unit,
           @expandedUncertainty, @lower, @upper)`,
      );
      for (const [place, check] of judgement.checks.entries()) {
        const { value, expandedUncertainty, lower, upper, required, unit: unitOfValue = null } = check;
        insert.run({
          ...{ ...check, runId, place, required: required ? 1 : 0, unit: unitOfValue },
          ...{ value: finite(value), expandedUncertainty: finite(expandedUncertainty) },
          ...{ lower: finite(lower), upper: finite(upper) },
        });
      }
    });
  }

  abortRun(runId: string, abort: AbortRun): void {
    const capture =
      abort.capture ??
      joinChunks(this.#chunks(runId), 'The run was broken off: samples up to the last piece saved.');
    this.#closeRun(runId, abort, capture, () => {
      const sql = "UPDATE runs SET status = 'aborted', verdict = 'cannot-tell', sentence = ? WHERE id = ?";
      this.run(sql, abort.reason, runId);
    });
  }

  /** Newest first. */
  listRuns(query: RunQuery = {}): RunSummary[] {
    const { where, values } = conditionOf(query);
    const rows = this.database
      .prepare(`SELECT ${SUMMARY_COLUMNS} FROM runs WHERE ${where} ${NEWEST_FIRST} LIMIT @limit`)
      .all(values);
    const noted = this.#noted();
    // Of one unit its own lists are enough; a shop has thousands of others.
    const jobs = query.tag === undefined ? this.jobsByTag() : new Map([[query.tag, this.jobOf(query.tag)]]);
    return (rows as RunRow[]).map((row) => ({
      ...{ ...summaryOf(row), ...known({ job: jobs.get(row.tag) }) },
      ...doubt(noted, row),
    }));
  }

  /** The likeliest cause of each run that found one. */
  firstCauses(): Map<string, FirstCause> {
    const rows = this.database
      .prepare(
        `SELECT id AS runId, judgement_json ->> '$.findings[0].id' AS id,
           judgement_json ->> '$.findings[0].sentence' AS sentence FROM runs
         WHERE judgement_json ->> '$.findings[0].id' IS NOT NULL`,
      )
      .all() as (FirstCause & { runId: string })[];
    return new Map(rows.map(({ runId, ...cause }) => [runId, cause]));
  }

  /** `last` is the newest run. @throws RecordError run-unknown */
  showRun(runId: string): RunRecord {
    const row = this.database
      .prepare(
        `SELECT runs.*, coalesce(samples, 0) AS samples, hash FROM runs
         LEFT JOIN captures ON captures.run_id = runs.id
         LEFT JOIN chain ON chain.run_id = runs.id AND entry_id IS NULL WHERE runs.id = ?`,
      )
      .get(this.#idOf(runId)) as RunRow;
    const decided = this.dispositionOf(row.id);
    const { word: disposition, operator: decidedBy, reason: decidedReason } = decided ?? {};
    const job = this.jobOf(row.tag);
    const record = recordOf(row);
    const learnedFrom = this.learnedFrom(record.unit);
    return {
      ...record,
      ...known({ disposition, decidedBy, decidedReason, job, learnedFrom }),
      ...known({ samplesRemoved: this.samplesRemoved(row.id) }),
      ...doubt(this.#noted(), row),
    };
  }

  #noted(): Noted {
    return { checks: this.listShiftChecks(), points: this.listCalibrations() };
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

  #closeRun(runId: string, close: CloseRun, capture: Capture | undefined, write: () => void): void {
    const blob = capture && packCapture(capture);
    const rawLines = close.rawLines?.length ? deflateSync(JSON.stringify(close.rawLines)) : null;
    const { endedAt = new Date().toISOString(), counters = {} } = close;
    this.together(() => {
      this.#mustRun(runId);
      write();
      const sql = 'UPDATE runs SET ended_at = ?, counters_json = ?, raw_lines = ? WHERE id = ?';
      this.run(sql, endedAt, exactJson(counters), rawLines, runId);
      if (capture && blob) {
        const { length } = capture.timeS;
        this.run('INSERT INTO captures (run_id, samples, blob) VALUES (?, ?, ?)', runId, length, blob);
      }
      this.run('DELETE FROM capture_chunks WHERE run_id = ?', runId);
      this.link({ runId });
    });
  }

  /** As one, with the right to write taken at its start. */
  #waitingFor(timeoutMs: number, write: () => void): void {
    this.database.pragma(`busy_timeout = ${timeoutMs}`);
    try {
      this.together(write);
    } finally {
      this.database.pragma(`busy_timeout = ${BUSY_TIMEOUT_MS}`);
    }
  }

  protected run(sql: string, ...values: unknown[]): void {
    this.database.prepare(sql).run(...values);
  }

  #chunks(runId: string): Uint8Array[] {
    const rows = this.database
      .prepare('SELECT blob FROM capture_chunks WHERE run_id = ? ORDER BY place')
      .all(runId);
    return (rows as { blob: Uint8Array }[]).map(({ blob }) => blob);
  }

  /** Attempts at one unit of a sitting count from 1. */
  #nextAttempt({ sittingId, place }: Turn): number {
    const row = this.database
      .prepare('SELECT coalesce(max(attempt), 0) AS last FROM runs WHERE sitting_id = ? AND place = ?')
      .get(sittingId, place) as { last: number };
    return row.last + 1;
  }

  /** Date of the bench's own day and the next free number of it. */
  #nextId(startedAt: Date): string {
    const { day } = localTime(startedAt);
    const last = this.database
      .prepare('SELECT id FROM runs WHERE id GLOB ? ORDER BY length(id) DESC, id DESC LIMIT 1')
      .get(`${day}-*`) as { id: string } | undefined;
    const number = last === undefined ? 1 : Number(last.id.slice(day.length + 1)) + 1;
    return `${day}-${String(number).padStart(4, '0')}`;
  }

  #idOf(ref: string): string {
    const which = ref === 'last' ? '? IS NOT NULL' : 'id = ?';
    const row = this.database.prepare(`SELECT id FROM runs WHERE ${which} ${NEWEST_FIRST} LIMIT 1`).get(ref);
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

/** Not part of the record: it follows from checks that stand beside it, later ones too. */
function doubt(noted: Noted, row: RunRow): { doubt?: string } {
  const rigId = row.rig_id ?? (JSON.parse(row.rig_json) as { rigId?: string }).rigId;
  const found = rigId === undefined ? undefined : doubtOf(noted, rigId, row.started_at);
  return found === undefined ? {} : { doubt: found };
}

const finite = (value = Number.NaN): number | null => (Number.isFinite(value) ? value : null);
