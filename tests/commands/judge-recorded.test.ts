// `throwbench judge --recorded`: a stored run judged again by the rules of today, and the record left as it is.

import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { nominalInput } from '../../host/circuit/index.js';
import { command as judgeCommand } from '../../host/commands/verbs/judge.js';
import { command as logCommand } from '../../host/commands/verbs/log.js';
import { type Judgement, judge } from '../../host/judge/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { openStore } from '../../host/records/index.js';
import { withFaults } from '../circuit/with-faults.js';
import { benchRun } from '../judge/bench.js';
import { expectationOf } from '../judge/known-expectations.js';
import { plannedUnit } from '../profile/planned-unit.js';
import { begin, RIG } from '../records/example-run.js';
import { call } from './call.js';

const SEED = 8102;
const PROFILE = 'roof-vent-stand-in';
const before = process.env.THROWBENCH_LOGS;
let folder: string;
let unit: ResolvedUnit;
let today: Judgement;
const ids: Record<string, string> = {};

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-replay-'));
  process.env.THROWBENCH_LOGS = folder;
  const loaded = plannedUnit(PROFILE);
  unit = { ...loaded, unit: { ...loaded.unit, rules: { ...loaded.unit.rules, draws: 20 } } };
  const { capture, stop } = benchRun(unit, withFaults(nominalInput(unit), 'lead-a-resistance'), {
    seed: SEED,
  });
  today = judge({ unit, capture, expectation: expectationOf(unit), stop });
  const store = openStore();
  const record = (name: string, judgement: Judgement, stored: ResolvedUnit = unit): void => {
    const startedAt = new Date(2024, 5, 11, 9, Object.keys(ids).length).toISOString();
    ids[name] = store.beginRun({ tag: 'V-0107', unit: stored, rig: RIG, startedAt });
    store.finishRun(ids[name], { capture, judgement });
  };
  record('same', today);
  const [first, ...checks] = today.checks;
  // Of a day when no profile told what is judged.
  const { subject: _, ...unitOfThen } = unit.unit;
  record(
    'changed',
    {
      ...today,
      verdict: 'pass',
      findings: [],
      checks: [
        ...checks.map((check) => (check.outcome === 'fail' ? { ...check, outcome: 'pass' as const } : check)),
        { ...first!, id: 'asked-no-more' },
      ],
    },
    { ...unit, unit: unitOfThen as ResolvedUnit['unit'] },
  );
  const aborted = store.beginRun({ tag: 'V-0107', unit, rig: RIG, startedAt: '2024-06-11T08:00:00.000Z' });
  const half = capture.timeS.length >> 1;
  const cut = <T extends { slice(from: number, to: number): T }>(values: T): T => values.slice(0, half);
  store.abortRun(aborted, {
    reason: 'The rig was unplugged.',
    capture: {
      ...capture,
      timeS: cut(capture.timeS),
      position: capture.position.slice(0, half),
      ...(capture.feed ? { feed: capture.feed.slice(0, half) } : {}),
      channels: Object.fromEntries(
        Object.entries(capture.channels).map(([name, values]) => [name, cut(values)]),
      ),
    },
  });
  ids.aborted = aborted;
  ids.empty = store.beginRun({ ...begin('V-0104'), startedAt: '2024-06-11T07:00:00.000Z' });
  store.abortRun(ids.empty, { reason: 'No sample came.' });
  ids.open = store.beginRun({ ...begin('V-0105'), startedAt: '2024-06-11T07:30:00.000Z' });
  store.close();
}, 60_000);
afterAll(() => {
  if (before === undefined) delete process.env.THROWBENCH_LOGS;
  else process.env.THROWBENCH_LOGS = before;
  rmSync(folder, { recursive: true, force: true });
});

async function run(...args: string[]): Promise<{ code: number; out: string }> {
  const { code, stdout } = await call(judgeCommand, ['--recorded', ...args], folder);
  return { code, out: stdout };
}

