// Jobs, lists of units and the story of each unit in the store. Only ever added to, each entry linked into the chain.

import { known } from '../fields/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { programVersion } from '../program/index.js';
import { benchZone } from './bench-zone.js';
import type { Disposition } from './disposition.js';
import { exactJson, readExactJson } from './exact-json.js';
import type { LearnedEntry, LearnedFrom, SamplesRemoved } from './record.js';
import { RecordError } from './record-error.js';
import { type NewShopEntry, type ShopContent, type ShopEntry, standingEntries } from './shop-entry.js';
import { SittingStore } from './sitting-store.js';

/** A unit of a job as it stands listed. */
export interface ListedUnit {
  tag: string;
  profile?: string;
  note?: string;
}

export interface Job {
  job: string;
  title?: string;
  /** Wall clock of its first entry, ISO 8601. */
  openedAt: string;
  /** In the order in which they were listed. */
  units: ListedUnit[];
}

export interface KnownUnit {
  tag: string;
  job?: string;
  runs: number;
  newestRun?: string;
  /** What stands decided on its newest run. */
  disposition?: Disposition;
}

interface ShopRow {
  id: number;
  tag: string | null;
  job: string | null;
  runId: string | null;
  corrects: number | null;
  at: string;
  zone: string;
  utcOffsetMin: number;
  operator: string | null;
  content_json: string;
  toolVersion: string;
}

const COLUMNS = `id, tag, job, run_id AS runId, corrects, at, zone, utc_offset_min AS utcOffsetMin, operator,
  content_json, tool_version AS toolVersion`;

export class ShopStore extends SittingStore {
  /** Several entries as one: all of them, or none. */
  together<T>(write: () => T): T {
    return this.database.transaction(write).immediate();
  }

