// Many runs at once: filters, exports (RFC 4180), statistics, two runs compared.

import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { command as logCommand } from '../../host/commands/verbs/log.js';
import { type JudgementRecord, openStore } from '../../host/records/index.js';
import { begin, capture, judgement } from '../records/example-run.js';
import { call } from './call.js';

let folder: string;
let ids: string[];
const before = process.env.THROWBENCH_LOGS;

/** Each unit's verdict, day of May or June 2024, cause, and running current with its ± in A. */
const RUNS = [
  ['V-0101', 'fail', [4, 30], 'coil-k1-open', 'The coil of K1 is open.', 1.5, 0.03],
  ['V-0101', 'pass', [5, 1], 'motor-open', 'Unlikely.', 1.52, 0.03],
  ['V-0102', 'fail', [5, 2], 'coil-k1-open', 'The coil of K1 is open.', 2, 0.04],
  ['V-0103', 'cannot-tell', [5, 3], 'ground-wire', 'A joint, "bad", of 50%.', 1.5, 0.03],
] as const;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-log-many-'));
  process.env.THROWBENCH_LOGS = join(folder, 'records');
  const store = openStore();
  ids = RUNS.map(([tag, verdict, [month, day], id, cause, currentA, plusMinusA]) => {
    const runId = store.beginRun(begin(tag, new Date(2024, month, day, 9).toISOString()));
    const plain = judgement(verdict);
    const quantity = {
      ...{ value: currentA, unit: 'A', standardUncertainty: plusMinusA / 2, degreesOfFreedom: 50 },
      expandedUncertainty: plusMinusA,
    };
    const told: JudgementRecord = {
      ...plain,
      findings: [{ id, likelihood: 0.95, sentence: cause, nextProbe: 'Measure, then look.' }],
      measured: {
        forwardRunningCurrentA: quantity,
        restSupplyVoltageV: { ...quantity, value: 13, unit: 'V' },
      },
    };
    store.finishRun(runId, { capture: capture(20), judgement: told });
    return runId;
  });
  store.close();
});
afterAll(() => {
  if (before === undefined) delete process.env.THROWBENCH_LOGS;
  else process.env.THROWBENCH_LOGS = before;
  rmSync(folder, { recursive: true, force: true });
});

const log = async (...args: string[]) => call(logCommand, args, folder);
const listed = async (...args: string[]): Promise<string[]> =>
  (JSON.parse((await log(...args, '--json')).stdout) as { runId: string }[]).map(({ runId }) => runId);
const fault = async (...args: string[]) =>
  log(...args).then(
    () => 'nothing',
    (error: Error) => `${error.name}: ${error.message}`,
  );

describe('filters of log', () => {
  it.each([
    [
      ['--verdict', 'fail'],
      [2, 0],
    ],
    [['--verdict', 'cannot tell'], [3]],
    [
      ['--cause', 'COIL OF k1'],
      [2, 0],
    ],
    [['--cause', 'coil-k1', '--unit', 'v-0102'], [2]],
    [
      ['--since', '2024-06-02'],
      [3, 2],
    ],
    [
      ['--until', '2024-06-01'],
      [1, 0],
    ],
    [
      ['--since', '2024-06-01', '--until', '2024-06-02'],
      [2, 1],
    ],
    [['--profile', 'roof-vent-switch', '--limit', '1'], [3]],
    [['--profile', 'another'], []],
    [['--find', '50%'], [3]],
    [['--find', '5_%'], []],
  ] as const)('%j finds what it says', async (args, places) => {
    expect(await listed(...args)).toEqual(places.map((place) => ids[place]));
  });

  it.each([
    [
      ['--since', '2026-12-05', '--until', '2026-12-01'],
      "UsageError: --until '2026-12-01' lies before --since '2026-12-05': exchange them",
    ],
    [['--verdict', 'good'], "UsageError: --verdict 'good' should be pass, fail or cannot-tell"],
    [['--since', '2024-13-01'], "UsageError: --since '2024-13-01' should be a day, such as 2026-11-27"],
    [['--until', '2024-02-30'], "UsageError: --until '2024-02-30' should be a day, such as 2026-11-27"],
    [['stats', '--limit', '3'], 'UsageError: --limit does not go with log stats'],
    [['compare', 'last'], 'UsageError: log compare needs two runs: ids from throwbench log, or tags'],
    [['verify', '--verdict', 'fail'], 'UsageError: --verdict does not go with log verify'],
  ])('refuses %j in one line', async (args, message) => {
    expect(await fault(...args)).toBe(message);
  });
});

