// Brings the server's copy of this bench's chain up to the store here: from where it ends, batch by batch, each in a
// transaction of its own. Broken off anywhere, the server holds a beginning of the chain; called again, it goes on there.

import { hostname } from 'node:os';
import { type InsertObject, sql, type Transaction } from 'kysely';
import { programVersion } from '../../program/index.js';
import { RecordError } from '../record-error.js';
import type { ServerDatabase } from './connect.js';
import { bytesOf, type LocalChain, type LocalEntry } from './local-chain.js';
import type { ServerTables } from './tables.js';
import { mustBeNewest } from './versions.js';

export interface CaughtUp {
  /** Undefined while the store here is empty. */
  bench?: string;
  /** Entries and runs that were sent now. */
  sent: number;
  runs: number;
  /** Entries that the server has of this bench. */
  places: number;
}

export interface CatchUpOptions {
  /** Of the server, as it may be shown. */
  name: string;
  /** Ends it between two batches. */
  signal?: AbortSignal;
  /** Hears how far the server has come: at the start, and after each batch. */
  onReached?: (place: number) => void;
}

/** Columns times rows stay below what one statement may hold (65,535). */
const MOST_ENTRIES = 500;
const MOST_BYTES = 4e6;
/** A batch is to take no longer than this, ms, so that one that is broken off costs little. */
const BATCH_MS = 500;
const FIRST_ENTRIES = 16;

/** @throws RecordError server-differs where the server has something else of this bench than the store here */
export async function catchUp(
  local: LocalChain,
  server: ServerDatabase,
  { name, signal, onReached }: CatchUpOptions,
): Promise<CaughtUp> {
  const { bench } = local;
  if (bench === undefined) return { sent: 0, runs: 0, places: 0 };
  await mustBeNewest(server, name);
  let place = await joined(local, server, bench, name);
  const told: CaughtUp = { bench, sent: 0, runs: 0, places: place };
  onReached?.(place);
  let most = FIRST_ENTRIES;
  while (signal?.aborted !== true) {
    const entries = local.next(place, most, MOST_BYTES);
    if (entries.length === 0) break;
    const began = performance.now();
    await send(local, server, bench, entries, name);
    const tookMs = performance.now() - began;
    if (tookMs > BATCH_MS) most = Math.max(1, Math.floor(most / 2));
    else if (
      entries.length === most &&
      entries.reduce((sum, entry) => sum + bytesOf(entry), 0) < MOST_BYTES / 2
    )
      most = Math.min(MOST_ENTRIES, most * 2);
    place += entries.length;
    told.sent += entries.length;
    told.runs += entries.filter(({ columns }) => columns.kind === 'run').length;
    told.places = place;
    onReached?.(place);
  }
  return told;
}

/** How far the server's copy goes, once it is seen to be a beginning of the chain here. */
async function joined(
  local: LocalChain,
  server: ServerDatabase,
  bench: string,
  name: string,
): Promise<number> {
  const last = await server
    .selectFrom('entries')
    .select(['place', 'hash'])
    .where('bench', '=', bench)
    .orderBy('place', 'desc')
    .limit(1)
    .executeTakeFirst();
  if (last === undefined) return 0;
  const own = local.hashAt(last.place);
  if (own === last.hash) return last.place;
  if (own === undefined && (await agrees(local, server, bench, local.places)))
    throw new RecordError(
      'server-differs',
      `the shop's server ${name} has ${last.place} entries of this bench, the store here ends at ${local.told(local.places)}`,
      'the store was set back to an older copy: bring the newer one back, or go on in an empty folder (THROWBENCH_LOGS); nothing was sent',
    );
  throw differs(local, name, await firstOther(local, server, bench, Math.min(last.place, local.places)));
}

/** A hash takes in all before it, so one comparison tells of all up to that place. */
async function agrees(
  local: LocalChain,
  server: ServerDatabase,
  bench: string,
  place: number,
): Promise<boolean> {
  const there = await server
    .selectFrom('entries')
    .select('hash')
    .where('bench', '=', bench)
    .where('place', '=', place)
    .executeTakeFirst();
  return there?.hash === local.hashAt(place);
}

/** The first place up to `last` at which both differ, by halving. */
async function firstOther(
  local: LocalChain,
  server: ServerDatabase,
  bench: string,
  last: number,
): Promise<number> {
  let [same, other] = [0, last];
  while (other - same > 1) {
    const middle = Math.floor((same + other) / 2);
    if (await agrees(local, server, bench, middle)) same = middle;
    else other = middle;
  }
  return other;
}

const differs = (local: LocalChain, name: string, place: number): RecordError =>
  new RecordError(
    'server-differs',
    `${local.told(place)}: the shop's server ${name} has another entry in its place`,
    'two benches work on copies of one store, or one of both was changed: throwbench log verify and throwbench store verify tell; nothing was sent, the records stay here',
  );

/** All of it or nothing. What another program has sent meanwhile is left as it is, once it is seen to be the same. */
async function send(
  local: LocalChain,
  server: ServerDatabase,
  bench: string,
  entries: readonly LocalEntry[],
  name: string,
): Promise<void> {
  const places = entries.map(({ place }) => place);
  const last = places.at(-1) ?? 0;
  await server.transaction().execute(async (within) => {
    const told = {
      ...{ name: hostname(), tool_version: programVersion() },
      ...{ known_places: local.places, sent_places: last },
    };
    // The row is held until the end, so that two programs of one bench go one after the other.
    await within
      .insertInto('benches')
      .values({ id: bench, ...told })
      .onConflict((on) =>
        on.column('id').doUpdateSet({
          name: told.name,
          tool_version: told.tool_version,
          known_places: sql<number>`greatest(benches.known_places, excluded.known_places)`,
          sent_places: sql<number>`greatest(benches.sent_places, excluded.sent_places)`,
          last_seen: sql<Date>`now()`,
        }),
      )
      .execute();
    await add(
      within,
      'entries',
      entries.map(({ place, previousHash, hash, canonical, columns }) => ({
        ...{ bench, place, previous_hash: previousHash, hash, canonical },
        ...columns,
      })),
    );
    const there = await within
      .selectFrom('entries')
      .select(['place', 'hash'])
      .where('bench', '=', bench)
      .where('place', 'in', places)
      .execute();
    const hashes = new Map(there.map(({ place, hash }) => [place, hash]));
    const other = entries.find(({ place, hash }) => hashes.get(place) !== hash);
    if (other !== undefined) throw differs(local, name, other.place);
    const of = ({ place }: LocalEntry) => ({ bench, place });
    await add(
      within,
      'captures',
      entries.flatMap((entry) =>
        entry.capture ? [{ ...of(entry), run_id: entry.columns.run_id ?? '', ...entry.capture }] : [],
      ),
    );
    await add(
      within,
      'raw_lines',
      entries.flatMap((entry) => (entry.rawLines ? [{ ...of(entry), blob: entry.rawLines }] : [])),
    );
    await add(
      within,
      'signatures',
      entries.flatMap((entry) => (entry.signature ? [{ ...of(entry), ...entry.signature }] : [])),
    );
  });
}

/** What is there already stays: another program of this bench has sent it. */
async function add<T extends 'entries' | 'captures' | 'raw_lines' | 'signatures'>(
  within: Transaction<ServerTables>,
  table: T,
  rows: readonly InsertObject<ServerTables, T>[],
): Promise<void> {
  if (rows.length === 0) return;
  await within
    .insertInto(table)
    .values(rows)
    .onConflict((on) => on.doNothing())
    .execute();
}
