// Sittings in the store: their lists, what was skipped, dispositions and acknowledged cautions. Only ever added to.

import { known } from '../fields/index.js';
import type { VirtualCase } from '../profile/index.js';
import { programVersion } from '../program/index.js';
import { benchZone } from './bench-zone.js';
import { canonicalJson } from './canonical-json.js';
import type { Disposition } from './disposition.js';
import { EntryStore } from './entry-store.js';
import { exactJson, readExactJson } from './exact-json.js';
import { RecordError } from './record-error.js';
import { type RunRow, SUMMARY_COLUMNS, summaryOf } from './rows.js';
import type {
  Acknowledgement,
  BeginSitting,
  DispositionEntry,
  RigPort,
  SittingKind,
  SittingUnit,
  StoredSitting,
  StoredSittingUnit,
} from './sitting.js';

export class SittingStore extends EntryStore {
  /** Returns its id. */
  beginSitting({ kind, title, port, rigId, operator }: BeginSitting): number {
    const { lastInsertRowid } = this.database
      .prepare(
        `INSERT INTO sittings (kind, title, started_at, port, rig_id, operator, tool_version)
         VALUES (?, ?, ?, ?, ?, ?, ?)`,
      )
      .run(kind, title, now(), port ?? null, rigId ?? null, operator ?? null, programVersion());
    return Number(lastInsertRowid);
  }

  /** Returns its place in the list, from 0. */
  addSittingUnit(sittingId: number, { tag, unit, virtualCase }: SittingUnit): number {
    const next = this.database
      .prepare('SELECT count(*) AS place FROM sitting_units WHERE sitting_id = ?')
      .get(sittingId) as { place: number };
    this.database
      .prepare(
        'INSERT INTO sitting_units (sitting_id, place, tag, unit_json, case_json) VALUES (?, ?, ?, ?, ?)',
      )
      .run(sittingId, next.place, tag, exactJson(unit), virtualCase ? exactJson(virtualCase) : null);
    return next.place;
  }

  addSkip(sittingId: number, place: number): void {
    this.database
      .prepare('INSERT INTO skips (sitting_id, place, at) VALUES (?, ?, ?)')
      .run(sittingId, place, now());
  }

  /** The newest sitting of these kinds. */
  lastSittingId(kinds: readonly SittingKind[]): number | undefined {
    const row = this.database
      .prepare(
        `SELECT id FROM sittings WHERE kind IN (${kinds.map(() => '?').join(', ')}) ORDER BY id DESC LIMIT 1`,
      )
      .get(...kinds) as { id: number } | undefined;
    return row?.id;
  }

  /** @throws RecordError run-unknown; InputError where a profile of that day means nothing any more */
  readSitting(id: number): StoredSitting {
    const row = this.database
      .prepare(
        'SELECT id, kind, title, started_at AS startedAt, port, rig_id AS rigId, operator FROM sittings WHERE id = ?',
      )
      .get(id) as SittingRow | undefined;
    if (!row)
      throw new RecordError('run-unknown', `no sitting ${id}`, 'list the runs to see what is recorded');
    const { port, rigId, operator, ...rest } = row;
    const skipped = this.database.prepare('SELECT DISTINCT place FROM skips WHERE sitting_id = ?').all(id);
    const skips = new Set((skipped as { place: number }[]).map(({ place }) => place));
    const units = this.database
      .prepare(
        'SELECT place, tag, unit_json, case_json FROM sitting_units WHERE sitting_id = ? ORDER BY place',
      )
      .all(id) as UnitRow[];
    return {
      ...rest,
      ...known({
        port: port ?? undefined,
        rigId: rigId ?? undefined,
        operator: operator ?? undefined,
      }),
      units: units.map((unit) => this.#unitOf(id, unit, skips)),
    };
  }

  #unitOf(
    sittingId: number,
    { place, tag, unit_json, case_json }: UnitRow,
    skips: Set<number>,
  ): StoredSittingUnit {
    const runs = this.database
      .prepare(`SELECT ${SUMMARY_COLUMNS} FROM runs WHERE sitting_id = ? AND place = ? ORDER BY attempt`)
      .all(sittingId, place) as RunRow[];
    return {
      ...{ place, tag, isSkipped: skips.has(place), runs: runs.map(summaryOf) },
      unit: readExactJson(unit_json) as StoredSittingUnit['unit'],
      ...(case_json === null ? {} : { virtualCase: readExactJson(case_json) as VirtualCase }),
    };
  }

  /** Returns the entry's id. */
  addDisposition({
    tag,
    runId,
    word,
    operator,
    reason,
  }: {
    tag: string;
    runId: string;
    word: Disposition;
    /** Who decided. */
    operator?: string;
    reason?: string;
  }): number {
    return this.#enter({ tag, runId, word, takesBack: null, operator, reason });
  }

