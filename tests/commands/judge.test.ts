import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { writeCaptureCsv } from '../../host/capture/index.js';
import { nominalInput } from '../../host/circuit/index.js';
import { command as judgeCommand } from '../../host/commands/verbs/judge.js';
import { withFaults } from '../circuit/with-faults.js';
import { benchRun } from '../judge/bench.js';
import { plannedUnit } from '../profile/planned-unit.js';
import { call } from './call.js';

let folder: string;
const PROFILE = 'entry-step-relays';

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-judge-'));
  const unit = plannedUnit(PROFILE);
  const write = (name: string, faults: string[]): void => {
    const { capture } = benchRun(unit, withFaults(nominalInput(unit), ...faults), { seed: 8101 });
    writeFileSync(join(folder, name), writeCaptureCsv(capture));
  };
  write('good.csv', []);
  write('coil-open.csv', ['k2-coil-open']);
}, 60_000);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function run(...args: string[]): Promise<{ code: number; out: string; err: string }> {
  const { code, stdout, stderr } = await call(judgeCommand, args, folder);
  return { code, out: stdout, err: stderr };
}

describe('throwbench judge', () => {
  it('passes a good capture with exit 0 and gives the JSON that programs rely on (bench 8101)', async () => {
    const { code, out } = await run('good.csv', '--profile', PROFILE, '--json');
    expect(code).toBe(0);
    const json = JSON.parse(out) as {
      verdict: string;
      checks: Record<string, unknown>[];
      findings: unknown[];
      measured: Record<string, Record<string, unknown>>;
      model: Record<string, Record<string, unknown>>;
    };
    expect(json.verdict).toBe('pass');
    expect(json.findings).toEqual([]);
    // The same names and keys as in `measure --json`.
    expect(json.model.resistanceOhm).toEqual({
      value: expect.any(Number),
      unit: 'Ohm',
      expandedUncertainty: expect.any(Number),
    });
    for (const check of json.checks) {
      expect(check).toMatchObject({
        id: expect.stringMatching(/^[a-z0-9]+(-[a-z0-9]+)*$/),
        sentence: expect.any(String),
      });
      expect(['pass', 'conditional-pass', 'conditional-fail', 'fail', 'not-tested']).toContain(check.outcome);
      if (check.value !== undefined)
        expect(check).toMatchObject({ unit: expect.any(String), expandedUncertainty: expect.any(Number) });
    }
    expect(new Set(json.checks.map(({ id }) => id)).size).toBe(json.checks.length);
    for (const quantity of Object.values(json.measured)) {
      expect(Object.keys(quantity).sort()).toEqual(['expandedUncertainty', 'unit', 'value']);
    }
    expect(json.measured.forwardRunningCurrentA!.unit).toBe('A');
  });

  it('fails an open coil with exit 1, names it and the next probe in plain words (bench 8101)', async () => {
    const { code, out } = await run('coil-open.csv', '--profile', PROFILE);
    expect(code).toBe(1);
    expect(out).toMatch(/^FAIL {2}/);
    expect(out).toMatch(/K2/);
    expect(out).toMatch(/Next probe: /);
  });

  it('takes several files: a line each, the bad one beside the others, and the gravest exit status (bench 8101)', async () => {
    writeFileSync(join(folder, 'bad.csv'), 'time_s,lead_a_V\n0,high\n');
    const { code, out } = await run('good.csv', 'bad.csv', 'coil-open.csv', '--profile', PROFILE);
    expect(code).toBe(2);
    expect(out).toMatch(/^good\.csv +PASS {2}/m);
    expect(out).toMatch(/^coil-open\.csv +FAIL {2}.*K2/m);
    expect(out).toMatch(/^not read: .*bad\.csv:2: lead_a_V: 'high' is not a number/m);
    const two = await run('coil-open.csv', 'good.csv', '--profile', PROFILE, '--json');
    expect(two.code).toBe(1);
    const lines = two.out
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line) as { file: string; verdict: string });
    expect(lines.map(({ file, verdict }) => [file, verdict])).toEqual([
      ['coil-open.csv', 'fail'],
      ['good.csv', 'pass'],
    ]);
  });

  it.each([
    [['--profile', PROFILE], /needs a capture/],
    [['good.csv'], /--profile/],
    [['good.csv', '--profil', PROFILE], /unknown option --profil/],
    [['missing.csv', '--profile', PROFILE], /missing\.csv: no such file/],
    [['good.csv', '--profile', 'no-such-unit'], /no-such-unit/],
  ])('answers %j in one line', async (args, line) => {
    const error = await run(...args).then(
      () => undefined,
      (thrown: Error) => thrown,
    );
    expect(error?.message).toMatch(line);
    expect(error?.message).not.toContain('\n');
  });
});
