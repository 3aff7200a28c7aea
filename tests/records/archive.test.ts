// Copies of a store in use, the way back to one, and samples that leave the store only for an archive that was read back.

import { copyFileSync, existsSync, mkdirSync, mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { command as logCommand } from '../../host/commands/verbs/log.js';
import { openStore, type Store } from '../../host/records/index.js';
import { call } from '../commands/call.js';
import { begin, block, capture, judgement } from './example-run.js';

let folder: string;
const before = process.env.THROWBENCH_LOGS;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-archive-'));
  process.env.THROWBENCH_LOGS = join(folder, 'logs');
});
afterEach(() => {
  if (before === undefined) delete process.env.THROWBENCH_LOGS;
  else process.env.THROWBENCH_LOGS = before;
  rmSync(folder, { recursive: true, force: true });
});
function inStore<T>(ask: (store: Store) => T, dir?: string): T {
  const store = openStore(dir);
  try {
    return ask(store);
  } finally {
    store.close();
  }
}
const tested = (store: Store, startedAt: string): string => {
  const runId = store.beginRun(begin('V-0107', startedAt));
  store.finishRun(runId, { capture: capture(5000), judgement: judgement('fail'), endedAt: startedAt });
  return runId;
};
const log = (...args: string[]) => call(logCommand, args, folder);
function byHand(file: string, sql: string): void {
  const database = new Sqlite(file);
  database.pragma('foreign_keys = OFF');
  database.exec(sql);
  database.close();
}

describe('a backup', () => {
  it('is one moment of a store in which a run goes on, and opens in its place with every proof', async () => {
    const store = openStore();
    const first = tested(store, '2024-06-11T08:00:00.000Z');
    const going = store.beginRun(begin('V-0108'));
    store.appendSamples(going, [block(0, 100)]);
    const { stdout } = await log('backup', 'copy.sqlite');
    expect(stdout).toMatch(/^.*copy\.sqlite: 2 runs copied and read back\n/);
    store.appendSamples(going, [block(100, 100)]);
    store.finishRun(going, { capture: capture(200), judgement: judgement() });
    const hash = store.showRun(first).hash;
    expect(store.verify()).toMatchObject({ runs: 2, faults: [] });
    store.close();
    mkdirSync(join(folder, 'restored'));
    copyFileSync(join(folder, 'copy.sqlite'), join(folder, 'restored', 'throwbench.sqlite'));
    inStore(
      (restored) => {
        expect(restored.verify(hash)).toMatchObject({ runs: 1, faults: [], expected: { runId: first } });
        expect(restored.readCapture(first)?.timeS).toHaveLength(5000);
        expect(restored.showRun(going).status).toBe('running');
      },
      join(folder, 'restored'),
    );
    await expect(log('backup', 'copy.sqlite')).rejects.toThrow(
      'copy.sqlite: exists already; choose a new name',
    );
  });
});

describe('an archive', () => {
  it('takes over samples before a day; records, hashes and the proof stay, the removal is an entry', async () => {
    const ids = inStore((store) =>
      ['2024-06-11', '2024-06-12', '2024-07-01'].map((day) => tested(store, `${day}T10:00:00.000Z`)),
    );
    const store = (): string => join(folder, 'logs', 'throwbench.sqlite');
    const was = inStore((one) => ({ verified: one.verify(), run: one.showRun(ids[0]!) }));
    const sizeBefore = statSync(store()).size;
    const told = JSON.parse((await log('archive', 'old.sqlite', '--before', '2024-07-01', '--json')).stdout);
    expect(told).toMatchObject({ runs: 2, samples: 10_000, isShrunk: true });
    expect(statSync(store()).size).toBeLessThan(sizeBefore);
    inStore((one) => {
      expect(one.verify(was.verified.lastHash)).toMatchObject({
        runs: 3,
        shopEntries: 2,
        faults: [],
        expected: { later: 2 },
      });
      const { samples, samplesRemoved, ...rest } = one.showRun(ids[0]!);
      expect({ ...rest, samples: was.run.samples }).toEqual(was.run);
      expect([samples, samplesRemoved?.archive]).toEqual([0, 'old.sqlite']);
      expect(one.readCapture(ids[0]!)).toBeUndefined();
      expect(one.readCapture(ids[2]!)?.timeS).toHaveLength(5000);
    });
    expect((await log('show', ids[0]!)).stdout).toMatch(
      /samples +5000, taken out on .*; they lie in old\.sqlite\n/,
    );
    await expect(log('show', ids[0]!, '--csv', '-')).rejects.toThrow(
      /they were taken out and lie in old\.sqlite/,
    );
    await expect(log('archive', 'again.sqlite', '--before', '2024-07-01')).rejects.toThrow(
      /no run before that day has samples/,
    );
    expect(existsSync(join(folder, 'again.sqlite'))).toBe(false);
    // The archive has them, and every proof of that day.
    mkdirSync(join(folder, 'archived'));
    copyFileSync(join(folder, 'old.sqlite'), join(folder, 'archived', 'throwbench.sqlite'));
    inStore(
      (one) => {
        expect(one.verify(was.verified.lastHash)).toMatchObject({
          runs: 3,
          faults: [],
          expected: { later: 0 },
        });
        expect(one.readCapture(ids[0]!)?.timeS).toHaveLength(5000);
      },
      join(folder, 'archived'),
    );
  });

  it('that does not hold the same samples takes nothing out', () => {
    inStore((store) => {
      const ids = ['2024-06-11', '2024-06-12'].map((day) => tested(store, `${day}T10:00:00.000Z`));
      const path = join(folder, 'old.sqlite');
      store.backup(path);
      byHand(path, `UPDATE captures SET blob = zeroblob(length(blob)) WHERE run_id = '${ids[1]}'`);
      expect(() => store.removeSamples(ids, { path, name: 'old.sqlite', sha256: '' })).toThrow(
        /does not hold the samples of run 2024-06-12-0001/,
      );
      expect(store.readCapture(ids[0]!)?.timeS).toHaveLength(5000);
      expect(store.verify()).toMatchObject({ shopEntries: 0, faults: [] });
    });
  });

  it('is named by verify when samples are gone without its entry, or their hash was put in by hand', () => {
    const runId = inStore((store) => tested(store, '2024-06-11T10:00:00.000Z'));
    const file = join(folder, 'logs', 'throwbench.sqlite');
    byHand(
      file,
      `INSERT INTO removed_captures SELECT run_id, samples, 'x', 1 FROM captures; DELETE FROM captures;`,
    );
    expect(inStore((store) => store.verify().faults)).toEqual([
      { runId, sentence: 'its record was changed after it was closed' },
      { runId, sentence: 'its samples are gone, and no entry tells of their removal' },
    ]);
  });
});
