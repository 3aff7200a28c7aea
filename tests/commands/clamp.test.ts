// A unit without any model, by one current alone: what good ones taught, and what differs is named as far as a clamp sees.

import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { seededRandom } from '../../host/circuit/index.js';
import { command as judge } from '../../host/commands/verbs/judge.js';
import { command as learn } from '../../host/commands/verbs/learn.js';
import { command as log } from '../../host/commands/verbs/log.js';
import { anchorOf, openStore } from '../../host/records/index.js';
import { type Called, call } from './call.js';

const folder = mkdtempSync(join(tmpdir(), 'throwbench-clamp-'));
const RATE = 2000;
const SEED = 61;

/**
 * One throw of a textbook motor (Control Tutorials, DC motor: V = R i + L di/dt + ke w, J dw/dt = kt i - friction), with the
 * ripple of its commutator at so many a turn; integrated here, by nothing of the program.
 */
function clampCsv(
  seed: number,
  of: { volts?: number; ohm?: number; friction?: number; segments?: number } = {},
): string {
  const random = seededRandom(seed);
  const near = (part: number): number => Math.exp(part * random.normal());
  const { volts = 13, segments = 8 } = of;
  const ohm = (of.ohm ?? 0.9) * near(0.02);
  const friction = (of.friction ?? 0.1) * near(0.03);
  const [henry, k, inertia] = [0.0014, 0.03 * near(0.015), 4e-5];
  const lines = ['Time (s),CH1 (A)'];
  const step = 1 / RATE / 20;
  let [current, speed, angle] = [0, 0, 0];
  for (let n = 0; n < 1.9 * RATE; n++) {
    const t = n / RATE;
    const isOn = t >= 0.3 && t < 1.5;
    for (let s = 0; s < 20; s++) {
      if (isOn) current += (step * (volts - ohm * current - k * speed)) / henry;
      else current = 0;
      const drive = k * current - (speed > 0 ? friction : Math.min(friction, k * current));
      speed = Math.max(0, speed + (step * drive) / inertia);
      angle += step * speed;
    }
    const ripple = isOn ? 0.04 * current * Math.sin(segments * angle) : 0;
    lines.push(`${t.toFixed(5)},${(current + ripple + 0.01 * random.normal()).toFixed(4)}`);
  }
  return `${lines.join('\n')}\n`;
}

const limits = join(folder, 'awning.yaml');
const logsBefore = process.env.THROWBENCH_LOGS;
let learnedSaid: Called;
const judged = async (name: string, csv: string, ...args: string[]) => {
  writeFileSync(join(folder, name), csv);
  return call(judge, [name, '--clamp', limits, ...args], folder);
};

beforeAll(async () => {
  process.env.THROWBENCH_LOGS = join(folder, 'logs');
  mkdirSync(join(folder, 'good'));
  for (let n = 1; n <= 12; n++)
    writeFileSync(join(folder, 'good', `V-01${10 + n}_1.csv`), clampCsv(SEED + n));
  const args = ['--clamp', '--captures', 'good', '--title', 'Awning motor', '--out', limits];
  learnedSaid = await call(learn, [...args, '--by', 'night shift'], folder);
});
afterAll(() => {
  if (logsBefore === undefined) delete process.env.THROWBENCH_LOGS;
  else process.env.THROWBENCH_LOGS = logsBefore;
  rmSync(folder, { recursive: true, force: true });
});

