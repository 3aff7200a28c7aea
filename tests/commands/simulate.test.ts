// `simulate` from the command line: drawing, JSON, files, and what it says to wrong calls.

import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { readCaptureCsv } from '../../host/capture/index.js';
import { command as simulateCommand } from '../../host/commands/verbs/simulate.js';
import { call } from './call.js';

const folder = mkdtempSync(join(tmpdir(), 'throwbench-simulate-'));
afterAll(() => rmSync(folder, { recursive: true }));

const simulate = (...args: string[]) => call(simulateCommand, args, folder);

describe('simulate', () => {
  it('draws within the columns it has and closes with a table of levels', async () => {
    const { code, stdout } = await simulate('--profile', 'seat-slide-relays');
    expect(code).toBe(0);
    expect(Math.max(...stdout.split('\n').map((line) => [...line].length))).toBeLessThanOrEqual(100);
    expect(stdout).toMatch(/Motor current, A/);
    expect(stdout).toMatch(/^reverse +full/m);
  });

  it('tells a fault by its levels as JSON: 87 and 87a of K1 exchanged runs at rest', async () => {
    const { stdout } = await simulate(
      '--profile',
      'seat-slide-relays',
      '--fault',
      'k1-87-87a-exchanged',
      '--json',
    );
    const { steps, faults } = JSON.parse(stdout);
    expect(faults).toEqual(['k1-87-87a-exchanged']);
    expect(steps[0]).toMatchObject({ position: 'rest', feed: 'limited' });
    expect(steps[0].atEnd.motorCurrentA).toBeGreaterThan(0.9);
    expect(Math.abs(steps[1].atEnd.motorCurrentA)).toBeLessThan(0.01);
    const full = steps.find(({ feed }: { feed: string }) => feed === 'full');
    expect(full).toMatchObject({ position: 'rest' });
    expect(full.atEnd.motorCurrentA).toBeGreaterThan(1.5);
  });

  it('writes a capture that reads back and a picture', async () => {
    const { code } = await simulate(
      '--profile',
      'window-lift-switch',
      '--csv',
      'out.csv',
      '--svg',
      'out.svg',
      '--supply',
      '12',
      '--held-rotor',
    );
    expect(code).toBe(0);
    const text = readFileSync(join(folder, 'out.csv'), 'utf8');
    // No digit that means nothing: microvolts and microamperes at most.
    expect(text).toMatch(/\.\d{5}/);
    expect(text).not.toMatch(/\.\d{7}|e-/);
    const capture = readCaptureCsv(text, 'out.csv');
    expect(capture.channels.supplyVoltageV![0]!).toBeCloseTo(12, 2);
    expect(Math.max(...capture.channels.motorCurrentA!)).toBeGreaterThan(10);
    expect(readFileSync(join(folder, 'out.svg'), 'utf8')).toMatch(/^<svg .*rotor held/s);
  });

  it.each([
    [['--profile', 'seat-slide-relays', '--fault', 'k1-coil-opne'], /did you mean k1-coil-open\?/],
    [['--profile', 'seat-slide-relays', '--supply', 'much'], /--supply 'much' should be a number/],
    [['--profile', 'seat-slide-relays', '--station', 'attic'], /no station attic/],
    [['--csv', 'x.csv'], /needs --profile/],
    [['--scenario', 'x.yaml'], /needs --csv/],
    [['--scenario', 'x.yaml', '--csv', 'y', '--supply', '12'], /--supply does not go with --scenario/],
    [['--suply', '12'], /unknown option --suply/],
  ])('refuses %j in one line', async (args, message) => {
    await expect(simulate(...args)).rejects.toThrow(message);
  });

  const RL = [
    'title: RL rise',
    'kind: scenario',
    'durationS: 0.01',
    'sampleRateHz: 1000',
    'elements:',
    '  - { kind: supply, id: v, plus: a, minus: ground, voltageV: 12, sourceResistanceOhm: 0 }',
    '  - { kind: resistor, id: r, a: a, b: b, resistanceOhm: 2 }',
    '  - { kind: inductor, id: l, a: b, b: ground, inductanceH: 0.004 }',
    'sense: { feedCurrentA: { current: r } }',
  ].join('\n');
  /** No way leads from x and y to ground. */
  const FLOATING = RL.replace('a: b, b: ground, inductanceH', 'a: x, b: y, inductanceH');
  const put = (name: string, text: string): string => {
    writeFileSync(join(folder, name), text);
    return name;
  };

  it('runs a scenario file to CSV with speed, and says in one line what the solver refuses', async () => {
    put('rl.yaml', RL);
    expect((await simulate('--scenario', 'rl.yaml', '--csv', 'rl.csv')).code).toBe(0);
    const rows = readFileSync(join(folder, 'rl.csv'), 'utf8').trim().split('\r\n');
    expect(rows[0]).toBe('time_s,position,feed_current_A');
    // i = V/R (1 - exp(-t R/L)), at 4 ms.
    expect(Number(rows[5]!.split(',')[2])).toBeCloseTo(6 * (1 - Math.exp(-2)), 3);
    put('cut.yaml', FLOATING);
    const refused = await simulate('--scenario', 'cut.yaml', '--csv', 'cut.csv');
    expect(refused.code).toBe(3);
    expect(refused.stderr.trim().split('\n')).toHaveLength(1);
  });

  it('runs several scenarios in one go, each to a CSV of its name, whichever way they are given', async () => {
    const files = ['one.yaml', 'two.yaml', 'three.yaml'].map((name, i) =>
      put(name, RL.replace('voltageV: 12', `voltageV: ${12 + i}`)),
    );
    const { code, stdout } = await simulate('--scenario', ...files, '--csv', 'out-of-several');
    expect(code).toBe(0);
    expect(stdout.trim().split('\n')).toHaveLength(3);
    const last = ['one', 'two', 'three'].map((name) => {
      const rows = readFileSync(join(folder, 'out-of-several', `${name}.csv`), 'utf8')
        .trim()
        .split('\r\n');
      return Number(rows.at(-1)!.split(',')[2]);
    });
    // Five time constants of 2 ms from rest to V/R.
    for (const [i, currentA] of last.entries())
      expect(currentA).toBeCloseTo(((12 + i) / 2) * (1 - Math.exp(-5)), 3);
    const again = await simulate(
      ...files.flatMap((file) => ['--scenario', file]),
      '--csv',
      'again',
      '--json',
    );
    expect(JSON.parse(again.stdout)).toMatchObject(
      files.map((file, i) => ({
        file,
        csv: join('again', `${['one', 'two', 'three'][i]}.csv`),
        samples: 11,
      })),
    );
  });

  it('runs the others when one of several cannot be solved, and none when one is no scenario', async () => {
    const files = [put('good.yaml', RL), put('floating.yaml', FLOATING), put('good-too.yaml', RL)];
    const { code, stdout, stderr } = await simulate('--scenario', ...files, '--csv', 'partly');
    expect(code).toBe(3);
    expect(stdout.trim().split('\n')).toHaveLength(2);
    expect(stderr).toMatch(/^throwbench simulate: floating\.yaml: No way leads from x, y.*\n$/);
    put('no.yaml', RL.replace('durationS: 0.01', 'durationS: long'));
    await expect(simulate('--scenario', 'good.yaml', 'no.yaml', '--csv', 'none')).rejects.toThrow(
      /durationS/,
    );
    expect(existsSync(join(folder, 'none'))).toBe(false);
  });

  it('refuses to write two scenarios to one place, or several to a file', async () => {
    mkdirSync(join(folder, 'deeper'), { recursive: true });
    const twice = [put('same.yaml', RL), put(join('deeper', 'same.yaml'), RL)];
    await expect(simulate('--scenario', ...twice, '--csv', 'both')).rejects.toThrow(/same\.csv: rename one/);
    put('a-file.csv', '');
    await expect(simulate('--scenario', ...twice, '--csv', 'a-file.csv')).rejects.toThrow(/need a folder/);
  });

  it('writes one scenario into a folder that is there, and no number longer than the tolerance means', async () => {
    mkdirSync(join(folder, 'there'), { recursive: true });
    put('short.yaml', `relativeTolerance: 1.0e-4\n${RL}`);
    expect((await simulate('--scenario', 'short.yaml', '--csv', 'there')).code).toBe(0);
    const rows = readFileSync(join(folder, 'there', 'short.csv'), 'utf8')
      .trim()
      .split('\r\n')
      .slice(1);
    // 6 A to 1e-5 of it: four or five decimals.
    for (const row of rows) expect(row.split(',')[2]).toMatch(/^\d(\.\d{1,5})?$/);
  });
});
