// `judge --circuit`: which circuits a capture reads like, and judging it as another one.

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Capture, writeCaptureCsv } from '../../host/capture/index.js';
import { nominalInput } from '../../host/circuit/index.js';
import { circuitsLike, circuitsText } from '../../host/commands/circuits-like.js';
import { command as judgeCommand } from '../../host/commands/verbs/judge.js';
import { benchRun } from '../judge/bench.js';
import { plannedUnit } from '../profile/planned-unit.js';
import { call } from './call.js';

// The profile says grounded at rest; what was on the bench rests high.
const PROFILE = 'seat-slide-relays';
let folder: string;
let capture: Capture;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-circuits-'));
  const unit = plannedUnit(PROFILE, undefined, { circuit: 'relay-pair-rests-high' });
  ({ capture } = benchRun(unit, nominalInput(unit), { seed: 8102 }));
  writeFileSync(join(folder, 'c.csv'), writeCaptureCsv(capture));
}, 60_000);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function run(...args: string[]): Promise<{ code: number; out: string }> {
  const { code, stdout } = await call(judgeCommand, args, folder);
  return { code, out: stdout };
}

describe('throwbench judge --circuit', () => {
  it('ranks the circuits and asks whether the profile is right, which it is judged by (bench 8102)', () => {
    const circuits = circuitsLike(capture, plannedUnit(PROFILE));
    const out = circuitsText(circuits, plannedUnit(PROFILE));
    expect(out.split('\n')[1]).toMatch(/^ +\d+ % {2}relay-pair-rests-high$/);
    expect(out).toContain('a circuit that rests high, both leads at the feed');
    expect(out).toContain('Judged as relay-pair-ground-thrown; --circuit ID judges it as another.');
  });

  it('judges it as the circuit named, and passes', async () => {
    const { code } = await run('c.csv', '--profile', PROFILE, '--circuit', 'relay-pair-rests-high');
    expect(code).toBe(0);
  });

  it('tells a circuit that there is not', async () => {
    await expect(run('c.csv', '--profile', PROFILE, '--circuit', 'relay-pair-rest-high')).rejects.toThrow(
      'did you mean relay-pair-rests-high?',
    );
  });
});
