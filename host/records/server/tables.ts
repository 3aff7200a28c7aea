// The tables on the shop's server, as the query builder knows them. All of them lie in a schema of their own.

import type { ColumnType, Generated } from 'kysely';

export const SCHEMA = 'throwbench';

export interface BenchesTable {
  /** Hash of the first entry of its chain. */
  id: string;
  /** Of the computer. */
  name: string;
  tool_version: string;
  /** Entries that its own store had when it was last heard. */
  known_places: number;
  /** Entries that have been here; fewer rows than that were taken out. */
  sent_places: number;
  first_seen: Generated<Date>;
  last_seen: ColumnType<Date, Date | undefined, Date>;
}

/** What an entry is found by; all of it stands in `canonical` too. */
export interface EntryColumns {
  /** The one key of the canonical text: run, entry, calibration, … */
  kind: string;
  /** What kind of entry, what was decided. */
  word: string | null;
  /** Wall clock of the bench, ISO 8601, UTC. */
  at: string | null;
  run_id: string | null;
  tag: string | null;
  job: string | null;
  profile_id: string | null;
  verdict: string | null;
  operator: string | null;
  rig_id: string | null;
}

export interface EntriesTable extends EntryColumns {
  bench: string;
  /** In the chain of its bench, from 1. */
  place: number;
  previous_hash: string;
  hash: string;
  /** What is hashed behind the hash before it. */
  canonical: string;
}

export interface CapturesTable {
  bench: string;
  /** Of the run's entry. */
  place: number;
  run_id: string;
  samples: number;
  blob: Uint8Array;
}

export interface RawLinesTable {
  bench: string;
  place: number;
  blob: Uint8Array;
}

export interface SignaturesTable {
  bench: string;
  place: number;
  key_id: string;
  signature: Uint8Array;
}

export interface ServerTables {
  versions: { number: number; made_at: Generated<Date> };
  benches: BenchesTable;
  entries: EntriesTable;
  captures: CapturesTable;
  raw_lines: RawLinesTable;
  signatures: SignaturesTable;
}
