// What the server has, bench by bench.

import { sql } from 'kysely';
import type { ServerDatabase } from './connect.js';
import { mustBeNewest } from './versions.js';

export interface BenchState {
  /** Hash of the first entry of its chain. */
  bench: string;
  /** Of the computer. */
  name: string;
  entries: number;
  runs: number;
  /** Entries that the bench had and the server has not, as far as the server was told. */
  toCome: number;
  /** By the clock of the server, ISO 8601. */
  lastSeen: string;
}

/** @param name of the server, as it may be shown */
export async function serverState(server: ServerDatabase, name: string): Promise<BenchState[]> {
  await mustBeNewest(server, name);
  const rows = await server
    .selectFrom('benches')
    .leftJoin('entries', 'entries.bench', 'benches.id')
    .select((of) => [
      'benches.id',
      'benches.name',
      'benches.known_places',
      'benches.last_seen',
      of.fn.count<string>('entries.place').as('entries'),
      of.fn.count<string>('entries.place').filterWhere('entries.kind', '=', 'run').as('runs'),
    ])
    .groupBy('benches.id')
    .orderBy('benches.first_seen')
    .orderBy('benches.id')
    .execute();
  return rows.map(({ id: bench, name: computer, known_places, last_seen, ...counted }) => {
    const entries = Number(counted.entries);
    const toCome = Math.max(0, known_places - entries);
    const lastSeen = last_seen.toISOString();
    return { bench, name: computer, entries, runs: Number(counted.runs), toCome, lastSeen };
  });
}

/**
 * How far the server's clock, by which a bench was last heard, stands before this one's, s; below 0 behind it. Hashes and
 * what a bench tells of its own times rest on no clock of the server.
 */
export async function clockAheadS(server: ServerDatabase): Promise<number> {
  const askedAt = Date.now();
  const { rows } = await sql<{ now: Date }>`SELECT now() AS now`.execute(server);
  const here = (askedAt + Date.now()) / 2;
  return ((rows[0]?.now.getTime() ?? here) - here) / 1000;
}
