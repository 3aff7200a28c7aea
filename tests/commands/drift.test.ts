// `throwbench learn --drift`: runs of a known good unit morning by morning, made by hand so that what moves is known.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { command } from '../../host/commands/verbs/learn.js';
import {
  keyOf,
  QUANTITIES,
  type QuantityName,
  REST,
  type RunStretch,
  runStretch,
} from '../../host/measure/index.js';
import { loadUnit } from '../../host/profile/index.js';
import { openStore } from '../../host/records/index.js';
import { judgement, RIG } from '../records/example-run.js';
import { call } from './call.js';

const PROFILE = 'window-lift-alone';
const before = process.env.THROWBENCH_LOGS;
const folder = mkdtempSync(join(tmpdir(), 'throwbench-drift-'));
const ids: Record<string, string[]> = {};
const drift = (tag: string, ...args: string[]) =>
  call(command, ['--profile', PROFILE, '--drift', tag, ...args], folder);

const FORWARD = runStretch('full', 'forward');
const read = (what: QuantityName, of: RunStretch, value: number) =>
  [
    keyOf(what, of),
    {
      ...{ value, unit: QUANTITIES[what].unit, standardUncertainty: 0.005 * value },
      ...{ expandedUncertainty: 0.01 * value, degreesOfFreedom: Number.POSITIVE_INFINITY },
    },
  ] as const;

beforeAll(() => {
  process.env.THROWBENCH_LOGS = folder;
  const unit = loadUnit(PROFILE);
  const store = openStore();
  const mornings = (tag: string, count: number, currentA: (n: number) => number, rigId = RIG.rigId): void => {
    for (let n = 0; n < count; n++) {
      const startedAt = new Date(Date.UTC(2024, 5, 1 + n, 7)).toISOString();
      const id = store.beginRun({ tag, unit, rig: { ...RIG, rigId }, startedAt });
      // The supply differs from day to day, and the start with it: that is no drift.
      const supplyV = 12.6 + 0.1 * (n % 4);
      const measured = Object.fromEntries([
        read('supplyVoltageV', REST, supplyV),
        read('supplyVoltageV', FORWARD, supplyV),
        read('inrushPeakA', FORWARD, 14 * (supplyV / 12.6) * (1 + 0.002 * ((n * 7) % 5))),
        read('runningCurrentA', FORWARD, currentA(n)),
      ]);
      store.finishRun(id, { judgement: { ...judgement(), measured } });
      ids[tag] = [...(ids[tag] ?? []), id];
    }
  };
  const still = (n: number): number => 3.4 * (1 + 0.004 * (((n * 5) % 7) / 3 - 1));
  mornings('V-0100', 16, still);
  // Brushes wear from the eleventh morning on.
  mornings('V-0101', 18, (n) => still(n) * (1 + 0.003 * Math.max(0, n - 10)));
  mornings('V-0102', 16, (n) => still(n) * (n === 13 ? 1.1 : 1));
  mornings('V-0103', 6, still);
  mornings('V-0104', 2, still, 'bench-2');
  store.close();
});
afterAll(() => {
  if (before === undefined) delete process.env.THROWBENCH_LOGS;
  else process.env.THROWBENCH_LOGS = before;
  rmSync(folder, { recursive: true, force: true });
});

describe('throwbench learn --drift', () => {
  it('says that nothing has moved where only the supply differs', async () => {
    const { code, stdout } = await drift('V-0100');
    expect(code, stdout).toBe(0);
    expect(stdout).toMatch(/V-0100: 16 runs, 2024-06-01 to 2024-06-16; the first 10 tell what it was like/);
    expect(stdout).toMatch(/forward, inrush/);
    expect(stdout).toMatch(/Nothing has moved\./);
  });

  it('says since when a reading drifts, and which runs stand behind it', async () => {
    const { code, stdout } = await drift('V-0101');
    expect(code, stdout).toBe(1);
    const told = /forward, running current: has been drifting up since about (\S+) \(shown by (.*)\)/.exec(
      stdout,
    );
    const since = ids['V-0101']?.indexOf(told?.[1] ?? '') ?? -1;
    expect(since, stdout).toBeGreaterThanOrEqual(10);
    expect(since).toBeLessThanOrEqual(14);
    expect(told?.[2]).toContain(ids['V-0101']?.at(-1));
    expect(stdout).toMatch(/check the rig against its known load first/);
    expect(stdout).not.toMatch(/inrush: /);
  });

  it('names the one run that lies off, and the jump to it', async () => {
    const { code, stdout } = await drift('V-0102');
    expect(code).toBe(1);
    const off = ids['V-0102']?.[13] ?? 'none';
    expect(stdout).toContain(`forward, running current: single runs lie too far up, since ${off} (${off}).`);
    expect(stdout).toContain(`jumped up from one run to the next, first at ${off}`);
  });

  it('says how many runs are missing, and takes fewer when told', async () => {
    const few = await drift('V-0103');
    expect(few.code).toBe(3);
    expect(few.stdout).toMatch(/V-0103 has 6 runs: 5 more are missing, 10 to tell what it was like/);
    const told = await drift('V-0103', '--base', '5');
    expect(told.code, told.stdout).toBe(0);
    expect(told.stdout).toMatch(/5 runs tell the spread poorly/);
  });

  it('refuses in one line a tag without runs, and what does not go with it', async () => {
    await expect(drift('V-0999')).rejects.toThrow(
      /V-0999: no finished run of it by window-lift-alone is recorded/,
    );
    await expect(drift('V-0100', '--captures', 'all')).rejects.toThrow(
      /--drift goes with --profile and --base alone/,
    );
    const alone = call(command, ['--profile', PROFILE, '--captures', 'all', '--base', '6'], folder);
    await expect(alone).rejects.toThrow(/--base goes with --drift/);
  });
});
