// What may go wrong at the server while a bench sends: no room on its disk, a clock that is wrong, a kill.

import { randomBytes } from 'node:crypto';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { command } from '../../../host/commands/verbs/store.js';
import { openStore, type Store } from '../../../host/records/index.js';
import {
  catchUpStore,
  clockAheadS,
  migrateServer,
  type ServerAddress,
  serverAddress,
  serverState,
  verifyServer,
  withServer,
} from '../../../host/records/server/index.js';
import { call } from '../../commands/call.js';
import { noSmallDisk, SmallDisk } from '../../small-disk.js';
import { begin, capture, judgement } from '../example-run.js';
import { isSkipped, OwnPostgres, skipNote } from './own-postgres.js';

/** Bytes that no packing makes fewer, as lines of the link. */
const LINES_B = 200e3;

describe.skipIf(isSkipped)(`the shop's server in trouble${skipNote}`, () => {
  let postgres: OwnPostgres;
  const folders: string[] = [];
  beforeAll(async () => {
    postgres = new OwnPostgres();
    await postgres.start();
  });
  afterAll(() => {
    postgres?.stop();
    for (const folder of folders) rmSync(folder, { recursive: true, force: true });
  });

  let store: Store;
  let folder: string;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'throwbench-troubles-'));
    folders.push(folder);
    store = openStore(folder);
    return () => store.close();
  });
  const record = (runs: number): void => {
    for (let i = 0; i < runs; i++) {
      const rawLines = [randomBytes(LINES_B / 2).toString('hex')];
      const runId = store.beginRun(begin());
      store.finishRun(runId, { capture: capture(200), judgement: judgement(), rawLines });
    }
  };
  async function setUp(url: string): Promise<ServerAddress> {
    const address = serverAddress(url)!;
    await withServer(address, (on) => migrateServer(on, address.name));
    return address;
  }
  const verified = (address: ServerAddress) =>
    withServer(address, (on) => verifyServer(on, { name: address.name }));
  const refusal = (address: ServerAddress) =>
    catchUpStore(store.file, address).then(
      () => undefined,
      (error: unknown) => error as { code: string; message: string; advice: string },
    );

  // PostgreSQL 15 manual, appendix A: 53100 is disk_full.
  it.skipIf(noSmallDisk)(
    `without room holds a beginning of the chain, says so, and has all of it once there is room${noSmallDisk ?? ''}`,
    async () => {
      const disk = new SmallDisk(40);
      try {
        const address = await setUp(await postgres.freshIn(disk.folder, 'small'));
        record(12);
        disk.fill(700e3);
        const told = await refusal(address);
        expect(told).toMatchObject({
          ...{ code: 'server-full', advice: 'free some space on its disk; the records stay here' },
          message: `the shop's server ${address.name} has no room left (53100)`,
        });
        const left = await verified(address);
        expect(left.flatMap(({ faults }) => faults)).toEqual([]);
        expect(left[0]?.entries ?? 0).toBeLessThan(12);
        expect(store.verify()).toMatchObject({ runs: 12, faults: [] });
        disk.empty();
        await catchUpStore(store.file, address);
        const { lastHash } = store.verify();
        expect(await verified(address)).toMatchObject([
          { entries: 12, runs: 12, toCome: 0, lastHash, faults: [] },
        ]);
        await postgres.ask('postgres', 'DROP DATABASE small WITH (FORCE)');
      } finally {
        disk.remove();
      }
    },
  );

  it('that fails a statement for want of room in mid-batch keeps nothing of that batch', async () => {
    const address = await setUp(await postgres.fresh('room'));
    record(2);
    await catchUpStore(store.file, address);
    await postgres.ask(
      'room',
      `CREATE FUNCTION throwbench.no_room() RETURNS trigger LANGUAGE plpgsql AS $$
         BEGIN RAISE EXCEPTION USING ERRCODE = '53100', MESSAGE = 'could not extend file'; END $$;
       CREATE TRIGGER no_room BEFORE INSERT ON throwbench.raw_lines EXECUTE FUNCTION throwbench.no_room()`,
    );
    record(3);
    expect(await refusal(address)).toMatchObject({ code: 'server-full' });
    expect(await verified(address)).toMatchObject([{ entries: 2, runs: 2, faults: [] }]);
    await postgres.ask('room', 'DROP TRIGGER no_room ON throwbench.raw_lines');
    expect(await catchUpStore(store.file, address)).toMatchObject({ sent: 3, places: 5 });
    expect(await verified(address)).toMatchObject([{ entries: 5, runs: 5, faults: [] }]);
  });

  it.each([
    ['ahead of', 5 * 86_400, '5 d'],
    ['behind', -20_000 * 86_400, '20000 d'],
    ['behind', -3 * 3600, '3 h'],
  ])(
    'whose clock stands %s the bench by %d s keeps every proof, and is told of',
    async (side, offS, words) => {
      const name = `clock_${Math.abs(offS)}`;
      const address = await setUp(await postgres.fresh(name));
      // Every session of this database asks a clock of its own before that of PostgreSQL.
      await postgres.ask(
        name,
        `CREATE SCHEMA wrong;
       CREATE FUNCTION wrong.now() RETURNS timestamptz LANGUAGE sql AS
         $$ SELECT pg_catalog.now() + interval '${offS} seconds' $$;
       ALTER TABLE throwbench.benches ALTER first_seen SET DEFAULT wrong.now(), ALTER last_seen SET DEFAULT wrong.now();
       ALTER DATABASE ${name} SET search_path TO wrong, pg_catalog, public`,
      );
      record(1);
      await catchUpStore(store.file, address);
      record(1);
      expect(await catchUpStore(store.file, address)).toMatchObject({ sent: 1, places: 2 });
      expect(await verified(address)).toMatchObject([{ entries: 2, toCome: 0, faults: [] }]);
      const aheadS = await withServer(address, clockAheadS);
      expect(Math.abs(aheadS - offS)).toBeLessThan(30);
      const [bench] = await withServer(address, (on) => serverState(on, address.name));
      const heardS = (Date.parse(bench!.lastSeen) - Date.now()) / 1000;
      expect(Math.abs(heardS - offS)).toBeLessThan(30);
      // What a bench tells of its own times is its own.
      const { startedAt } = store.showRun('last');
      const rows = await postgres.ask(name, 'SELECT at FROM throwbench.entries ORDER BY place DESC LIMIT 1');
      expect(rows).toEqual([{ at: startedAt }]);

      const before = { logs: process.env.THROWBENCH_LOGS, store: process.env.THROWBENCH_STORE };
      Object.assign(process.env, { THROWBENCH_LOGS: folder, THROWBENCH_STORE: address.url });
      try {
        const { stdout } = await call(command, [], folder);
        expect(stdout).toContain(`The server's clock stands ${words} ${side} this bench's: `);
      } finally {
        for (const [key, value] of [
          ['THROWBENCH_LOGS', before.logs],
          ['THROWBENCH_STORE', before.store],
        ] as const)
          if (value === undefined) delete process.env[key];
          else process.env[key] = value;
      }
    },
  );
});
