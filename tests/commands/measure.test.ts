import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { writeCaptureCsv } from '../../host/capture/index.js';
import { nominalInput, simulatePlan } from '../../host/circuit/index.js';
import { command as judgeCommand } from '../../host/commands/verbs/judge.js';
import { command as measureCommand } from '../../host/commands/verbs/measure.js';
import { loadUnit } from '../../host/profile/index.js';
import { quantityText } from '../../host/tell/index.js';
import { closedFormCapture, motorState, throughConverter } from '../measure/closed-form.js';
import { call } from './call.js';

// RS775-125 at 12 V (wpilib DCMotor): stall 18 A, free 1.6 A at 5800 rpm; inductance and inertia are assumed.
const MOTOR = {
  resistanceOhm: 0.666667,
  inductanceH: 0.8e-3,
  backEmfVsPerRad: 0.018001,
  torqueNmPerA: 0.0155556,
  inertiaKgM2: 1.2e-5,
  viscousNms: (0.0155556 * 1.6) / ((5800 * 2 * Math.PI) / 60),
};
const SHAPE = {
  motor: MOTOR,
  supplyV: 13,
  feedOhm: 0.06,
  groundOhm: 0.03,
  release: 'coast',
  sampleRateHz: 5000,
  delayS: 0.0083,
} as const;
const LOOP_OHM = MOTOR.resistanceOhm + SHAPE.feedOhm + SHAPE.groundOhm;
const RUN_A = motorState(MOTOR, LOOP_OHM, 13, { i: 0, w: 0 }, 5).i;

let folder: string;
const write = (name: string, text: string | Uint8Array): void => writeFileSync(join(folder, name), text);

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-measure-'));
  const capture = throughConverter(closedFormCapture(SHAPE), 91);
  const current = capture.channels.motorCurrentA!;
  write('whole.csv', writeCaptureCsv(capture));
  const rows = (line: (timeS: number, currentA: number) => string): string =>
    Array.from(capture.timeS, (timeS, k) => line(timeS, current[k]!)).join('\n');
  write('clamp.csv', `time_s,motor_current_A\n${rows((t, i) => `${t},${i}`)}\n`);
  write('named.csv', `time_s,CH1\n${rows((t, i) => `${t},${i / 10}`)}\n`);
  write('bare.csv', `${rows((_t, i) => `${i}`)}\n`);
  write('two-bare.csv', `${rows((t, i) => `${t},${i}`)}\n`);
  write('no-times.csv', `feed_current_A\n${rows((_t, i) => `${Math.abs(i)}`)}\n`);
  write('still.csv', 'time_s,supply_V\n0,13\n0.1,13\n');
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Ended {
  code: number;
  out: string;
}
async function run(command: typeof measureCommand, args: string[]): Promise<Ended> {
  const { code, stdout } = await call(command, args, folder);
  return { code, out: stdout };
}

type Json = {
  measured: Record<string, { value: number; unit: string; expandedUncertainty: number }>;
  model: Record<string, { value: number; unit: string; expandedUncertainty: number }>;
};
async function json(...args: string[]): Promise<Json> {
  const { code, out } = await run(measureCommand, [...args, '--json']);
  expect(code).toBe(0);
  return JSON.parse(out) as Json;
}

