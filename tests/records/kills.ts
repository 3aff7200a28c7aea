// Kills a writing program outright at moments drawn from a seed, and holds what is left against what the program had told
// to be durable. For the few kills of the test suite and the many of `npm run kills`.

import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import Sqlite from 'better-sqlite3';
import { build } from 'esbuild';
import { openStore, STORE_FILE } from '../../host/records/index.js';
import {
  catchUpStore,
  type ServerAddress,
  verifyServer,
  withServer,
} from '../../host/records/server/index.js';

export interface Told {
  /** Names of what was told to be durable. */
  done: string[];
  /** What went on when the program was killed. */
  killedIn: 'start' | 'write' | 'send' | 'between';
  /** Name of what was being written. */
  open?: string;
  /** Entries that the server was told to have; 0 where nothing was sent. */
  reached: number;
}

/**
 * The program as one file in `into`, which starts in a tenth of what its sources take: a kill costs little else.
 * @returns its path
 */
export async function killedProgram(into: string): Promise<string> {
  const outfile = join(into, 'killed-program.mjs');
  const here = JSON.stringify(import.meta.url);
  await build({
    ...{ entryPoints: [PROGRAM], outfile, bundle: true, format: 'esm', platform: 'node', target: 'node20' },
    // Where the sources lie: profiles are looked for above, the part of the store that is no JavaScript beside.
    define: { 'import.meta.url': here },
    alias: { 'better-sqlite3': createRequire(import.meta.url).resolve('better-sqlite3') },
    external: ['*/better-sqlite3/lib/index.js', 'pg-native', 'pg-cloudflare', 'tsx'],
    banner: { js: `import { createRequire as of } from 'node:module'; const require = of(${here});` },
    logLevel: 'error',
  });
  return outfile;
}

const PROGRAM = fileURLToPath(new URL('killed-program.ts', import.meta.url));

/**
 * @param afterDone things that it has told to be durable before the time begins to run: a busy machine then kills no
 * program that has done nothing
 * @param afterMs from then to its end
 */
export async function killed(
  program: string,
  folder: string,
  {
    seed,
    afterDone = 0,
    afterMs,
    url = '',
  }: { seed: number; afterDone?: number; afterMs: number; url?: string },
): Promise<Told> {
  const args = [program, folder, String(seed), url];
  const child = spawn(process.execPath, args, { stdio: ['ignore', 'pipe', 'inherit'] });
  const ended = once(child, 'exit');
  const told: Told = { done: [], killedIn: 'start', reached: 0 };
  for await (const line of createInterface({ input: child.stdout })) {
    const [word, value = ''] = line.split(' ');
    if (word === (afterDone === 0 ? 'ready' : 'done') && told.done.length === Math.max(0, afterDone - 1))
      setTimeout(() => child.kill('SIGKILL'), afterMs);
    if (word === 'write') Object.assign(told, { killedIn: 'write', open: value });
    else if (word === 'done') {
      told.done.push(value);
      told.killedIn = 'between';
      delete told.open;
    } else if (word === 'send') told.killedIn = 'send';
    else if (word === 'sent') Object.assign(told, { killedIn: 'between', reached: Number(value) });
  }
  const [code, signal] = await ended;
  if (signal !== 'SIGKILL') throw new Error(`seed ${seed}: the program ended by itself (${code ?? signal})`);
  return told;
}

/** What of the told is not there, what is there more than once or in part, what is there and was never begun. */
export interface Harm {
  lost: string[];
  twice: string[];
  torn: string[];
  strange: string[];
  /** Sentences of the proofs that do not hold, at the bench and on the server. */
  faults: string[];
}

/** Entries of a list, which is written whole or not at all. */
const LIST = 12;

/** @param told of every kill on this store, the newest last */
export function harmAtBench(folder: string, told: readonly Told[]): Harm {
  const store = openStore(folder);
  const counts = new Map<string, number>();
  const faults = store.verify().faults.map(({ sentence }) => sentence);
  const runs = store.listRuns();
  for (const { operator = '' } of [...runs, ...store.listShopEntries()])
    counts.set(operator, (counts.get(operator) ?? 0) + 1);
  store.close();
  if (runs.some(({ status }) => status === 'running')) faults.push('a run is still open');
  const database = new Sqlite(join(folder, STORE_FILE), { readonly: true });
  const integrity = database.pragma('integrity_check', { simple: true });
  const unchained = database
    .prepare(
      `SELECT (SELECT count(*) FROM runs) + (SELECT count(*) FROM shop_entries) - (SELECT count(*) FROM chain)`,
    )
    .pluck()
    .get();
  database.close();
  if (integrity !== 'ok') faults.push(String(integrity));
  if (unchained !== 0) faults.push(`records without a link, or links without a record: ${unchained}`);
  const done = told.flatMap((one) => one.done);
  const begun = new Set([...done, ...told.flatMap(({ open }) => open ?? [])]);
  const found = [...counts];
  return {
    lost: done.filter((name) => !counts.has(name)),
    twice: found
      .filter(([, count]) => count > 1 && count !== LIST && count % LIST === 0)
      .map(([name]) => name),
    torn: found.filter(([, count]) => count !== 1 && count % LIST !== 0).map(([name]) => name),
    strange: found.flatMap(([name]) => (begun.has(name) ? [] : [name])),
    faults,
  };
}

/** As it was left, and after one more catch-up: then every entry is there once, with the hash that it has at the bench. */
export async function harmOnServer(
  folder: string,
  address: ServerAddress,
  reached: number,
): Promise<string[]> {
  const file = join(folder, STORE_FILE);
  const database = new Sqlite(file, { readonly: true });
  const links = database.prepare('SELECT place, hash FROM chain ORDER BY place').all() as Link[];
  database.close();
  const bench = links[0]?.hash;
  const left = await linksOn(address, bench);
  const faults = left.flatMap(({ place, hash }, i) =>
    place === i + 1 && links[i]?.hash === hash ? [] : [`left: entry ${place} is not that of the bench`],
  );
  if (left.length < reached) faults.push(`told ${reached} entries sent, ${left.length} are there`);
  await catchUpStore(file, address);
  const now = await linksOn(address, bench);
  if (JSON.stringify(now) !== JSON.stringify(links)) faults.push('caught up, the server has another chain');
  const verified = await withServer(address, (on) => verifyServer(on, { name: address.name }));
  const own = verified.filter((one) => one.bench === bench);
  if (bench !== undefined && own.length !== 1)
    faults.push(`the bench stands ${own.length} times on the server`);
  return [...faults, ...own.flatMap((one) => one.faults.map(({ sentence }) => `server: ${sentence}`))];
}

interface Link {
  place: number;
  hash: string;
}

const linksOn = async (address: ServerAddress, bench: string | undefined): Promise<Link[]> =>
  bench === undefined
    ? []
    : withServer(address, (on) =>
        on
          .selectFrom('entries')
          .select(['place', 'hash'])
          .where('bench', '=', bench)
          .orderBy('place')
          .execute(),
      );
