// `ratings` from the command line: table, JSON, exit status, and what it says to wrong calls.

import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { command } from '../../host/commands/verbs/ratings.js';
import { openStore } from '../../host/records/index.js';
import { begin, capture, judgement } from '../records/example-run.js';
import { call } from './call.js';

const ratings = (...args: string[]) => call(command, ['--profile', 'window-lift-switch', ...args], tmpdir());
const DRAWS = ['--running-a', '13', '--held-a', '30', '--ambient-c', '20', '--wire-length', '0.8'];

describe('ratings of a run', () => {
  const folder = mkdtempSync(join(tmpdir(), 'throwbench-ratings-'));
  const before = process.env.THROWBENCH_LOGS;
  let runs: string[];
  beforeAll(() => {
    process.env.THROWBENCH_LOGS = folder;
    const store = openStore();
    const reading = { value: 7, unit: 'A', standardUncertainty: 0.1, expandedUncertainty: 0.2 };
    runs = [{ forwardRunningCurrentA: reading }, {}].map((measured) => {
      const runId = store.beginRun(begin('V-0107', '2026-03-04T10:00:00.000Z'));
      const told = { ...judgement('pass'), measured: measured as ReturnType<typeof judgement>['measured'] };
      store.finishRun(runId, { capture: capture(50), judgement: told, counters: {} });
      return runId;
    });
    store.close();
  });
  afterAll(() => {
    if (before === undefined) delete process.env.THROWBENCH_LOGS;
    else process.env.THROWBENCH_LOGS = before;
    rmSync(folder, { recursive: true, force: true });
  });

  it('takes its currents with their uncertainty, and says which run it was', async () => {
    const { stdout } = await ratings('--run', runs[0] ?? '', '--held-a', '20');
    expect(stdout).toMatch(/runs at 6\.8 to 7\.2 A \(measured\)/);
    expect(stdout.replaceAll('\n', ' ')).toMatch(
      new RegExp(`Measured in run ${runs[0]}: V-0107, .*, PASS\\.`),
    );
    const { run } = JSON.parse((await ratings('--run', runs[0] ?? '', '--json')).stdout);
    expect(run).toMatchObject({ tag: 'V-0107', verdict: 'pass' });
  });

  it('is refused where nothing of a motor was measured', async () => {
    await expect(ratings('--run', runs[1] ?? '')).rejects.toThrow(
      /it measured no current of a motor; choose another run/,
    );
  });
});