describe('throwbench measure', () => {
  it('gives value, unit and expanded uncertainty of each quantity as JSON (noise seed 91)', async () => {
    const { measured, model } = await json('whole.csv', '--profile', 'entry-step-relays');
    expect(Object.keys(measured).length).toBeGreaterThan(30);
    expect(model).toBeTypeOf('object');
    for (const [name, quantity] of [...Object.entries(measured), ...Object.entries(model)]) {
      expect(Object.keys(quantity), name).toEqual(['value', 'unit', 'expandedUncertainty']);
      expect(Number.isFinite(quantity.value) && quantity.expandedUncertainty >= 0, name).toBe(true);
    }
    expect(Math.abs(measured.forwardRunningCurrentA!.value - RUN_A)).toBeLessThan(0.16);
  });

  it.each([
    ['one clamp column', ['clamp.csv']],
    [
      'a column by another name, 10 A a volt',
      ['named.csv', '--current-column', 'CH1', '--current-scale', '10'],
    ],
    ['a bare column with its rate', ['bare.csv', '--sample-rate', '5000']],
    ['two bare columns, times and current', ['two-bare.csv']],
  ])('reads both throws from %s', async (_words, args) => {
    const { measured } = await json(...args);
    for (const way of ['forward', 'reverse']) {
      expect(Math.abs(measured[`${way}RunningCurrentA`]!.value - RUN_A)).toBeLessThan(0.02 * RUN_A + 0.04);
      expect(measured[`${way}InrushPeakA`]!.value).toBeGreaterThan(10);
    }
    expect(measured.forwardLeadAVoltageV).toBeUndefined();
  });

  it('reads an unsigned feed current without times as throws one way', async () => {
    const { measured } = await json('no-times.csv', '--sample-rate', '5000');
    expect(measured.forwardRunningCurrentA).toBeDefined();
    expect(measured.forward2RunningCurrentA).toBeDefined();
    expect(measured.reverseRunningCurrentA).toBeUndefined();
  });

  it('takes the rate as it is told: twice the rate, half the time', async () => {
    const { measured } = await json('bare.csv', '--sample-rate', '10000');
    const { measured: real } = await json('clamp.csv');
    expect(measured.forwardSettleS!.value / real.forwardSettleS!.value).toBeCloseTo(0.5, 1);
  });

  it('tells the same in plain lines, with ±', async () => {
    const { code, out } = await run(measureCommand, ['clamp.csv']);
    expect(code).toBe(0);
    expect(out).toMatch(/^forward$/m);
    expect(out).toMatch(/^ {2}running current +1\.\d+ ± 0\.\d+ A$/m);
  });

  it('prints what the limited feed showed under its own stretch, in words', async () => {
    const unit = loadUnit('roof-vent-switch');
    write('plan.csv', writeCaptureCsv(simulatePlan(nominalInput(unit), unit.plan)));
    const { out } = await run(measureCommand, ['plan.csv', '--profile', 'roof-vent-switch']);
    const group = (title: string): string =>
      out.split('\n\n').find((part) => part.startsWith(`${title}\n`)) ?? '';
    expect(group('forward (limited feed)')).toMatch(/^ {2}lead A +\S+ ± /m);
    expect(group('at rest (limited feed)')).toMatch(/^ {2}feed current +\S+ ± /m);
    expect(group('run')).not.toMatch(/limited/);
    expect(out).not.toMatch(/[a-z][A-Z][a-z]/);
  });

  it('lays out the budget of one quantity: shares of the variance add up to the whole (GUM 5.1.2)', async () => {
    const { code, out } = await run(measureCommand, [
      'whole.csv',
      '--profile',
      'roof-vent-switch',
      '--budget',
      'forwardGroundDropV',
    ]);
    expect(code).toBe(0);
    expect(out).toMatch(/^drop from return lead to ground, forward: .* ± .* m?V\n/);
    for (const source of ['scatter', 'gain and reference', 'offset', 'combined'])
      expect(out).toContain(source);
    const shares = [...out.matchAll(/\s(\d+\.\d)\s+(?:exact|\d+)$/gm)].map(([, share]) => Number(share));
    expect(Math.abs(shares.reduce((sum, share) => sum + share, 0) - 100)).toBeLessThan(0.3);
  });

  it('takes several files: one table, or one JSON line each, and goes on past a bad one', async () => {
    write('bad.csv', 'time_s,lead_a_V\n0,high\n');
    const { code, out } = await run(measureCommand, ['clamp.csv', 'bad.csv', 'no-such.csv', 'whole.csv']);
    expect(code).toBe(2);
    expect(out).toMatch(/^clamp\.csv +1\d\.\d+ ± /m);
    expect(out).toMatch(/^whole\.csv +1\d\.\d+ ± /m);
    expect(out).toMatch(/^not read: .*bad\.csv:2: /m);
    expect(out).toMatch(/^not read: .*no-such\.csv: no such file/m);
    const lines = (await run(measureCommand, ['clamp.csv', 'bad.csv', '--json'])).out.trim().split('\n');
    expect(lines.map((line) => Object.keys(JSON.parse(line) as object))).toEqual([
      ['file', 'measured', 'model', 'notes'],
      ['file', 'error'],
    ]);
    expect((await run(measureCommand, ['clamp.csv', 'two-bare.csv'])).code).toBe(0);
  });

  it('reads a foreign export with the options that decide, and tells what it understood', async () => {
    const text = readFileSync(join(folder, 'clamp.csv'), 'utf8').trim().split('\n').slice(1);
    const rows = text
      .map((row) => row.split(',').map(Number))
      .map(([t, i]) => `${(t! * 1e3).toFixed(3)};${(i! * 1e3).toFixed(2)}`);
    write('foreign.csv', `Logger;bench\nTime (ms);CH1\n${rows.join('\n').replaceAll('.', ',')}\n`);
    const { out } = await run(measureCommand, ['foreign.csv', '--column', 'motor=CH1:mA']);
    expect(out).toMatch(/motor current from 'CH1' in mA \(x 0\.001\)/);
    const { measured } = await json('foreign.csv', '--column', 'motor=CH1:mA');
    const { measured: own } = await json('clamp.csv');
    expect(measured.forwardInrushPeakA!.value).toBeCloseTo(own.forwardInrushPeakA!.value, 3);
    for (const [args, line] of [
      [['--column', 'motr=CH1'], /--column 'motr=CH1' should be ROLE=COLUMN/],
      [['--time-scale', 'fast'], /--time-scale 'fast' should be s, ms/],
      [['--decimal', 'dot'], /should be point or comma/],
    ] as const)
      await expect(run(measureCommand, ['foreign.csv', ...args])).rejects.toThrow(line);
  });

  it('exits with 3 when nothing can be measured', async () => {
    expect((await run(measureCommand, ['still.csv'])).code).toBe(3);
  });

  it.each([
    [
      'a rate for a file with times',
      ['clamp.csv', '--sample-rate', '5000'],
      /time_s tells the times already; leave --sample-rate out/,
    ],
    ['no rate for a file without times', ['no-times.csv'], /no column time_s; .*--sample-rate/],
    ['a rate that is none', ['bare.csv', '--sample-rate', 'fast'], /--sample-rate 'fast' should be a number/],
    ['a scale of nothing', ['clamp.csv', '--current-scale', '0'], /--current-scale 0 would leave no current/],
    ['half a segment', ['clamp.csv', '--segments', '7.5'], /whole number/],
    [
      'a column that is not there',
      ['named.csv', '--current-column', 'CH2'],
      /no column CH2; did you mean CH1\?/,
    ],
  ])('refuses %s in one line', async (_words, args, message) => {
    await expect(run(measureCommand, args)).rejects.toThrow(message);
  });

  it('lets judge take the same options', async () => {
    const { code, out } = await run(judgeCommand, [
      'bare.csv',
      '--sample-rate',
      '5000',
      '--profile',
      'entry-step-relays',
      '--json',
    ]);
    // Without the leads nobody can pass a unit.
    expect(code).not.toBe(0);
    expect((JSON.parse(out) as Json).measured.forwardRunningCurrentA).toBeDefined();
  });
});