  /**
   * Durable when it returns; returns the entry's id.
   * @throws RecordError entry-unknown for an entry to correct that is not there, or was corrected already
   */
  addShopEntry({ tag, job, runId, corrects, operator, content }: NewShopEntry, at = new Date()): number {
    return this.together(() => {
      if (corrects !== undefined) this.#mustStand(corrects);
      if (tag !== undefined)
        this.database
          .prepare('INSERT INTO units (tag, first_seen_at) VALUES (?, ?) ON CONFLICT DO NOTHING')
          .run(tag, at.toISOString());
      const { zone, utcOffsetMin } = benchZone(at);
      const { lastInsertRowid } = this.database
        .prepare(
          `INSERT INTO shop_entries (kind, tag, job, run_id, corrects, at, zone, utc_offset_min, operator,
             content_json, tool_version) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
        )
        .run(
          ...[content.kind, tag ?? null, job ?? null, runId ?? null, corrects ?? null],
          ...[at.toISOString(), zone, utcOffsetMin, operator ?? null, exactJson(content), programVersion()],
        );
      const shopEntryId = Number(lastInsertRowid);
      this.link({ shopEntryId });
      return shopEntryId;
    });
  }

  /** Oldest first, corrected ones and corrections included; of one unit, job or run where it is named. */
  listShopEntries({ tag, job, runId }: Pick<NewShopEntry, 'tag' | 'job' | 'runId'> = {}): ShopEntry[] {
    const rows = this.database
      .prepare(
        `SELECT ${COLUMNS} FROM shop_entries WHERE (@tag IS NULL OR tag = @tag)
         AND (@job IS NULL OR job = @job) AND (@runId IS NULL OR run_id = @runId) ORDER BY id`,
      )
      .all({ tag: tag ?? null, job: job ?? null, runId: runId ?? null }) as ShopRow[];
    return rows.map(entryOf);
  }

  /** Jobs by the order in which they were opened, each with its units as they stand listed. */
  listJobs(): Job[] {
    const rows = this.database
      .prepare(`SELECT ${COLUMNS} FROM shop_entries WHERE job IS NOT NULL ORDER BY id`)
      .all() as ShopRow[];
    const jobs = new Map<string, Job>();
    for (const { job, tag, at, content } of standingEntries(rows.map(entryOf))) {
      if (job === undefined) continue;
      const of: Job = jobs.get(job) ?? { job, openedAt: at, units: [] };
      jobs.set(job, of);
      if (content.kind === 'job' && content.title !== undefined) of.title = content.title;
      if (content.kind !== 'listed' || tag === undefined) continue;
      const { profile, note } = content;
      const unit = { tag, ...known({ profile, note }) };
      const place = of.units.findIndex((one) => one.tag === tag);
      if (place < 0) of.units.push(unit);
      else of.units[place] = unit;
    }
    return [...jobs.values()];
  }

  /** Units by their tag, whatever is known of them. */
  listUnits(): KnownUnit[] {
    const rows = this.database
      .prepare(
        `SELECT tag, (SELECT count(*) FROM runs WHERE runs.tag = units.tag) AS runs,
           (SELECT id FROM runs WHERE runs.tag = units.tag ORDER BY started_at DESC, id DESC LIMIT 1) AS newestRun
         FROM units ORDER BY tag`,
      )
      .all() as { tag: string; runs: number; newestRun: string | null }[];
    const jobs = this.jobsByTag();
    const decisions = this.standingDispositions();
    return rows.map(({ tag, runs, newestRun }) => ({
      ...{ tag, runs },
      ...known({
        job: jobs.get(tag),
        newestRun: newestRun ?? undefined,
        disposition: newestRun === null ? undefined : decisions.get(newestRun)?.word,
      }),
    }));
  }

  isUnit(tag: string): boolean {
    return this.database.prepare('SELECT 1 FROM units WHERE tag = ?').get(tag) !== undefined;
  }

  /** The tag as it stands here, where it was written in another case or with other marks for the same letters. */
  tagAsKnown(tag: string): string {
    if (this.isUnit(tag)) return tag;
    const sought = likeness(tag);
    const rows = this.database.prepare('SELECT tag FROM units ORDER BY rowid').all() as { tag: string }[];
    return rows.find((row) => likeness(row.tag) === sought)?.tag ?? tag;
  }

  /** Every unit of every job as it stands listed, with the entry that lists it. */
  standingListings(): ShopEntry[] {
    const rows = this.database
      .prepare(
        `SELECT ${COLUMNS} FROM shop_entries WHERE kind = 'listed'
         AND id NOT IN (SELECT corrects FROM shop_entries WHERE corrects IS NOT NULL) ORDER BY id`,
      )
      .all() as ShopRow[];
    return rows.map(entryOf);
  }

  /** The job that each unit was listed in last. */
  jobsByTag(): Map<string, string> {
    const rows = this.database
      .prepare(
        `SELECT tag, job FROM shop_entries WHERE kind = 'listed' AND tag IS NOT NULL AND job IS NOT NULL
         AND id NOT IN (SELECT corrects FROM shop_entries WHERE corrects IS NOT NULL) ORDER BY id`,
      )
      .all() as { tag: string; job: string }[];
    return new Map(rows.map(({ tag, job }) => [tag, job]));
  }

  jobOf(tag: string): string | undefined {
    return this.#listing(tag)?.job;
  }

  /** The profile under which a unit was listed last. */
  listedProfile(tag: string): string | undefined {
    const content = this.#listing(tag)?.content;
    return content?.kind === 'listed' ? content.profile : undefined;
  }

  /** Which limits of known good units a unit was held to, and the entry that tells of their file. */
  learnedFrom({ learned, learnedFile: file }: ResolvedUnit): LearnedFrom | undefined {
    if (learned === undefined) return undefined;
    const { units } = learned;
    return { units, ...known({ file, entry: file && this.learnedEntry(file.sha256) }) };
  }

  /** The first that tells of a file with these bytes. */
  learnedEntry(sha256: string): LearnedEntry | undefined {
    const row = this.database
      .prepare(
        `SELECT chain.hash, at, operator FROM shop_entries JOIN chain ON chain.shop_entry_id = shop_entries.id
         WHERE kind = 'learned-limits' AND content_json ->> '$.sha256' = ? ORDER BY shop_entries.id LIMIT 1`,
      )
      .get(sha256) as { hash: string; at: string; operator: string | null } | undefined;
    return row && { hash: row.hash, at: row.at, ...known({ operator: row.operator ?? undefined }) };
  }

  /** Where the samples of a run went; undefined while the store has them, or where there were none. */
  samplesRemoved(runId: string): SamplesRemoved | undefined {
    const entry = this.listShopEntries({ runId }).findLast(
      ({ content }) => content.kind === 'samples-removed',
    );
    return entry?.content.kind === 'samples-removed'
      ? { at: entry.at, samples: entry.content.samples, archive: entry.content.exportFile }
      : undefined;
  }

  #listing(tag: string): ShopEntry | undefined {
    return standingEntries(this.listShopEntries({ tag })).findLast(
      ({ content }) => content.kind === 'listed',
    );
  }

  #mustStand(id: number): void {
    const row = this.database
      .prepare(
        'SELECT id, (SELECT id FROM shop_entries WHERE corrects = ?) AS later FROM shop_entries WHERE id = ?',
      )
      .get(id, id) as { later: number | null } | undefined;
    if (row === undefined)
      throw new RecordError(
        'entry-unknown',
        `there is no entry ${id}`,
        'the story of the unit tells the numbers',
      );
    if (row.later !== null)
      throw new RecordError(
        'entry-unknown',
        `entry ${id} was corrected by entry ${row.later} already`,
        `correct entry ${row.later}`,
      );
  }
}

function entryOf({ tag, job, runId, corrects, operator, content_json, ...row }: ShopRow): ShopEntry {
  return {
    ...row,
    ...known({
      tag: tag ?? undefined,
      job: job ?? undefined,
      runId: runId ?? undefined,
      corrects: corrects ?? undefined,
      operator: operator ?? undefined,
    }),
    content: readExactJson(content_json) as ShopContent,
  };
}

/** Alike in two tags that are read as one: in any case, blanks around them, an umlaut as one letter or as two (Unicode Standard Annex 15). */
const likeness = (tag: string): string => tag.trim().normalize('NFC').toLowerCase();