  /** Takes back the one that stands on this run: a new entry. Returns what was taken back; undefined when none stands. */
  takeBackDisposition(runId: string, operator?: string): DispositionEntry | undefined {
    const standing = this.dispositionOf(runId);
    if (!standing) return undefined;
    this.#enter({
      tag: standing.tag,
      runId,
      word: null,
      takesBack: standing.id,
      operator,
      reason: undefined,
    });
    return standing;
  }

  /** The one that stands on this run. */
  dispositionOf(runId: string): DispositionEntry | undefined {
    return standingOf(this.listDispositions(runId)).get(runId);
  }

  /** The one that stands on each run, by the run's id. */
  standingDispositions(): Map<string, DispositionEntry> {
    return standingOf(this.listDispositions());
  }

  /** Oldest first, those taken back and the takings back included; of one run where it is named. */
  listDispositions(runId?: string): DispositionEntry[] {
    const rows = this.database
      .prepare(
        `SELECT id, tag, run_id AS runId, word, takes_back AS takesBack, at, operator, reason FROM dispositions
         WHERE ? IS NULL OR run_id = ? ORDER BY id`,
      )
      .all(runId ?? null, runId ?? null) as DispositionRow[];
    return rows.map(({ word, takesBack, operator, reason, ...entry }) => ({
      ...entry,
      ...known({
        word: word ?? undefined,
        takesBack: takesBack ?? undefined,
        operator: operator ?? undefined,
        reason: reason ?? undefined,
      }),
    }));
  }

  addAcknowledgement({ what, lines, tag, rigId, operator }: Omit<Acknowledgement, 'at'>): void {
    this.database
      .prepare(
        `INSERT INTO acknowledgements (what, lines_json, at, tag, rig_id, operator, tool_version)
         VALUES (?, ?, ?, ?, ?, ?, ?)`,
      )
      .run(
        what,
        JSON.stringify(lines),
        now(),
        tag ?? null,
        rigId ?? null,
        operator ?? null,
        programVersion(),
      );
  }

  /** The newest of its kind by this operator, or by nobody named where none is. */
  lastAcknowledgement(what: Acknowledgement['what'], operator?: string): Acknowledgement | undefined {
    const row = this.database
      .prepare(
        `SELECT what, lines_json, at, tag, rig_id AS rigId, operator FROM acknowledgements
         WHERE what = ? AND operator IS ? ORDER BY id DESC LIMIT 1`,
      )
      .get(what, operator ?? null) as AcknowledgementRow | undefined;
    if (!row) return undefined;
    return {
      ...{ what: row.what, lines: JSON.parse(row.lines_json) as string[], at: row.at },
      ...known({
        tag: row.tag ?? undefined,
        rigId: row.rigId ?? undefined,
        operator: row.operator ?? undefined,
      }),
    };
  }

  rememberRig({ rigId, path, usb }: RigPort): void {
    this.database
      .prepare('INSERT INTO rig_ports (rig_id, path, usb_json, at) VALUES (?, ?, ?, ?)')
      .run(rigId, path, canonicalJson(usb), now());
  }

  /** Each rig where it answered last, the newest first. */
  knownRigs(): RigPort[] {
    const rows = this.database
      .prepare(
        `SELECT rig_id AS rigId, path, usb_json FROM rig_ports
         WHERE id IN (SELECT max(id) FROM rig_ports GROUP BY rig_id) ORDER BY id DESC`,
      )
      .all() as { rigId: string; path: string; usb_json: string }[];
    return rows.map(({ rigId, path, usb_json }) => ({
      rigId,
      path,
      usb: JSON.parse(usb_json) as RigPort['usb'],
    }));
  }

  /** Written and linked into the hash chain as one. */
  #enter(entry: {
    tag: string;
    runId: string;
    word: Disposition | null;
    takesBack: number | null;
    operator: string | undefined;
    reason: string | undefined;
  }): number {
    return this.database
      .transaction(() => {
        const { zone, utcOffsetMin } = benchZone();
        const { lastInsertRowid } = this.database
          .prepare(
            `INSERT INTO dispositions (tag, run_id, word, takes_back, at, zone, utc_offset_min, operator, reason,
               tool_version) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
          )
          .run(
            ...[entry.tag, entry.runId, entry.word, entry.takesBack, now(), zone, utcOffsetMin],
            ...[entry.operator ?? null, entry.reason ?? null, programVersion()],
          );
        this.link({ dispositionId: Number(lastInsertRowid) });
        return Number(lastInsertRowid);
      })
      .immediate();
  }
}

const now = (): string => new Date().toISOString();

interface SittingRow {
  id: number;
  kind: SittingKind;
  title: string;
  startedAt: string;
  port: string | null;
  rigId: string | null;
  operator: string | null;
}

interface UnitRow {
  place: number;
  tag: string;
  unit_json: string;
  case_json: string | null;
}

interface DispositionRow {
  id: number;
  tag: string;
  runId: string;
  word: Disposition | null;
  takesBack: number | null;
  at: string;
  operator: string | null;
  reason: string | null;
}

interface AcknowledgementRow {
  what: Acknowledgement['what'];
  lines_json: string;
  at: string;
  tag: string | null;
  rigId: string | null;
  operator: string | null;
}

/** The last one of each run that was not taken back. @param entries oldest first */
function standingOf(entries: readonly DispositionEntry[]): Map<string, DispositionEntry> {
  const back = new Set(entries.flatMap(({ takesBack }) => takesBack ?? []));
  const standing = entries.filter(({ id, word }) => word !== undefined && !back.has(id));
  return new Map(standing.map((entry) => [entry.runId, entry]));
}