describe('a quantity in words', () => {
  // GUM 7.2.6: uncertainty to at most two significant digits, the estimate rounded to match. Its example in 7.2.2:
  // 100.021 47 g with u = 0.35 mg.
  it.each([
    [{ value: 100.02147, unit: 'g', expandedUncertainty: 0.00079 }, '100.02147 ± 0.00079 g'],
    [{ value: 4.0312, unit: 'A', expandedUncertainty: 0.1234 }, '4.03 ± 0.12 A'],
    [{ value: 4.0312, unit: 'A', expandedUncertainty: 0.0996 }, '4.03 ± 0.10 A'],
    [{ value: -0.001, unit: 'V', expandedUncertainty: 0.04 }, '-0.001 ± 0.040 V'],
    [{ value: -0.0001, unit: 'V', expandedUncertainty: 0.4 }, '0.00 ± 0.40 V'],
    [{ value: 0.0312, unit: 'Ohm', expandedUncertainty: 0.0021 }, '31.2 ± 2.1 mΩ'],
    [{ value: 0.0123, unit: 's', expandedUncertainty: 0.0004 }, '12.30 ± 0.40 ms'],
    [{ value: 4812.3, unit: 'rpm', expandedUncertainty: 112 }, '4812 ± 112 rpm'],
    [{ value: 3, unit: '1', expandedUncertainty: 0 }, '3'],
    // A simulated capture is finer than any bench: six digits, and the uncertainty rounded up (GUM 7.2.6).
    [{ value: 0.99141541, unit: 'A', expandedUncertainty: 1.4e-11 }, '0.991415 ± 0.000001 A'],
    [{ value: 1.3e-7, unit: 'A', expandedUncertainty: 2.7e-15 }, '0.000 ± 0.001 mA'],
    [{ value: 12.456789, unit: 'V', expandedUncertainty: 1e-9 }, '12.4568 ± 0.0001 V'],
    [{ value: 1.234e-5, unit: 'kg m2', expandedUncertainty: 2.1e-7 }, '0.00001234 ± 0.00000021 kg m2'],
  ])('reads %o as %s', (quantity, text) => {
    expect(quantityText(quantity)).toBe(text);
  });
});