/** A reader by RFC 4180, section 2: quotes doubled within quotes, lines by CRLF. */
function readCsv(text: string): string[][] {
  const rows: string[][] = [[]];
  for (const [, quoted, plain = '', end] of text.matchAll(/(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|\r\n)/g)) {
    rows.at(-1)!.push(quoted?.replaceAll('""', '"') ?? plain);
    if (end === '\r\n') rows.push([]);
  }
  return rows.slice(0, -1);
}

describe('exports', () => {
  it('write a table by RFC 4180, every number under a head that says its unit, its ± beside it', async () => {
    const { stderr } = await log('--csv', 'runs.csv');
    expect(stderr).toMatch(/runs\.csv: 4 runs written\n$/);
    const [head, ...rows] = readCsv(readFileSync(join(folder, 'runs.csv'), 'utf8'));
    expect(rows).toHaveLength(4);
    expect(new Set([head, ...rows].map((row) => row!.length)).size).toBe(1);
    const cell = (row: number, name: string) => rows[row]![head!.indexOf(name)];
    expect(cell(0, 'unit')).toBe('V-0103');
    expect(cell(1, 'forwardRunningCurrentA [A]')).toBe('2');
    expect(cell(1, 'forwardRunningCurrentA plus-minus [A]')).toBe('0.04');
    expect(cell(0, 'next_probe')).toBe('Measure, then look.');
    expect(cell(0, 'cause_likelihood_percent')).toBe('95');
    expect(cell(0, 'anchor')).toMatch(/^[0-9a-f]{12}$/);
  });

  it('write one JSON object a line, with the keys of log show --json', async () => {
    const lines = (await log('--jsonl', '-', '--verdict', 'pass')).stdout.trimEnd().split('\n');
    expect(lines).toHaveLength(1);
    expect(JSON.parse(lines[0]!)).toMatchObject({
      runId: ids[1],
      measured: { forwardRunningCurrentA: { value: 1.52, unit: 'A', expandedUncertainty: 0.03 } },
    });
  });

  it('say so when there is nothing to write', async () => {
    expect(await fault('--csv', '-', '--unit', 'V-9999')).toMatch(/no such runs to export/);
  });
});

describe('statistics', () => {
  it('count verdicts, units passed at first and in the end, profiles, months, benches and causes', async () => {
    expect(JSON.parse((await log('stats', '--json')).stdout)).toEqual({
      ...{ runs: 4, pass: 1, fail: 2, cannotTell: 1, units: 3, unitsPassedFirst: 0, unitsPassedLast: 1 },
      byProfile: { 'roof-vent-switch': { runs: 4, pass: 1, fail: 2, cannotTell: 1 } },
      byMonth: {
        '2024-05': { runs: 1, pass: 0, fail: 1, cannotTell: 0 },
        '2024-06': { runs: 3, pass: 1, fail: 1, cannotTell: 1 },
      },
      byBench: { 'bench-1': { runs: 4, pass: 1, fail: 2, cannotTell: 1 } },
      causes: [
        { id: 'coil-k1-open', sentence: 'The coil of K1 is open.', runs: 2 },
        { id: 'ground-wire', sentence: 'A joint, "bad", of 50%.', runs: 1 },
      ],
    });
    const { stdout } = await log('stats');
    expect(stdout).toMatch(/^2024-06 +3 +1 +1 +1 +33 %$/m);
    expect(stdout).toMatch(/^ +2 {2}The coil of K1 is open\.$/m);
    expect((await log('stats', '--unit', 'V-9999')).stdout).toMatch(/^no such judged runs in /);
  });
});

describe('two runs compared', () => {
  it('tell what differs by more than its ±, root of squares (GUM 5.1.2), in words', async () => {
    const { stdout } = await log('compare', ids[1]!, ids[2]!);
    expect(stdout).toContain('1 of 2 readings differ by more than their ±:');
    expect(stdout).toMatch(
      /Forward: running current +1\.520 ± 0\.030 A +2\.000 ± 0\.040 A +\+0\.480 ± 0\.050 A/,
    );
    const [only] = JSON.parse((await log('compare', ids[1]!, ids[2]!, '--json')).stdout).differences;
    expect(only.expandedUncertainty).toBeCloseTo(0.05, 9);
  });

  it('tell that nothing differs within the ±', async () => {
    // 0.02 A apart, each ± 0.03 A: 0.042 A together.
    expect((await log('compare', ids[0]!, ids[1]!)).stdout).toContain(
      'No reading of 2 differs by more than its ±.',
    );
  });
});
