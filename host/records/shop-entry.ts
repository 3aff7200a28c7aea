// What a shop keeps beside its runs: jobs, the units listed in them, each unit's story. Only ever added: a correction is
// a new entry that names the one it corrects.

import type { BenchZone } from './bench-zone.js';

/** Where a unit stands in its story. */
export type Stage = 'received' | 'repaired' | 'shipped';

export type ShopContent =
  | { kind: 'job'; title?: string }
  /** A unit in a job's list; from a file where `sourceSha256` tells of which content. */
  | { kind: 'listed'; profile?: string; note?: string; sourceSha256?: string }
  | { kind: Stage; text?: string }
  | { kind: 'note'; text: string }
  | { kind: 'part'; part: string; number?: string }
  /** The picture itself is a file named by its hash. */
  | { kind: 'photo'; sha256: string; extension: string; bytes: number; text?: string }
  | { kind: 'ambient'; temperatureC: number }
  /** Takes back the entry that it corrects. */
  | { kind: 'withdrawn'; text: string }
  | {
      kind: 'samples-removed';
      samples: number;
      /** Of the capture as it stood in the store, and of the file that it was read back from. */
      captureSha256: string;
      exportFile: string;
      exportSha256: string;
    }
  | { kind: 'signing-key'; keyId: string; publicKeyPem: string }
  | LearnedLimits;

/** Limits that known good units taught, written to a file: which one, and what it rests on. */
export interface LearnedLimits {
  kind: 'learned-limits';
  /** Where it was written on that bench. */
  path: string;
  /** Of its bytes, hexadecimal. */
  sha256: string;
  /** Id of the units' profile; absent where one current alone taught, without a model. */
  profile?: string;
  /** What such units are, in words. */
  title?: string;
  units: number;
  starts: number;
  /** This part of good units, 0 to 1, lies within all limits together, with this confidence, 0 to 1. */
  coverage: number;
  confidence: number;
  /** Recorded runs by the hash of their record, captures by that of the file. */
  runs: { unit: string; run: string; sha256: string }[];
}

export interface NewShopEntry {
  /** Of the unit that it is about, of the job, of the run: whichever apply. */
  tag?: string;
  job?: string;
  runId?: string;
  /** Id of the entry that this one stands in place of. */
  corrects?: number;
  operator?: string;
  content: ShopContent;
}

export interface ShopEntry extends NewShopEntry, BenchZone {
  id: number;
  /** Wall clock, ISO 8601. */
  at: string;
  toolVersion: string;
}

/** An entry as it stands: where it was corrected, with its first day and its newest words. */
export interface StandingEntry extends ShopEntry {
  /** When it was corrected last; absent where it never was. */
  correctedAt?: string;
}

/** What stands, in the order of the first entries; withdrawn ones are left out. @param entries oldest first */
export function standingEntries(entries: readonly ShopEntry[]): StandingEntry[] {
  const standing = new Map<number, StandingEntry>();
  /** Of each entry, the first one of its line of corrections. */
  const first = new Map<number, number>();
  for (const entry of entries) {
    const of = entry.corrects === undefined ? entry.id : (first.get(entry.corrects) ?? entry.corrects);
    first.set(entry.id, of);
    const before = standing.get(of);
    if (entry.content.kind === 'withdrawn') standing.delete(of);
    else if (entry.corrects === undefined) standing.set(of, entry);
    else if (before) standing.set(of, { ...entry, at: before.at, correctedAt: entry.at });
  }
  return [...standing.values()];
}
