// `log benches` and statistics by bench: who has written into a store.

import { mkdtempSync, rmSync } from 'node:fs';
import { hostname, tmpdir } from 'node:os';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { command as logCommand } from '../../host/commands/verbs/log.js';
import { openStore } from '../../host/records/index.js';
import { HAND_METER } from '../../host/rig/index.js';
import { begin, judgement, RIG } from '../records/example-run.js';
import { call } from './call.js';

const before = process.env.THROWBENCH_LOGS;
const folder = mkdtempSync(join(tmpdir(), 'throwbench-benches-'));
const log = (...args: string[]) => call(logCommand, args, folder);
const ids: string[] = [];

beforeAll(() => {
  process.env.THROWBENCH_LOGS = join(folder, 'records');
  const store = openStore();
  const at = (day: number) => new Date(2024, 5, day, 9).toISOString();
  const record = (rig: typeof RIG, day: number, end: 'pass' | 'fail' | 'abort' | 'none'): void => {
    const runId = store.beginRun({ ...begin('V-0107', at(day)), rig });
    ids.push(runId);
    if (end === 'abort') store.abortRun(runId, { reason: 'The line was lost.' });
    else if (end !== 'none') store.finishRun(runId, { judgement: judgement(end) });
  };
  record(RIG, 4, 'pass');
  // Written later, run earlier: a clock that was set back.
  record(RIG, 2, 'abort');
  record({ ...RIG, rigId: 'bench-2' }, 3, 'pass');
  record(RIG, 5, 'fail');
  record({ ...RIG, rigId: 'bench-2' }, 6, 'none');
  record(HAND_METER, 7, 'fail');
  record({ ...RIG, rigId: 'bench-2' }, 8, 'fail');
  store.close();
  // The same rig, carried to another computer.
  const database = new Sqlite(join(folder, 'records', 'throwbench.sqlite'));
  database.prepare("UPDATE runs SET owner_host = 'back-room' WHERE id = ?").run(ids[6]);
  database.close();
});
afterAll(() => {
  if (before === undefined) delete process.env.THROWBENCH_LOGS;
  else process.env.THROWBENCH_LOGS = before;
  rmSync(folder, { recursive: true, force: true });
});

const here = hostname();

describe('log benches', () => {
  it('tells each rig at each computer with its runs, the first and the newest by the clock', async () => {
    const told = JSON.parse((await log('benches', '--json')).stdout) as Record<string, unknown>[];
    const row = (rigId: string, computer: string, runs: number, first: number, newest: number) =>
      expect.objectContaining({ rigId, computer, runs, firstRun: ids[first], newestRun: ids[newest] });
    expect(told).toHaveLength(4);
    expect(told).toContainEqual(row('bench-1', here, 3, 1, 3));
    expect(told).toContainEqual(row('bench-2', here, 2, 2, 4));
    expect(told).toContainEqual(row('bench-2', 'back-room', 1, 6, 6));
    expect(told).toContainEqual(row('hand-meter', here, 1, 5, 5));
    const { stdout } = await log('benches');
    expect(stdout).toMatch(/^rig +model +computer +runs +first run +newest run$/m);
    expect(stdout).toMatch(
      new RegExp(
        `^bench-1 +reference-rig +\\S+ +3 +${ids[1]} +2024-06-02 09:00:00 +${ids[3]} +2024-06-05 09`,
        'm',
      ),
    );
  });

  it('leaves the chain whole: the name of a computer is no part of what is hashed', async () => {
    const store = openStore();
    const { faults } = store.verify();
    store.close();
    expect(faults).toEqual([]);
  });

  it('says so where nothing was recorded, and makes no store', async () => {
    process.env.THROWBENCH_LOGS = join(folder, 'none');
    expect(await log('benches')).toMatchObject({
      code: 0,
      stdout: expect.stringMatching(/^no runs recorded in /),
    });
    expect((await log('benches', '--json')).stdout.trim()).toBe('[]');
    process.env.THROWBENCH_LOGS = join(folder, 'records');
  });
});

describe('statistics by bench', () => {
  it('count the judged runs of each rig, wherever it stood', async () => {
    const { byBench } = JSON.parse((await log('stats', '--json')).stdout) as { byBench: object };
    expect(byBench).toEqual({
      'bench-1': { runs: 2, pass: 1, fail: 1, cannotTell: 0 },
      'bench-2': { runs: 2, pass: 1, fail: 1, cannotTell: 0 },
      'hand-meter': { runs: 1, pass: 0, fail: 1, cannotTell: 0 },
    });
    expect((await log('stats', '--rig', 'bench-2')).stdout).toMatch(/^bench-2 +2 +1 +1 +0 +50 %$/m);
  });
});