describe(`throwbench judge --recorded (bench ${SEED})`, () => {
  it('gives the verdict of a run recorded by the same rules, and the motor as measure --json does', async () => {
    const { code, out } = await run(ids.same!, '--json');
    expect(code).toBe(1);
    const { verdict, sentence, changes, model } = JSON.parse(out);
    expect({ verdict, sentence }).toEqual({ verdict: 'fail', sentence: today.sentence });
    expect(changes.same).toBe(true);
    expect(changes.checks).toEqual([]);
    // The motor itself is as its profile says: the bad joint is in a lead of the harness.
    const nominal = nominalInput(unit).motor.resistanceOhm;
    expect(model.resistanceOhm.unit).toBe('Ohm');
    expect(Math.abs(model.resistanceOhm.value - nominal)).toBeLessThan(0.2 * nominal);
    expect(model.resistanceOhm.expandedUncertainty).toBeGreaterThan(0);
  });

  it('tells what would change of a record from before profiles told what is judged, and leaves it byte for byte', async () => {
    const file = join(folder, 'throwbench.sqlite');
    const look = () => {
      const store = openStore();
      const seen = [
        store.showRun(ids.changed!),
        store.readCapture(ids.changed!),
        store.verify(),
        store.listRuns().length,
      ];
      store.close();
      return seen;
    };
    const was = look();
    const bytes = readFileSync(file);
    const { code, out } = await run(ids.changed!, '--json');
    expect(look()).toEqual(was);
    expect(readFileSync(file).equals(bytes)).toBe(true);
    expect(code).toBe(1);
    const json = JSON.parse(out);
    expect(json.verdict).toBe('fail');
    expect(json.recorded).toMatchObject({
      runId: ids.changed,
      tag: 'V-0107',
      verdict: 'pass',
      status: 'finished',
    });
    expect(json.profile).toEqual({ id: PROFILE, from: 'record' });
    expect(json.changes.verdict).toEqual({ before: 'pass', after: 'fail' });
    expect(json.changes.same).toBe(false);
    const [first, ...others] = today.checks;
    const failed = others.filter(({ outcome }) => outcome === 'fail').map(({ id }) => id);
    const turned = (json.changes.checks as { id: string; before?: string; after?: string }[])
      .filter((check) => check.before === 'pass' && check.after === 'fail')
      .map(({ id }) => id);
    expect(turned).toEqual(failed);
    expect(json.changes.checks).toContainEqual(
      expect.objectContaining({ id: 'asked-no-more', before: first!.outcome }),
    );
    expect(json.changes.checks).toContainEqual(
      expect.objectContaining({ id: first!.id, after: first!.outcome }),
    );
    const { id, sentence } = today.findings[0]!;
    expect(json.changes.firstFinding).toEqual({ after: { id, sentence } });
  });

  it('takes the profile of today when told to, and tells the changes in lines', async () => {
    const own = join(folder, 'short-vent.yaml');
    const text = readFileSync(new URL(`../../profiles/units/${PROFILE}.yaml`, import.meta.url), 'utf8');
    const renamed = text.replace(/^id: .*$/m, 'id: short-vent').replace(/^rules:[\s\S]*?(?=^\S)/m, '');
    writeFileSync(own, `${renamed}\nrules: { draws: 20 }\n`);
    const { code, out } = await run(ids.changed!, '--profile', own);
    expect(code).toBe(1);
    expect(out).toContain(
      `Run ${ids.changed}, V-0107, 2024-06-11 09:01:00, judged again by profile short-vent as it is today\n`,
    );
    expect(out).toContain(`\nFAIL  ${today.sentence}\n`);
    expect(out).toMatch(/\nAgainst the record, judged by program [^:]+:\n {2}verdict PASS becomes FAIL\n/);
    expect(out).toContain('  first cause was: none\n');
    expect(out).toContain(`  first cause now: ${today.findings[0]!.sentence}\n`);
  });

  it('cannot tell of a run that was broken off, whatever its part of a capture shows', async () => {
    const { code, out } = await run(ids.aborted!, '--json');
    expect(code).toBe(3);
    const json = JSON.parse(out);
    expect(json.verdict).toBe('cannot-tell');
    expect(json.sentence).toBe(
      'The run was broken off: The rig was unplugged. What it sampled until then is no whole test.',
    );
    expect(json.findings).toEqual([]);
    expect(json.checks.length).toBeGreaterThan(3);
    expect(json.recorded.status).toBe('aborted');
    expect(json.changes.verdict).toEqual({ after: 'cannot-tell' });
  });

  it('cannot tell of a run without samples, or one that is still going on', async () => {
    expect(await run(ids.empty!)).toMatchObject({
      code: 3,
      out: expect.stringContaining('CANNOT TELL  The run left no samples: No sample came.\n'),
    });
    expect((await run(ids.open!)).out).toContain(
      'CANNOT TELL  The run is still going on; judge it when it has ended.',
    );
  });

  it('refuses a run whose samples were taken out, and says where they lie', async () => {
    const other = join(folder, 'archived');
    cpSync(join(folder, 'throwbench.sqlite'), join(other, 'throwbench.sqlite'));
    process.env.THROWBENCH_LOGS = other;
    try {
      await call(logCommand, ['archive', join(other, 'old.sqlite'), '--before', '2024-07-01'], other);
      await expect(run(ids.same!)).rejects.toThrow(
        `${ids.same}: this run has no samples; they were taken out and lie in old.sqlite; copied as throwbench.sqlite`,
      );
      // Where nothing was ever sampled there is nothing to point at.
      expect((await run(ids.empty!)).out).toContain('The run left no samples: No sample came.');
      const copy = join(folder, 'looked-into');
      cpSync(join(other, 'old.sqlite'), join(copy, 'throwbench.sqlite'));
      process.env.THROWBENCH_LOGS = copy;
      expect((await run(ids.same!)).out).toContain('nothing changes');
    } finally {
      process.env.THROWBENCH_LOGS = folder;
    }
  });

  it('refuses an unknown run, a file beside it, and what is told of files, in one line', async () => {
    await expect(run('2024-06-11-9999')).rejects.toThrow(
      '2024-06-11-9999: no such run; throwbench log lists the runs',
    );
    await expect(run(ids.same!, 'good.csv')).rejects.toThrow(
      "--recorded takes the capture from the record; 'good.csv' is one too many",
    );
    await expect(run(ids.same!, '--supply-v', '13')).rejects.toThrow(
      '--supply-v is for captures in a file, not for --recorded',
    );
  });
});
