// `throwbench learn --runs`: recorded runs of good units, and one line for every run that may not teach.

import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { command as judgeCommand } from '../../host/commands/verbs/judge.js';
import { command } from '../../host/commands/verbs/learn.js';
import { loadUnit, type ResolvedUnit } from '../../host/profile/index.js';
import { openStore, type ShiftCheck } from '../../host/records/index.js';
import { startsOnBench } from '../learn/workshop.js';
import { judgement, RIG } from '../records/example-run.js';
import { call } from './call.js';

const PROFILE = 'window-lift-alone';
const before = process.env.THROWBENCH_LOGS;
const folder = mkdtempSync(join(tmpdir(), 'throwbench-learn-runs-'));
const ids: Record<string, string> = {};
const runs = (...names: string[]): string => names.map((name) => ids[name]).join(',');
const learn = (...args: string[]) => call(command, ['--profile', PROFILE, ...args], folder);

beforeAll(() => {
  process.env.THROWBENCH_LOGS = folder;
  const unit = loadUnit(PROFILE);
  const store = openStore();
  let day = 1;
  const record = (name: string, more: { unit?: ResolvedUnit; rigId?: string; scale?: number } = {}): void => {
    const startedAt = new Date(2024, 5, day++, 9).toISOString();
    const rig = { ...RIG, rigId: more.rigId ?? RIG.rigId };
    const id = store.beginRun({ tag: name, unit: more.unit ?? unit, rig, startedAt });
    ids[name] = id;
    // A motor that does not start: friction beyond what it can turn.
    const motorScale: Record<string, number> = more.scale === undefined ? {} : { coulombNm: more.scale };
    const [capture] = startsOnBench(unit, { seed: 600 + day, motorScale });
    if (capture === undefined) throw new Error('no start was made');
    store.finishRun(id, { capture, judgement: judgement() });
  };
  for (const name of ['V-0101', 'V-0102', 'V-0103', 'V-0104']) record(name);
  record('V-0105', { rigId: 'bench-2' });
  record('V-0106', { unit: { ...unit, unit: { ...unit.unit, id: 'another' } } });
  record('V-0107', { scale: 100 });
  const startedAt = new Date(2024, 5, day++, 9).toISOString();
  ids.broken = store.beginRun({ tag: 'V-0108', unit, rig: RIG, startedAt });
  store.abortRun(ids.broken, { reason: 'The line was lost.' });
  store.close();
}, 120_000);
afterAll(() => {
  if (before === undefined) delete process.env.THROWBENCH_LOGS;
  else process.env.THROWBENCH_LOGS = before;
  rmSync(folder, { recursive: true, force: true });
});

describe('throwbench learn --runs', () => {
  it('learns from recorded runs, each by its hash, and judges another one by them', async () => {
    const { code, stdout } = await learn('--runs', runs('V-0101', 'V-0102', 'V-0103'), '--out', 'l.yaml');
    expect(code, stdout).toBe(0);
    expect(stdout).toMatch(/3 units: wide limits, which find only what is grossly off/);
    const store = openStore();
    const { hash } = store.showRun(ids['V-0102'] ?? '');
    store.close();
    expect(hash).toMatch(/^[0-9a-f]{64}$/);
    expect(readFileSync(join(folder, 'l.yaml'), 'utf8')).toContain(
      `- { unit: "V-0102", run: "${ids['V-0102']}", sha256: "${hash}" }`,
    );
    const args = ['--recorded', ids['V-0104'] ?? '', '--learned', join(folder, 'l.yaml'), '--json'];
    const told = JSON.parse((await call(judgeCommand, args, folder)).stdout) as {
      checks: { origin: string }[];
    };
    expect(told.checks.some(({ origin }) => origin === 'learned')).toBe(true);
  });

  it.each([
    ['of another rig', 'V-0105', /V-0105 was run on another rig than the others; name runs of one rig alone/],
    [
      'of another profile',
      'V-0106',
      /V-0106 was run as another \(motor-alone\); name runs of window-lift-alone/,
    ],
    ['that fails', 'V-0107', /V-0107 fails: .*; leave it out, a good unit passes/],
    ['that was broken off', 'broken', /V-0108 did not run to its end; leave it out/],
  ])(
    'refuses a run %s in one line, and writes nothing',
    async (_, name, line) => {
      const asked = ['--runs', runs('V-0101', 'V-0102', 'V-0103', name), '--out', 'refused.yaml'];
      await expect(learn(...asked)).rejects.toThrow(line);
      await expect(learn(...asked)).rejects.toThrow(new RegExp(`run ${ids[name]}: `));
      expect(existsSync(join(folder, 'refused.yaml'))).toBe(false);
    },
    120_000,
  );

  it('refuses a run that a known-load check throws doubt on', async () => {
    const store = openStore();
    store.addShiftCheck({
      ...{
        rigId: RIG.rigId,
        channel: 'motorCurrentA',
        moment: 'end',
        at: new Date(2024, 6, 1).toISOString(),
      },
      ...{ reading: 3, readingUncertainty: 0.1, reference: 2, referenceUncertainty: 0.01 },
      ...{ allowed: 0.2, isGood: false },
    } satisfies ShiftCheck);
    store.close();
    await expect(learn('--runs', runs('V-0101', 'V-0102', 'V-0103'))).rejects.toThrow(
      /V-0101 is in doubt: the known-load check of the motor current/,
    );
  });

  it('refuses a run named twice, and one that is not there', async () => {
    await expect(learn('--runs', runs('V-0101', 'V-0101'))).rejects.toThrow(
      /stands twice; name each run once/,
    );
    await expect(learn('--runs', '2020-01-01-0001')).rejects.toThrow(/no such run/);
  });
});
