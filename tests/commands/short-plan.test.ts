// The short plan: no longer than it says, in place of the usual plan alone, and with the verdict that the usual one gives.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { loadAsRun } from '../../host/commands/unit-as-run.js';
import { command } from '../../host/commands/verbs/run.js';
import { call } from './call.js';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-short-'));
  vi.stubEnv('THROWBENCH_LOGS', folder);
});
afterAll(() => {
  vi.unstubAllEnvs();
  rmSync(folder, { recursive: true, force: true });
});

const lengthS = ({ plan }: ReturnType<typeof loadAsRun>): number =>
  plan.steps.reduce((sum, { durationS }) => sum + durationS, 0);

describe('the short plan', () => {
  it('takes two seconds and a half at most, the limited feed first', () => {
    const unit = loadAsRun('roof-vent-stand-in', true);
    expect(lengthS(unit)).toBeLessThan(2.5);
    const firstFull = unit.plan.steps.findIndex(({ feed }) => feed === 'full');
    const before = unit.plan.steps.slice(0, firstFull).map(({ position, feed }) => `${position} ${feed}`);
    expect(before).toEqual(['rest limited', 'forward limited', 'rest limited', 'reverse limited']);
    expect(lengthS(loadAsRun('roof-vent-stand-in', false))).toBeGreaterThan(4);
  });

  it.each(['mini-changeover-alone', 'entry-step-by-hand'])(
    'leaves %s the plan that it has for a reason',
    (profile) => {
      expect(loadAsRun(profile, true).plan).toEqual(loadAsRun(profile, false).plan);
    },
  );

  it.each([
    ['roof-vent-stand-in', 'roof-vent-good', 0],
    ['seat-slide-relays', 'seat-slide-good', 0],
    ['window-lift-stand-in', 'worn-brushes', 1],
    ['entry-step-relays', 'coil-open', 1],
    ['entry-step-relays', 'corroded-ground', 3],
    ['roof-vent-stand-in', 'bound-gearbox', 3],
  ])(
    'tells of %s with %s what the usual one tells, exit code %i',
    async (profile, virtual, code) => {
      const args = ['--profile', profile, '--unit', 'V-0107', '--virtual', virtual, '--short', '--json'];
      const called = await call(command, args, folder);
      expect(called.code).toBe(code);
      const [unit] = called.stdout.split('\n').map((line) => (line ? JSON.parse(line) : undefined));
      // Causes are looked for only where it did not pass.
      expect(unit.findings.length > 0).toBe(code !== 0);
    },
    120_000,
  );
});
