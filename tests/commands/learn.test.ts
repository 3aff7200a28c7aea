// `throwbench learn` on captures of the simulated bench, and `judge --learned` with what it wrote.

import { cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { command as judgeCommand } from '../../host/commands/verbs/judge.js';
import { command } from '../../host/commands/verbs/learn.js';
import { command as trayCommand } from '../../host/commands/verbs/tray.js';
import { learnedSchema, loadUnit, YamlFile } from '../../host/profile/index.js';
import { writeStarts } from '../learn/workshop.js';
import { call } from './call.js';

const PROFILE = 'window-lift-alone';
const folder = mkdtempSync(join(tmpdir(), 'throwbench-learn-'));
const learn = (...args: string[]) => call(command, ['--profile', PROFILE, ...args], folder);
const taken = (into: string, ...tags: string[]): void => {
  for (const tag of tags) cpSync(join(folder, 'all', `${tag}_1.csv`), join(folder, into, `${tag}_1.csv`));
};

/** The same unit again: a capture that ends some samples sooner. */
function shortened(tag: string, into: string, lines: number): void {
  const text = readFileSync(join(folder, 'all', `${tag}_1.csv`), 'utf8')
    .trimEnd()
    .split('\n');
  writeFileSync(join(folder, into), `${text.slice(0, -lines).join('\n')}\n`);
}

const logsBefore = process.env.THROWBENCH_LOGS;

beforeAll(() => {
  process.env.THROWBENCH_LOGS = join(folder, 'logs');
  const unit = loadUnit(PROFILE);
  for (let n = 1; n <= 6; n++) writeStarts(join(folder, 'all'), unit, { tag: `V-010${n}`, seed: 500 + n });
  writeStarts(join(folder, 'odd'), unit, { tag: 'V-0200', seed: 520, motorScale: { resistanceOhm: 1.8 } });
}, 120_000);
afterAll(() => {
  if (logsBefore === undefined) delete process.env.THROWBENCH_LOGS;
  else process.env.THROWBENCH_LOGS = logsBefore;
  rmSync(folder, { recursive: true, force: true });
});

interface Told {
  verdict: string;
  sentence: string;
  checks: { id: string; origin: string; outcome: string; sentence: string; required: boolean }[];
  findings: { id: string; likelihood: number }[];
}
const LIMITS = join(folder, 'judged.yaml');

/** Judged with the limits that the first test wrote, wherever that ran. */
async function judged(file: string, limits = LIMITS): Promise<Told> {
  if (!existsSync(LIMITS)) await learn('--captures', 'all', '--out', LIMITS);
  const args = [file, '--profile', PROFILE, '--learned', limits, '--json'];
  return JSON.parse((await call(judgeCommand, args, folder)).stdout) as Told;
}

describe('a capture that no rig took', () => {
  // A motor shorted between its leads, through a clamp that ends at 40 A: a rig's over-current stop would have come first.
  it('is refused for the cause that judge names', async () => {
    const rows = Array.from({ length: 6000 }, (_, k) => {
      const t = k / 5000;
      const currentA = (t > 0.3 && t < 0.9 ? 40 : 0) + 0.05 * Math.sin(7.3 * k) * Math.sin(3.1 * k);
      return `${t.toFixed(4)},${currentA.toFixed(3)}`;
    });
    mkdirSync(join(folder, 'short'), { recursive: true });
    writeFileSync(join(folder, 'short', 'V-0300_1.csv'), ['Time (s),Current (A)', ...rows].join('\n'));
    const args = [join('short', 'V-0300_1.csv'), '--profile', PROFILE, '--json'];
    const { verdict, sentence } = JSON.parse((await call(judgeCommand, args, folder)).stdout) as Told;
    expect(verdict).toBe('fail');
    expect(sentence).toMatch(/^The motor is shorted between lead A and lead B/);
    await expect(learn('--captures', 'short')).rejects.toThrow(
      /fails: The motor is shorted between lead A and lead B/,
    );
  }, 120_000);
});

describe('judge --learned', () => {
  it('passes a further good unit by limits that it calls learned, of 6 good units', async () => {
    writeStarts(join(folder, 'next'), loadUnit(PROFILE), { tag: 'V-0110', seed: 510 });
    const { verdict, sentence, checks } = await judged('next/V-0110_1.csv');
    expect(verdict, sentence).toBe('pass');
    const running = checks.find(({ id }) => id === 'running-forward');
    expect(running).toMatchObject({ origin: 'learned', outcome: 'pass' });
    expect(running?.sentence).toMatch(/\(expected [\d.]+ to [\d.]+ A, of 6 good units\)/);
    expect(checks.find(({ id }) => id === 'learned-back-emf-forward')).toMatchObject({ origin: 'learned' });
    const together = checks.find(({ id }) => id === 'learned-together');
    expect(together, together?.sentence).toMatchObject({
      origin: 'learned',
      outcome: 'pass',
      required: true,
    });
    expect(sentence).not.toMatch(/Generic limits, unproven:[^.]*running current/);
  });

  it('accuses no part where a good unit leaves no more than the limit of all readings together', async () => {
    writeStarts(join(folder, 'next'), loadUnit(PROFILE), { tag: 'V-0113', seed: 513 });
    await judged('next/V-0113_1.csv');
    const narrow = join(folder, 'narrow.yaml');
    // Of 100 good units five may stand outside; this limit puts one there.
    writeFileSync(narrow, readFileSync(LIMITS, 'utf8').replace(/(together:\s+upper:) [\d.]+/, '$1 0.2'));
    const { verdict, checks, findings } = await judged('next/V-0113_1.csv', narrow);
    expect(verdict).toBe('fail');
    expect(checks.filter(({ outcome }) => outcome === 'fail').map(({ id }) => id)).toEqual([
      'learned-together',
    ]);
    expect(findings[0]).toMatchObject({ id: 'healthy' });
    for (const { id, likelihood } of findings.slice(1)) expect(likelihood, id).toBeLessThan(0.5);
  });

  it('fails a motor that the usual limits of its family would let pass', async () => {
    const weak = { backEmfVsPerRad: 0.6, torqueNmPerA: 0.6 };
    writeStarts(join(folder, 'next'), loadUnit(PROFILE), { tag: 'V-0111', seed: 511, motorScale: weak });
    const { verdict, checks } = await judged('next/V-0111_1.csv');
    expect(verdict).toBe('fail');
    const failing = checks.filter(({ outcome }) => outcome === 'fail');
    expect(failing.length).toBeGreaterThan(0);
    expect(failing.every(({ origin }) => origin === 'learned')).toBe(true);
  });

  it('is silent on a supply that was not seen, and says so', async () => {
    writeStarts(join(folder, 'next'), loadUnit(PROFILE), { tag: 'V-0112', seed: 512, supplyV: 11.6 });
    const { checks } = await judged('next/V-0112_1.csv');
    const told = checks.find(({ id }) => id === 'learned-limits');
    expect(told).toMatchObject({ outcome: 'not-tested', required: false });
    expect(told?.sentence).toMatch(
      /say nothing of this run: the supply stands at 11.\d V, and they are of 1[23].\d to/,
    );
    expect(checks.find(({ id }) => id === 'running-forward')?.origin).toBe('generic');
  });

  it('takes the limits that the profile itself names, seen from its own file', async () => {
    await judged('all/V-0101_1.csv');
    const own = readFileSync(new URL(`../../profiles/units/${PROFILE}.yaml`, import.meta.url), 'utf8');
    mkdirSync(join(folder, 'units'), { recursive: true });
    const path = join(folder, 'units', `${PROFILE}.yaml`);
    writeFileSync(path, `${own}\nlearned: ../judged.yaml\n`);
    const told = await call(judgeCommand, ['all/V-0101_1.csv', '--profile', path, '--json'], folder);
    const { checks } = JSON.parse(told.stdout) as Told;
    expect(checks.find(({ id }) => id === 'running-forward')?.origin).toBe('learned');
    writeFileSync(path, `${own}\nlearned: ../nowhere.yaml\n`);
    const missing = call(judgeCommand, ['all/V-0101_1.csv', '--profile', path], folder);
    await expect(missing).rejects.toThrow(/nowhere.yaml: no such file/);
  });

  it('refuses limits of another profile in one line', async () => {
    await judged('all/V-0101_1.csv');
    const args = [
      'all/V-0101_1.csv',
      '--profile',
      'roof-vent-switch',
      '--learned',
      join(folder, 'judged.yaml'),
    ];
    await expect(call(judgeCommand, args, folder)).rejects.toThrow(
      /judged.yaml:\d+: profile: these limits are of window-lift-alone, and this is roof-vent-switch/,
    );
  });
});

describe('tray --learned', () => {
  it('refuses limits of no unit of the tray in one line, before anything is run', async () => {
    await judged('all/V-0101_1.csv');
    const asked = call(trayCommand, ['tray', '--learned', join(folder, 'judged.yaml')], folder);
    await expect(asked).rejects.toThrow(
      /these limits are of window-lift-alone, and no unit of the tray is one/,
    );
  });
});

describe('throwbench learn', () => {
  it('writes a profile part that a person reads, and never over one that is there', async () => {
    const first = await learn('--captures', 'all', '--units', '6', '--out', 'limits.yaml');
    expect(first.code, first.stderr).toBe(0);
    expect(first.stdout).toMatch(/Limits from 6 good units, 6 starts/);
    expect(first.stdout).toMatch(/hold 95.0 % of good units, with 90 % confidence/);
    const path = join(folder, 'limits.yaml');
    const text = readFileSync(path, 'utf8');
    const learned = learnedSchema.parse(YamlFile.read(path).value());
    expect(learned).toMatchObject({ units: 6, starts: 6, profile: PROFILE, coverage: 0.95, confidence: 0.9 });
    expect(learned.runs[0]).toMatchObject({ unit: 'V-0101', run: 'V-0101_1.csv' });
    expect(learned.runs[0]?.sha256).toMatch(/^[0-9a-f]{64}$/);
    const inrush = learned.quantities.forwardInrushPeakA;
    expect(inrush).toMatchObject({ unit: 'A', units: 6, supplyPower: 1 });
    expect(inrush?.lower).toBeLessThan(inrush?.centre ?? 0);
    const together = learned.together;
    expect(first.stdout).toContain(`${together?.readings.length} readings taken together: at most`);
    expect(together).toMatchObject({ coverage: 0.975, confidence: 0.95 });
    expect(together?.readings.map(({ reading }) => reading)).toContain('forwardInrushPeakA');
    await expect(learn('--captures', 'all', '--out', 'limits.yaml')).rejects.toThrow(
      /limits.yaml: is there already, and limits are never overwritten; name another file, such as .*limits-2.yaml/,
    );
    expect(readFileSync(path, 'utf8')).toBe(text);
  });

  it('tells two units as a comparison, says what is missing, and writes nothing', async () => {
    taken('two', 'V-0101', 'V-0102');
    const { code, stdout } = await learn('--captures', 'two', '--out', 'two.yaml');
    expect(code).toBe(3);
    expect(stdout).toMatch(/2 good units tell a comparison and no limits: 1 more is missing to the 3/);
    expect(existsSync(join(folder, 'two.yaml'))).toBe(false);
  });

  it('counts runs of one tag as starts of one unit', async () => {
    taken('one', 'V-0101');
    for (const n of [2, 3]) shortened('V-0101', join('one', `V-0101_${n}.csv`), n);
    const { code, stdout } = await learn('--captures', 'one');
    expect(code).toBe(3);
    expect(stdout).toMatch(/V-0101: 3 runs, counted as 3 starts of one unit/);
    expect(stdout).toMatch(/One good unit tells a comparison and no limits: 2 more are missing/);
    await expect(learn('--captures', 'one', '--units', '3')).rejects.toThrow(/the tags are of 1 \(V-0101\)/);
  });

  it('names a unit that stands apart, and writes only when told to keep it', async () => {
    taken('odd', 'V-0101', 'V-0102', 'V-0103', 'V-0104', 'V-0105', 'V-0106');
    const { code, stdout } = await learn('--captures', 'odd', '--out', 'odd.yaml');
    expect(code, stdout).toBe(3);
    expect(stdout).toMatch(/V-0200 stands apart from the other units: /);
    expect(stdout).not.toMatch(/V-010\d stands apart/);
    expect(existsSync(join(folder, 'odd.yaml'))).toBe(false);
    expect((await learn('--captures', 'odd', '--keep-odd')).code).toBe(0);
  });

  it('points at one unit under two tags', async () => {
    taken('twice', 'V-0101', 'V-0102', 'V-0103', 'V-0104');
    shortened('V-0104', join('twice', 'V-0109_1.csv'), 1);
    const { stdout } = await learn('--captures', 'twice');
    expect(stdout).toMatch(/V-0104 and V-0109 read alike in all \d+ readings.*one unit, counted twice\?/);
  });

  it('points at one capture saved again under further tags, and at captures in a folder inside', async () => {
    taken('thrice', 'V-0101');
    shortened('V-0101', join('thrice', 'V-0108_1.csv'), 1);
    shortened('V-0101', join('thrice', 'V-0109_1.csv'), 2);
    taken(join('thrice', 'older'), 'V-0102');
    const { stdout } = await learn('--captures', 'thrice');
    expect(stdout).toMatch(/V-0101 and V-0108 read alike in all \d+ readings/);
    expect(stdout).toMatch(/V-0101 and V-0109 read alike in all \d+ readings/);
    expect(stdout).toMatch(
      /^Not read: 1 capture in the folder older inside it\. Put all captures of one batch/m,
    );
  });

  it('refuses one tag that is typed in two ways', async () => {
    taken('typed', 'V-0101', 'V-0102', 'V-0103');
    for (const tag of ['v0101', 'V 0101', 'v-0101']) {
      const path = join(folder, 'typed', `${tag}_2.csv`);
      cpSync(join(folder, 'all', 'V-0104_1.csv'), path);
      await expect(learn('--captures', 'typed')).rejects.toThrow(
        /typed: (V-0101 and v.?0101|V.0101 and V.0101) read like one tag, and would count as two units; name all/i,
      );
      rmSync(path);
    }
  });

  it('refuses a copy of a capture, under another tag or as another start', async () => {
    taken('copied', 'V-0101', 'V-0102', 'V-0103');
    for (const name of ['V-0101_2.csv', 'V-0199_1.csv']) {
      const path = join(folder, 'copied', name);
      cpSync(join(folder, 'all', 'V-0101_1.csv'), path);
      await expect(learn('--captures', 'copied')).rejects.toThrow(
        new RegExp(`${name}: is a copy of V-0101_1\\.csv, and both are one run; leave one of them out`),
      );
      rmSync(path);
    }
  });

  it('says in one line what is no folder, an empty one, a relay alone', async () => {
    await expect(learn('--captures', 'nowhere')).rejects.toThrow(/nowhere: no such file; check the path/);
    await expect(
      call(command, ['--profile', 'mini-changeover-alone', '--captures', 'all'], folder),
    ).rejects.toThrow(/limits are learned of motors/);
    await expect(learn()).rejects.toThrow(/--runs RUN,RUN,… or --captures FOLDER/);
  });
});

describe('learn --against', () => {
  it('holds a batch, a bad unit too, against limits of others, and draws the unit under test', async () => {
    const limits = join(folder, 'judged.yaml');
    if (!existsSync(limits)) await learn('--captures', 'all', '--out', limits);
    cpSync(join(folder, 'all'), join(folder, 'beside'), { recursive: true });
    cpSync(join(folder, 'odd'), join(folder, 'beside'), { recursive: true });
    const picture = join(folder, 'dots.svg');
    const args = ['--captures', 'beside', '--against', limits, '--test', 'V-0200'];
    const { stdout } = await learn(...args, '--svg', picture);
    expect(stdout).toMatch(/^6 units, 6 starts, beside limits of 6 good units:$/m);
    expect(stdout.replaceAll('\n', ' ')).toMatch(
      /V-0200, the unit under test, lies furthest from the others in/,
    );
    expect(readFileSync(picture, 'utf8')).toMatch(/>V-0200</);
    const told = JSON.parse((await learn(...args, '--json')).stdout);
    expect(told).toMatchObject({ units: 6, starts: 6 });
    expect(told.quantities[0].capability.cpk.value).toBeGreaterThan(0);
  });

  it.each([
    [['--captures', 'all', '--test', 'V-0101'], /go with --against FILE/],
    [['--captures', 'all', '--against', 'x.yaml', '--out', 'y.yaml'], /learns nothing/],
    [['--captures', 'all', '--against', 'nope.yaml'], /nope\.yaml: no such file/],
  ])('refuses %j in one line', async (args, why) => {
    await expect(learn(...args)).rejects.toThrow(why);
  });
});
