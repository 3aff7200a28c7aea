// The chain of this bench's own store as it is sent: read only, entry by entry, each held against its hash first.

import Sqlite, { type Database } from 'better-sqlite3';
import { canonicalJson } from '../canonical-json.js';
import { contentOf, type Link, linkedOf, sha256, toldOf } from '../chain-link.js';
import { GENESIS } from '../chain-walk.js';
import { RecordError } from '../record-error.js';
import { entryColumns } from './entry-columns.js';
import type { EntryColumns } from './tables.js';

export interface LocalEntry {
  place: number;
  previousHash: string;
  hash: string;
  canonical: string;
  columns: EntryColumns;
  /** Of a run; absent where nothing was sampled, or where the samples were taken out. */
  capture?: { samples: number; blob: Uint8Array };
  rawLines?: Uint8Array;
  signature?: { key_id: string; signature: Uint8Array };
}

/** About what it takes on its way. */
export const bytesOf = ({ canonical, capture, rawLines }: LocalEntry): number =>
  canonical.length + (capture?.blob.length ?? 0) + (rawLines?.length ?? 0);

export class LocalChain {
  readonly #database: Database;

  /** @param file of a store that is there and of the newest version */
  constructor(file: string) {
    this.#database = new Sqlite(file, { readonly: true, fileMustExist: true });
  }

  close(): void {
    this.#database.close();
  }

  /** Hash of the first entry, by which this bench is known on the server; undefined while there is none. */
  get bench(): string | undefined {
    return this.hashAt(1);
  }

  get places(): number {
    return this.#database.prepare('SELECT coalesce(max(place), 0) FROM chain').pluck().get() as number;
  }

  hashAt(place: number): string | undefined {
    return this.#database.prepare('SELECT hash FROM chain WHERE place = ?').pluck().get(place) as
      | string
      | undefined;
  }

  /** How many of the entries behind that place there are, and how many of them are runs. */
  behind(place: number): { entries: number; runs: number } {
    return this.#database
      .prepare(
        `SELECT count(*) AS entries, count(CASE WHEN run_id IS NOT NULL AND entry_id IS NULL THEN 1 END) AS runs
         FROM chain WHERE place > ?`,
      )
      .get(place) as { entries: number; runs: number };
  }

  /** What stands at a place, for people: `entry 12, run 2026-11-30-0003`. */
  told(place: number): string {
    const link = this.#database.prepare('SELECT * FROM chain WHERE place = ?').get(place) as Link | undefined;
    if (link === undefined) return `entry ${place}`;
    const linked = linkedOf(link);
    const { of, what } = toldOf(this.#database, linked);
    if (of.runId !== undefined) return `entry ${place}, run ${of.runId}`;
    return `entry ${place}, ${of.tag === undefined ? what : `unit ${of.tag}`}`;
  }

  /**
   * The entries behind that place, at most `most` and so many bytes, but one at the least.
   * @throws RecordError chain-broken where the next one does not hold: nothing changed is sent on
   */
  next(place: number, most: number, mostBytes: number): LocalEntry[] {
    // One moment: samples may be taken out meanwhile.
    return this.#database.transaction(() => {
      const found: LocalEntry[] = [];
      let bytes = 0;
      let previous = place === 0 ? GENESIS : this.hashAt(place);
      const links = this.#database
        .prepare('SELECT * FROM chain WHERE place > ? ORDER BY place LIMIT ?')
        .all(place, most) as Link[];
      for (const link of links) {
        const entry = this.#entry(link);
        const holds = entry && link.place === place + found.length + 1 && entry.previousHash === previous;
        if (!holds) {
          if (found.length > 0) break;
          throw new RecordError(
            'chain-broken',
            `${this.told(link.place)}: does not hold in the store here, so neither it nor what came after it is sent`,
            'throwbench log verify tells what was changed',
          );
        }
        bytes += bytesOf(entry);
        if (found.length > 0 && bytes > mostBytes) break;
        found.push(entry);
        previous = entry.hash;
      }
      return found;
    })();
  }

  #entry(link: Link): LocalEntry | undefined {
    const linked = linkedOf(link);
    const content = contentOf(this.#database, linked);
    if (content === undefined) return undefined;
    const { place, previous_hash: previousHash, hash } = link;
    const canonical = canonicalJson(content);
    if (sha256(`${previousHash}\n${canonical}`) !== hash) return undefined;
    const columns = entryColumns(content);
    const entry: LocalEntry = { place, previousHash, hash, canonical, columns };
    const one = <T>(sql: string, of: unknown) => this.#database.prepare(sql).get(of) as T | undefined;
    const signature = one<LocalEntry['signature'] & {}>(
      'SELECT key_id, signature FROM signatures WHERE place = ?',
      place,
    );
    if (signature) entry.signature = signature;
    if (columns.kind !== 'run') return entry;
    const capture = one<LocalEntry['capture'] & {}>(
      'SELECT samples, blob FROM captures WHERE run_id = ?',
      linked.runId,
    );
    if (capture) entry.capture = capture;
    const rawLines = one<{ raw_lines: Uint8Array | null }>(
      'SELECT raw_lines FROM runs WHERE id = ?',
      linked.runId,
    )?.raw_lines;
    if (rawLines) entry.rawLines = rawLines;
    return entry;
  }
}
