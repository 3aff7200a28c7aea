// `log stats --against`: what the record's units come to within learned limits, by the engine of `learn --against`.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { command as learnCommand } from '../../host/commands/verbs/learn.js';
import { command as log } from '../../host/commands/verbs/log.js';
import { loadUnit } from '../../host/profile/index.js';
import { openStore } from '../../host/records/index.js';
import { startsOnBench } from '../learn/workshop.js';
import { judgement, RIG } from '../records/example-run.js';
import { call } from './call.js';

const PROFILE = 'window-lift-alone';
const before = process.env.THROWBENCH_LOGS;
const folder = mkdtempSync(join(tmpdir(), 'throwbench-stats-'));
const limits = join(folder, 'stats.yaml');
const ids: string[] = [];
const runs = (...places: number[]): string => places.map((place) => ids[place]).join(',');
const learn = (...args: string[]) => call(learnCommand, ['--profile', PROFILE, ...args], folder);
const stats = (...args: string[]) => call(log, ['stats', '--profile', PROFILE, ...args], folder);

beforeAll(async () => {
  process.env.THROWBENCH_LOGS = folder;
  const unit = loadUnit(PROFILE);
  const store = openStore();
  const record = (tag: string, seed: number, rigId = RIG.rigId): void => {
    const startedAt = new Date(2024, 5, ids.length + 1, 9).toISOString();
    const id = store.beginRun({ tag, unit, rig: { ...RIG, rigId }, startedAt });
    const [capture] = startsOnBench(unit, { seed });
    if (capture === undefined) throw new Error('no start was made');
    store.finishRun(id, { capture, judgement: judgement() });
    ids.push(id);
  };
  // The first unit ran twice; the fifth run is of another rig; the last one never ended.
  for (const [tag, seed] of [
    ['V-0101', 601],
    ['V-0102', 602],
    ['V-0103', 603],
    ['V-0101', 604],
  ] as const)
    record(tag, seed);
  record('V-0105', 605, 'bench-2');
  record('V-0106', 606);
  const broken = store.beginRun({
    tag: 'V-0108',
    unit,
    rig: RIG,
    startedAt: new Date(2024, 5, 9).toISOString(),
  });
  store.abortRun(broken, { reason: 'The line was lost.' });
  store.close();
  const { code, stdout } = await learn('--runs', runs(0, 1, 2), '--out', limits);
  expect(code, stdout).toBe(0);
}, 120_000);
afterAll(() => {
  if (before === undefined) delete process.env.THROWBENCH_LOGS;
  else process.env.THROWBENCH_LOGS = before;
  rmSync(folder, { recursive: true, force: true });
});

describe('log stats --against', () => {
  it('tells of the newest run of each unit what learn --against tells of the same runs', async () => {
    const { code, stdout } = await stats('--against', limits, '--json');
    const { notes, ...told } = JSON.parse(stdout) as { units: number; outside: string[]; notes: string[] };
    expect(told.units).toBe(4);
    expect(notes.join(' ')).toMatch(/Left out: run \S+, V-0105 was run on another rig than the others\./);
    expect(code).toBe(told.outside.length > 0 ? 1 : 0);
    const learned = await learn('--runs', runs(5, 3, 2, 1), '--against', limits, '--json');
    expect({ ...told, notes: [] }).toEqual(JSON.parse(learned.stdout));
  }, 60_000);

  it('keeps to the filters and says which runs count', async () => {
    const { stdout } = await stats('--against', limits, '--until', '2024-06-03');
    expect(stdout).toMatch(/^The newest judged run of each unit counts\.$/m);
    expect(stdout).toMatch(/^3 units, 3 starts, beside limits of 3 good units:$/m);
    expect(stdout).not.toMatch(/Left out/);
  }, 60_000);

  it.each([
    [['--against', 'nope.yaml'], /nope\.yaml: no such file/],
    [['--against', limits, '--unit', 'V-0999'], /no such judged runs/],
  ])(
    'refuses %j in one line',
    async (args, why) => {
      await expect(stats(...args)).rejects.toThrow(why);
    },
    60_000,
  );

  it('asks for the profile that the limits are of', async () => {
    await expect(call(log, ['stats', '--against', limits], folder)).rejects.toThrow(
      /--against goes with --profile P/,
    );
  });
});