describe("ratings with a person's own parts", () => {
  const folder = mkdtempSync(join(tmpdir(), 'throwbench-parts-'));
  const before = process.env.THROWBENCH_PROFILES;
  const own = join(folder, 'parts', 'own.yaml');
  mkdirSync(join(folder, 'parts'));
  const lists = 'switches:\n  - { id: rocker-12-a, title: rocker of 12 A, carryA: 12 }\n';
  writeFileSync(own, `id: own\ntitle: Own parts\nkind: parts\n${lists}`);
  afterAll(() => {
    if (before === undefined) delete process.env.THROWBENCH_PROFILES;
    else process.env.THROWBENCH_PROFILES = before;
    rmSync(folder, { recursive: true, force: true });
  });
  const TEN = ['--running-a', '10.5', '--held-a', '30', '--ambient-c', '20'];
  const switchOf = async (...args: string[]) => JSON.parse((await ratings(...args, '--json')).stdout).rows[0];

  it('suggests the own switch of 12 A by its title where 10 A are too little and 16 A more than it takes', async () => {
    expect((await ratings(...TEN)).stdout).toMatch(/Certain: above 10\.5 A \(switch of 16 A\)\./);
    process.env.THROWBENCH_PROFILES = folder;
    expect((await ratings(...TEN)).stdout).toMatch(/Certain: above 10\.5 A \(rocker of 12 A\)\./);
    expect((await switchOf(...TEN)).suggested).toEqual([
      { id: 'rocker-12-a', title: 'rocker of 12 A', source: 'common practice, no source' },
    ]);
    expect((await switchOf(...DRAWS)).suggested).toMatchObject([{ id: 'switch-16-a' }]);
  });

  it('takes one more file for a call, and the list beside a unit that is a file', async () => {
    delete process.env.THROWBENCH_PROFILES;
    expect((await switchOf(...TEN, '--parts', own)).suggested).toMatchObject([{ id: 'rocker-12-a' }]);
    const unit = join(folder, 'units', 'lift.yaml');
    mkdirSync(join(folder, 'units'));
    writeFileSync(
      unit,
      'id: lift\ntitle: Lift\nkind: unit\ncircuit: switch-carried-open-rest\nmotor: window-lift\n',
    );
    const { stdout } = await call(command, ['--profile', unit, ...TEN, '--json'], tmpdir());
    expect(JSON.parse(stdout).rows[0].suggested).toMatchObject([{ id: 'rocker-12-a' }]);
  });

  it('says nothing of the list of parts in its JSON but what it suggests', async () => {
    const { build, rows } = JSON.parse((await ratings(...DRAWS, '--json')).stdout);
    expect(build).not.toHaveProperty('parts');
    expect(rows.map(({ needs }: { needs: string }) => needs)).toEqual([
      'above 13.0 A',
      '15 A',
      '1 mm² or AWG 18',
      '2.5 mm² or AWG 12',
    ]);
  });

  it('refuses a faulty file in one line, whichever way it comes', async () => {
    const bad = join(folder, 'bad.yaml');
    writeFileSync(
      bad,
      'id: bad\ntitle: Bad\nkind: parts\nswitches:\n  - { id: s, title: S, carryA: 4000 }\n',
    );
    await expect(ratings(...TEN, '--parts', bad)).rejects.toThrow(
      /bad\.yaml:5: switches\[0\]\.carryA: 4000 A is too large; .*0\.01 to 1000/,
    );
    await expect(ratings(...TEN, '--parts', 'genric')).rejects.toThrow(/did you mean generic\?/);
  });
});