describe('a unit without a model', () => {
  it('is a file of limits that names no circuit, motor or profile', () => {
    const text = readFileSync(limits, 'utf8');
    expect(text).toMatch(/^kind: clamp$/m);
    expect(text).toMatch(/^title: Awning motor$/m);
    expect(text).not.toMatch(/^(circuit|motor|profile|rig):/m);
    expect(text).toMatch(/current 40 ms after the throw/);
  });

  it('keeps the hash of its file in the record, which tells when the file was changed', async () => {
    const verified = await call(log, ['verify', '--json'], folder);
    expect(JSON.parse(verified.stdout)).toMatchObject({ learned: { asWritten: 1, faults: [] }, faults: [] });
    const store = openStore();
    const [entry] = store.listShopEntries();
    const anchor = anchorOf(store.verify().lastHash ?? '');
    store.close();
    expect(learnedSaid.stdout).toContain(`The record keeps its hash: entry ${anchor}`);
    // By another program than ours: sha256sum of GNU coreutils.
    const [sha256] = execFileSync('sha256sum', [limits], { encoding: 'utf8' }).split(' ');
    expect(entry).toMatchObject({ operator: 'night shift' });
    expect(entry?.content).toMatchObject({
      ...{ kind: 'learned-limits', path: limits, sha256, title: 'Awning motor', units: 12, starts: 12 },
    });
    const text = readFileSync(limits);
    writeFileSync(limits, `${text}# a wider limit\n`);
    const changed = await call(log, ['verify'], folder);
    writeFileSync(limits, text);
    expect(changed.code).toBe(1);
    expect(changed.stdout).toMatch(/awning\.yaml: the file was changed after it was written/);
  });

  it('learns the same from a file without times whose columns, rate and clamp are told', async () => {
    mkdirSync(join(folder, 'bare'));
    // The same samples as volts of a clamp of 10 A a volt, in the second of two columns, no times.
    const bare = (csv: string): string => {
      const rows = csv.trim().split('\n').slice(1);
      return `A,B\n${rows.map((row) => `0.5,${(Number(row.split(',')[1]) / 10).toFixed(5)}`).join('\n')}\n`;
    };
    const told = ['--time-column', 'none', '--rate', String(RATE), '--column', 'motor=B:10'];
    for (let n = 1; n <= 12; n++)
      writeFileSync(join(folder, 'bare', `V-01${10 + n}_1.csv`), bare(clampCsv(SEED + n)));
    const args = ['--clamp', '--captures', 'bare', '--title', 'Awning motor', ...told];
    const { code, stdout } = await call(learn, args, folder);
    expect(code, stdout).toBe(0);
    const centres = (text: string): string[] =>
      text.split('\n').flatMap((line) => /(inrush|running current) +\S+ A/.exec(line)?.[0] ?? []);
    expect(centres(stdout)).toHaveLength(2);
    expect(centres(stdout)).toEqual(centres(learnedSaid.stdout));
    const coarse = await call(learn, [...args, '--accuracy', '3 % + 0.2 A'], folder);
    expect(coarse.code, coarse.stdout).toBe(0);
  });

  it('passes what reads like the good ones, and says what it did not see', async () => {
    const { code, stdout } = await judged('V-0130.csv', clampCsv(SEED + 30));
    expect(stdout).toMatch(/^PASS {2}Reads like the 12 good units/);
    expect(code).toBe(0);
    expect(stdout).toMatch(/nothing is said of leads, contacts, supply or circuit/);
  });

  it.each([
    ['half as much resistance again', { ohm: 1.5 }, /inrush low by \d+ %: more resistance on its way/i],
    ['twice the friction', { friction: 0.2 }, /running current high by \d+ %: more load or friction/i],
    // Six ripples a turn in place of eight: three quarters of the frequency.
    [
      'fewer segments',
      { segments: 6 },
      /commutation ripple low by 2\d %: fewer or shorted segments, or slower/i,
    ],
  ])('with %s is told as other, by how much and what it may be', async (_, of, why) => {
    const { code, stdout } = await judged('other.csv', clampCsv(SEED + 40, of));
    expect(code).toBe(3);
    expect(stdout).toMatch(/^CANNOT TELL {2}Other than the 12 good units\./);
    expect(stdout).toMatch(why);
    expect(stdout).toMatch(/Next: run a known good unit on the same supply and clamp/);
  });

  it('accuses nobody where the supply was lower: it stands among the causes', async () => {
    const { code, stdout } = await judged('low.csv', clampCsv(SEED + 50, { volts: 8 }));
    expect(code).toBe(3);
    expect(stdout).toMatch(/or a lower supply/);
    const { verdict, checks } = JSON.parse(
      (await judged('low.csv', clampCsv(SEED + 50, { volts: 8 }), '--json')).stdout,
    );
    expect(verdict).toBe('cannot-tell');
    expect(checks.some(({ outcome }: { outcome: string }) => outcome === 'other')).toBe(true);
  });

  it('passes nothing by limits of few units that are too wide for it', async () => {
    const few = join(folder, 'few.yaml');
    mkdirSync(join(folder, 'three'));
    for (let n = 1; n <= 3; n++)
      writeFileSync(join(folder, 'three', `V-01${10 + n}_1.csv`), clampCsv(SEED + n, { ohm: 0.7 + 0.1 * n }));
    await call(learn, ['--clamp', '--captures', 'three', '--out', few], folder);
    writeFileSync(join(folder, 'next.csv'), clampCsv(SEED + 31));
    const { code, stdout } = await call(judge, ['next.csv', '--clamp', few], folder);
    expect(code).toBe(3);
    expect(stdout).toMatch(/limits of 3 units are too wide to pass anything/);
  });

  it.each([
    [
      ['--clamp', '--captures', 'good', '--profile', 'window-lift-alone'],
      /--profile does not go with --clamp/,
    ],
    [['--clamp'], /takes --captures FOLDER/],
    [['--clamp', '--captures', 'good', '--by', 'night shift'], /--by goes with --out/],
    [['--clamp', '--captures', 'good', '--out', 'awning.yaml'], /awning\.yaml: is there already/],
    [['--clamp', '--captures', 'good', '--accuracy', 'fine'], /accuracy/],
    [['--profile', 'x', '--captures', 'good', '--column', 'motor=2'], /--column goes with --clamp/],
    [['--profile', 'x', '--title', 'y', '--captures', 'good'], /--title goes with --clamp/],
    [['--clamp', '--captures', 'none'], /none: /],
  ])('refuses learn %j in one line', async (args, why) => {
    await expect(call(learn, args, folder)).rejects.toThrow(why);
  });

  it('refuses a profile beside it, and a file of another kind', async () => {
    await expect(judged('a.csv', clampCsv(1), '--profile', 'window-lift-alone')).rejects.toThrow(
      /is of a model/,
    );
    writeFileSync(join(folder, 'other.yaml'), 'kind: learned\n');
    await expect(call(judge, ['a.csv', '--clamp', 'other.yaml'], folder)).rejects.toThrow(/other\.yaml/);
  });
});
