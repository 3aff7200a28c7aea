// `throwbench calibrate` on the virtual rig, whose drawn zero and gain errors it must take out, and its refusals.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { command as calibrateCommand } from '../../host/commands/verbs/calibrate.js';
import { call } from './call.js';

const BENCH = ['--virtual', 'entry-step-good', '--profile', 'entry-step-relays'];
const MOTOR = ['--channel', 'motor_current_A'];
let folder: string;
let before: string | undefined;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-calibrate-'));
  before = process.env.THROWBENCH_LOGS;
  process.env.THROWBENCH_LOGS = folder;
});
afterAll(() => {
  if (before === undefined) delete process.env.THROWBENCH_LOGS;
  else process.env.THROWBENCH_LOGS = before;
  rmSync(folder, { recursive: true, force: true });
});

async function run(...args: string[]): Promise<{ code: number; out: string }> {
  const { code, stdout } = await call(calibrateCommand, args, folder);
  return { code, out: stdout };
}

interface Noted {
  noted: { reading: number; readingUncertainty: number };
  correction: { zero: number; gain: number };
}
const note = async (...args: string[]): Promise<Noted> =>
  JSON.parse((await run(...args, '--json')).out) as Noted;

describe('throwbench calibrate', () => {
  it('takes zero and gain out of the motor current, so that the known load reads as known', async () => {
    const zero = await note(...BENCH, ...MOTOR, '--point', 'zero', '--seconds', '0.5');
    expect(zero.correction.zero).toBe(zero.noted.reading);
    // With everything off no current flows: what is read is the rig's own error, some of 0.03 A (profile).
    expect(Math.abs(zero.noted.reading)).toBeLessThan(0.12);
    const first = await note(...BENCH, ...MOTOR, '--point', 'load', '--reference', '4.5', '--seconds', '0.5');
    const { zero: z, gain } = first.correction;
    expect(gain * (first.noted.reading - z)).toBeCloseTo(4.5, 9);
    const good = await run('check', ...BENCH, ...MOTOR, '--reference', '4.5', '--start', '--seconds', '0.5');
    expect(good.code).toBe(0);
    expect(good.out).toMatch(
      /^GOOD {2}virtual: the motor current reads 4\.\d+ ± 0\.\d+ A, known 4\.500 ± 0\.045 A\n$/,
    );
    const bad = await run('check', ...BENCH, ...MOTOR, '--reference', '4.9', '--end', '--seconds', '0.5');
    expect(bad.code).toBe(1);
    expect(bad.out).toMatch(/^FAILED/);
    // Noted again, nothing overwritten: the history holds all of it.
    await note(...BENCH, ...MOTOR, '--point', 'zero', '--seconds', '0.5');
    const { out } = await run('list', '--json');
    const history = JSON.parse(out) as { calibrations: { point: string }[]; checks: { isGood: boolean }[] };
    expect(history.calibrations.map(({ point }) => point)).toEqual(['zero', 'load', 'zero']);
    expect(history.checks.map(({ isGood }) => isGood)).toEqual([true, false]);
    expect((await run('list')).out.trimEnd().split('\n')).toHaveLength(5);
  });

  it('refuses a load that is not there: nothing flows at rest', async () => {
    await expect(
      run(...BENCH, ...MOTOR, '--point', 'load', '--reference', '4.5', '--throw', 'rest', '--seconds', '0.2'),
    ).rejects.toThrow(/above its zero; is the load on/);
  });

  it('refuses a load far from what is read: an ohm-meter lead in the wrong place, a sign', async () => {
    await expect(
      run(...BENCH, ...MOTOR, '--point', 'load', '--reference=-4.5', '--seconds', '0.2'),
    ).rejects.toThrow(/too far off for a calibration; check meter, load and sign/);
  });

  it.each([
    ['no bench', [...MOTOR, '--point', 'zero'], /which bench\?/],
    [
      'no unit on the virtual bench',
      ['--virtual', 'entry-step-good', ...MOTOR, '--point', 'zero'],
      /--profile P is missing/,
    ],
    ['no channel', [...BENCH, '--point', 'zero'], /--channel C is missing/],
    [
      'an unknown channel',
      [...BENCH, '--channel', 'motor_current', '--point', 'zero'],
      /no channel "motor_current"/,
    ],
    ['no point', [...BENCH, ...MOTOR], /which point\?/],
    ['a load without a meter', [...BENCH, ...MOTOR, '--point', 'load'], /--reference is missing/],
    [
      'a load of nothing',
      [...BENCH, ...MOTOR, '--point', 'load', '--reference', '0'],
      /--reference 0 is no load/,
    ],
    [
      'a throw at the zero',
      [...BENCH, ...MOTOR, '--point', 'zero', '--throw', 'forward'],
      /--throw does not go with --point zero/,
    ],
    ['a check without its time', ['check', ...BENCH, ...MOTOR, '--reference', '4'], /when is this check\?/],
    ['an unknown word', ['chekc'], /unknown word "chekc"/],
  ])('refuses %s in one line, before any rig is opened', async (_words, args, message) => {
    await expect(run(...args)).rejects.toThrow(message);
  });
});