describe('ratings', () => {
  it('tells in plain lines no wider than the terminal that every part bears it, and exits 0', async () => {
    const { code, stdout } = await ratings(...DRAWS, '--switch-a', '16', '--fuse-a', '15');
    expect(code).toBe(0);
    expect(stdout).toMatch(/^Every part bears it\.$/m);
    expect(stdout).toMatch(/^switch +13\.0 .* 16 +\+23 % +bears it$/m);
    expect(stdout).toMatch(/close to the source/);
    expect(stdout).toMatch(/Local codes and licensed practice decide/);
    expect(Math.max(...stdout.split('\n').map((line) => [...line].length))).toBeLessThanOrEqual(80);
  });

  it('names first what is short, with what to take, and exits 1', async () => {
    const { code, stdout } = await ratings(...DRAWS, '--switch-a', '10', '--fuse-a', '15');
    expect(code).toBe(1);
    expect(stdout).toMatch(/^NOT ENOUGH: switch\. Take above 13\.0 A \(switch of 16 A\)\.$/m);
  });

  it('exits 3 where a rating is not told', async () => {
    const { code, stdout } = await ratings(...DRAWS);
    expect(code).toBe(3);
    expect(stdout).toMatch(
      /^CANNOT TELL: switch, rating not told\. Certain: above 13\.0 A \(switch of 16 A\)\.$/m,
    );
  });

  it('gives the rows as JSON, demands as least and most', async () => {
    const { stdout } = await ratings(...DRAWS, '--fuse-a', '20', '--continuous', '--motors', '1', '--json');
    const { rows, build, currents } = JSON.parse(stdout);
    expect(currents.running).toEqual({ least: 13, most: 13, origin: 'declared' });
    expect(build).toMatchObject({ duty: 'continuous', fuseA: 20 });
    const fuse = rows.find(({ kind }: { kind: string }) => kind === 'feed');
    expect(fuse).toMatchObject({ bearing: 'bears', rated: 20, capacity: 15, isDeclared: true });
    expect(fuse.demand.most.runningA).toBeCloseTo(13, 1);
  });

  it('puts another circuit beside it, relays added where the profile has none', async () => {
    const args = [...DRAWS, '--switch-a', '16', '--compare', 'relay-pair-ground-thrown'];
    const { code, stdout } = await ratings(...args);
    expect(code).toBe(3);
    expect(stdout).toMatch(/^switch +13\.0 A +30\.0 A +0\.1\d A +0\.1\d A$/m);
    expect(stdout).toMatch(/^contacts 30-87a +- +- +13\.0 A/m);
    // What to take, by its title.
    expect(stdout).toMatch(/^switch +switch of 16 A +switch of 3 A$/m);
    expect(stdout).toMatch(/^2: no rating told of 30-87a of K1 and K2\.$/m);
    expect(Math.max(...stdout.split('\n').map((line) => [...line].length))).toBeLessThanOrEqual(80);
    expect(stdout).toMatch(/^1: every part bears it\.$/m);
    const { circuits } = JSON.parse((await ratings(...args, '--json')).stdout);
    expect(circuits.map(({ circuit }: { circuit: string }) => circuit)).toEqual([
      'switch-carried-open-rest',
      'relay-pair-ground-thrown',
    ]);
    await expect(ratings('--compare', 'no-such')).rejects.toThrow(/no-such/);
  });

  it('reckons a relay pair: the small switch carries the coils', async () => {
    const args = ['--profile', 'seat-slide-relays', '--running-a', '5', '--held-a', '15', '--json'];
    const { stdout } = await call(command, args, tmpdir());
    const { rows } = JSON.parse(stdout);
    expect(rows[0]).toMatchObject({ kind: 'small-switch' });
    expect(rows[0].demand.most.heldA).toBeLessThan(0.2);
  });

  it.each([
    [['--running-a', 'ten'], /--running-a 'ten' should be a number from 0.01 to 1000, such as 15/],
    [['--running-a', '20', '--held-a', '10'], /held at 10 A is no more than running at 20 A/],
    [['--running-a', '20', '--held-a', '30', '--start-a', '10'], /a start of 10 A is less than running/],
    [['--running-a', '20', '--held-a', '900'], /does not let 900 A through the motor: check/],
    [['--wire-mm2', '2', '--wire-awg', '14'], /give one/],
    [['--running-a', '1,5'], /from 0\.01 to 1000: write 1\.5/],
    [['--supply', '12 V'], /from 0\.1 to 60: write 12/],
    [['--wire-length', '-3'], /'-3' should be a number from 0\.01 to 200, such as 3/],
    [['--fuse-a', '0'], /'0' should be a number from 0\.01/],
    [['--wire-awg', '99'], /should be a whole number from -4 to 40, such as 14/],
    [['--wire-awg', '2.5'], /should be a whole number/],
    [['--motors', '1.5'], /should be a whole number/],
    [['--motors=-2'], /should be a whole number from 1 to 20/],
    [['--pairs', '2'], /--pairs is of relays, and switch-carried-open-rest has none/],
    [['--break-a', '20'], /--break-a is of relays, and switch-carried-open-rest has none/],
    [['--supply', 'NaN'], /--supply 'NaN' should be a number/],
    [['--fuse-a', ''], /--fuse-a '' should be a number/],
    [['--run', '2020-01-01-9999', '--running-a', '3'], /no (such run|runs are recorded)/],
  ])('refuses %j in one line', async (args, message) => {
    await expect(ratings(...args)).rejects.toThrow(message);
  });

  it('asks for currents where a known load hangs in place of the motor, and refuses a relay by itself', async () => {
    await expect(call(command, ['--profile', 'switch-harness-load'], tmpdir())).rejects.toThrow(
      /give --running-a and --held-a/,
    );
    await expect(call(command, ['--profile', 'mini-changeover-alone'], tmpdir())).rejects.toThrow(
      /a relay by itself/,
    );
    const args = ['--profile', 'switch-harness-load', '--running-a', '5', '--held-a', '15', '--json'];
    expect((await call(command, args, tmpdir())).code).toBe(3);
  });
});
