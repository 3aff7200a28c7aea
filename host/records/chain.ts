// The hash chain over closed runs, what was added to them later, decisions, calibrations and known-load checks of rigs,
// and what the shop keeps: each record's SHA-256 takes in the one before, so an edit, a removal or an exchange shows.
// The last hash, noted elsewhere, also shows records cut off at the end; the shop's signatures show a chain that was
// computed anew.

import type { Database } from 'better-sqlite3';
import { known } from '../fields/index.js';
import {
  type About,
  type ChainFault,
  COLUMN_OF,
  hashOf,
  type Link,
  type Linked,
  linkedOf,
  toldOf,
} from './chain-link.js';
import { SignatureCheck, type SignaturesFound, signaturesIn } from './chain-signatures.js';
import { ChainWalk, type ExpectedLink, GENESIS } from './chain-walk.js';
import { type PublicKey, type Signer, signedBytes } from './signing.js';
import { missing } from './unchained.js';

export interface Verification {
  /** Closed runs in the chain. */
  runs: number;
  /** Entries that were added to them later. */
  entries: number;
  /** Calibrations and known-load checks of rigs. */
  notes: number;
  /** Decisions about units. */
  dispositions: number;
  /** What the shop keeps: jobs, units, their story. */
  shopEntries: number;
  /** Hash of the newest record; undefined while there is none. */
  lastHash?: string;
  /** Empty when every record is as it was when it was closed. */
  faults: ChainFault[];
  /** Of the anchor that was asked for; absent where no record has it. */
  expected?: ExpectedLink;
  signatures: SignaturesFound;
  /** Runs that tell an earlier time than the run before them in the chain: the clock of the bench was set back. */
  clockSetBack: Pick<About, 'runId'>[];
}

export interface VerifyAsked {
  /** The beginning of a hash that should be in the chain. */
  expect?: string | undefined;
  /** Of the shop, known from elsewhere than the store. */
  key?: PublicKey | undefined;
}

/** Appends what has just been written; inside the transaction that writes it. */
export function appendToChain(database: Database, linked: Linked, signer?: Signer): void {
  const last = database.prepare('SELECT * FROM chain ORDER BY place DESC LIMIT 1').get() as Link | undefined;
  const previous = last?.hash ?? GENESIS;
  const place = (last?.place ?? 0) + 1;
  const hash = hashOf(database, linked, previous) ?? '';
  const names = Object.keys(linked) as (keyof Linked)[];
  // Columns of later versions are not there yet while an older store is brought up.
  const columns = ['place', ...names.map((name) => COLUMN_OF[name]), 'previous_hash', 'hash'];
  database
    .prepare(`INSERT INTO chain (${columns.join(', ')}) VALUES (${columns.map(() => '?').join(', ')})`)
    .run(place, ...names.map((name) => linked[name]), previous, hash);
  if (signer === undefined) return;
  const signature = signer.sign(signedBytes(place, hash));
  database
    .prepare('INSERT INTO signatures (place, key_id, signature) VALUES (?, ?, ?)')
    .run(place, signer.keyId, signature);
}

/** What stood in a store before such things were chained joins the chain as it is found. */
export function chainNotesOfOld(database: Database): void {
  const notes = database
    .prepare(
      `SELECT id AS calibrationId, NULL AS shiftCheckId, at FROM calibrations
       UNION ALL SELECT NULL, id, at FROM shift_checks ORDER BY at`,
    )
    .all() as { calibrationId: number | null; shiftCheckId: number | null }[];
  for (const { calibrationId, shiftCheckId } of notes)
    appendToChain(database, {
      ...(calibrationId === null ? {} : { calibrationId }),
      ...(shiftCheckId === null ? {} : { shiftCheckId }),
    });
}

/** The same for decisions. */
export function chainDispositionsOfOld(database: Database): void {
  const ids = database.prepare('SELECT id FROM dispositions ORDER BY id').pluck().all() as number[];
  for (const dispositionId of ids) appendToChain(database, { dispositionId });
}

/** Computes every hash again from what the store holds now, and holds each signature against it. */
export function verifyChain(database: Database, { expect, key }: VerifyAsked = {}): Verification {
  const walk = new ChainWalk(expect);
  const signatures = new SignatureCheck(signaturesIn(database), key);
  const links = database.prepare('SELECT * FROM chain ORDER BY place').all() as Link[];
  for (const link of links) {
    const linked = linkedOf(link);
    const told = toldOf(database, linked);
    const computed = hashOf(database, linked, link.previous_hash);
    const { place, previous_hash: previousHash, hash } = link;
    walk.take({ place, previousHash, hash, computed, ...told });
    signatures.take(link, told.of);
  }
  const count = (is: (link: Link) => boolean): number => links.filter(is).length;
  return {
    runs: count(({ run_id, entry_id }) => run_id !== null && entry_id === null),
    entries: count(({ entry_id }) => entry_id !== null),
    notes: count((link) => link.calibration_id !== null || link.shift_check_id !== null),
    dispositions: count(({ disposition_id }) => disposition_id !== null),
    shopEntries: count(({ shop_entry_id }) => shop_entry_id !== null),
    ...known({ lastHash: walk.lastHash, expected: walk.expected }),
    faults: [...walk.faults, ...missing(database)],
    signatures: signatures.found(),
    clockSetBack: clockSetBack(database),
  };
}

/**
 * The chain goes by the order in which runs were closed, whatever the clock told; runs that were
 * broken off may be closed by the next program, long after they ended.
 */
function clockSetBack(database: Database): Pick<About, 'runId'>[] {
  return database
    .prepare(
      `SELECT id AS runId FROM (SELECT runs.id, ended_at, lag(ended_at) OVER (ORDER BY chain.place) AS before, chain.place FROM chain
         JOIN runs ON runs.id = chain.run_id WHERE entry_id IS NULL AND status = 'finished')
       WHERE ended_at < before ORDER BY place`,
    )
    .all() as Pick<About, 'runId'>[];
}
