// `simulate` from the command line: drawing, JSON, files, and what it says to wrong calls.

import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { readCaptureCsv } from '../../host/capture/index.js';
import { simulateCommand } from '../../host/commands/simulate.js';
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
    const capture = readCaptureCsv(readFileSync(join(folder, 'out.csv'), 'utf8'), 'out.csv');
    expect(capture.channels.supplyVoltageV![0]!).toBeCloseTo(12, 2);
    expect(Math.max(...capture.channels.motorCurrentA!)).toBeGreaterThan(10);
    expect(readFileSync(join(folder, 'out.svg'), 'utf8')).toMatch(/^<svg .*rotor held/s);
  });

  it.each([
    [['--profile', 'seat-slide-relays', '--fault', 'k1-coil-opne'], /did you mean k1-coil-open\?/],
    [['--profile', 'seat-slide-relays', '--supply', 'much'], /--supply much: give a number/],
    [['--profile', 'seat-slide-relays', '--station', 'attic'], /no station attic/],
    [['--csv', 'x.csv'], /needs --profile/],
    [['--scenario', 'x.yaml'], /needs --csv/],
    [['--scenario', 'x.yaml', '--csv', 'y', '--supply', '12'], /--supply does not go with --scenario/],
    [['--suply', '12'], /unknown option --suply/],
  ])('refuses %j in one line', async (args, message) => {
    await expect(simulate(...args)).rejects.toThrow(message);
  });

  it('runs a scenario file to CSV with speed, and says in one line what the solver refuses', async () => {
    const text = [
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
    writeFileSync(join(folder, 'rl.yaml'), text);
    expect((await simulate('--scenario', 'rl.yaml', '--csv', 'rl.csv')).code).toBe(0);
    const rows = readFileSync(join(folder, 'rl.csv'), 'utf8').trim().split('\r\n');
    expect(rows[0]).toBe('time_s,position,feed_current_A');
    // i = V/R (1 - exp(-t R/L)), at 4 ms.
    expect(Number(rows[5]!.split(',')[2])).toBeCloseTo(6 * (1 - Math.exp(-2)), 3);
    writeFileSync(
      join(folder, 'cut.yaml'),
      text.replace('a: b, b: ground, inductanceH', 'a: x, b: y, inductanceH'),
    );
    const refused = await simulate('--scenario', 'cut.yaml', '--csv', 'cut.csv');
    expect(refused.code).not.toBe(0);
    expect(refused.stderr.trim().split('\n')).toHaveLength(1);
  });
});
