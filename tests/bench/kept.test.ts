// What a profile's verdicts rest on is found again by the next process as it was left; never for another profile or
// another program, and never broken.

import {
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { isDeepStrictEqual } from 'node:util';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { prepareProfile } from '../../host/bench/preparing/index.js';
import { kept } from '../../host/bench/preparing/kept.js';
import { faultsOfUnit, nominalInput } from '../../host/circuit/index.js';
import { type Judgement, judge } from '../../host/judge/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { digestOf } from '../../host/program/cache.js';
import { cacheDir } from '../../host/program/index.js';
import { withFaults } from '../circuit/with-faults.js';
import { benchRun } from '../judge/bench.js';
import { plannedUnit } from '../profile/planned-unit.js';

let dir: string;
beforeEach(() => {
  dir = mkdtempSync(join(tmpdir(), 'throwbench-kept-'));
});
afterEach(() => rmSync(dir, { recursive: true, force: true }));

const files = (): string[] => readdirSync(dir).map((name) => join(dir, name));
const fewDraws = (id: string): ResolvedUnit => {
  const unit = plannedUnit(id);
  return { ...unit, unit: { ...unit.unit, rules: { ...unit.unit.rules, draws: 20 } } };
};

describe('a kept value', () => {
  it('comes back as it was: numbers to the last bit, infinities, gaps and what is one object twice', () => {
    const shared = { ohm: Number.POSITIVE_INFINITY };
    const value = { shared, again: shared, samples: Float64Array.of(0.1, Number.NaN, -0), open: undefined };
    kept('a', { of: 1 }, dir).keep(value);
    const found = kept<typeof value>('a', { of: 1 }, dir).find();
    expect(found).toEqual(value);
    expect(found?.again).toBe(found?.shared);
  });

  it('is found by its name and by all that it depends on, infinity and nothing being two things', () => {
    const places = [
      kept('a', { limitOhm: 1 }, dir),
      kept('b', { limitOhm: 1 }, dir),
      kept('a', { limitOhm: 2 }, dir),
      kept('a', { limitOhm: Number.POSITIVE_INFINITY }, dir),
      kept('a', { limitOhm: Number.NEGATIVE_INFINITY }, dir),
      kept('a', { limitOhm: null }, dir),
    ];
    places.forEach((place, n) => {
      expect(place.find()).toBeUndefined();
      place.keep({ n });
    });
    expect(places.map((place) => place.find())).toEqual(places.map((_, n) => ({ n })));
  });

  it('counts as not there once a byte of its file is another, is lost or is added', () => {
    const value = { samples: Float64Array.from({ length: 50 }, (_, i) => i), words: 'as it was' };
    const place = kept('a', 1, dir);
    place.keep(value);
    const [path = ''] = files();
    const bytes = readFileSync(path);
    fc.assert(
      fc.property(fc.nat(bytes.length - 1), fc.integer({ min: 1, max: 255 }), (at, change) => {
        const broken = Buffer.from(bytes);
        broken[at] = (bytes[at] ?? 0) ^ change;
        for (const left of [broken, bytes.subarray(0, at), Buffer.concat([bytes, Buffer.of(change)])]) {
          writeFileSync(path, left);
          expect(place.find()).toBeUndefined();
        }
      }),
    );
    place.keep(value);
    expect(place.find()).toEqual(value);
  });

  it('leaves the work undisturbed where nothing can be written or kept', () => {
    const file = join(dir, 'file');
    writeFileSync(file, '');
    for (const nowhere of [join(file, 'below'), undefined]) {
      const place = kept('a', 1, nowhere);
      expect(() => place.keep({ n: 1 })).not.toThrow();
      expect(place.find()).toBeUndefined();
    }
    const made = kept('a', 1, join(dir, 'new', 'folder'));
    made.keep({ n: 1 });
    expect(made.find()).toEqual({ n: 1 });
    const withFunction = kept('a', 2, dir);
    withFunction.keep({ n: () => 1 });
    expect(withFunction.find()).toBeUndefined();
    expect(files().map((path) => path.endsWith('file') || path.endsWith('new'))).toEqual([true, true]);
  });

  it('makes room for newer ones, those used last staying', () => {
    const place = (n: number) => kept('a', n, dir);
    for (let n = 0; n < 60; n++) place(n).keep({ n });
    for (const path of files()) utimesSync(path, 1000, 1000);
    expect(place(0).find()).toEqual({ n: 0 });
    for (let n = 60; n < 70; n++) place(n).keep({ n });
    expect(files()).toHaveLength(60);
    expect(place(0).find()).toEqual({ n: 0 });
    for (let n = 60; n < 70; n++) expect(place(n).find()).toEqual({ n });
  });

  it('lies in the folder that is named, in the one for such things, or nowhere', () => {
    const env = { XDG_CACHE_HOME: join('/', 'x'), LOCALAPPDATA: join('/', 'l') };
    expect(cacheDir({ env: { THROWBENCH_CACHE: join('/', 'a') }, platform: 'linux' })).toBe(join('/', 'a'));
    expect(cacheDir({ env, platform: 'linux' })).toBe(join('/', 'x', 'throwbench'));
    expect(cacheDir({ env, platform: 'win32' })).toBe(join('/', 'l', 'throwbench'));
    expect(cacheDir({ env: {}, platform: 'linux' })).toMatch(/\.cache.throwbench$/);
    expect(cacheDir({ env: { ...env, THROWBENCH_CACHE: 'off' }, platform: 'linux' })).toBeUndefined();
  });
});

describe('the digest of a program', () => {
  it('is another with any other line of code, name of a file or file, and the same at another place', () => {
    const program = join(dir, 'program');
    mkdirSync(join(program, 'below'), { recursive: true });
    writeFileSync(join(program, 'cli.js'), 'main();\n');
    writeFileSync(join(program, 'below', 'rule.ts'), 'export const PART = 0.9;\n');
    writeFileSync(join(program, 'cli.js.map'), '{}');
    const digest = digestOf(program);
    cpSync(program, join(dir, 'copy'), { recursive: true });
    const copy = (name: string) => join(dir, 'copy', name);
    expect(digestOf(join(dir, 'copy'))).toBe(digest);
    writeFileSync(copy('cli.js.map'), '{"x":1}');
    expect(digestOf(join(dir, 'copy'))).toBe(digest);
    const changes = [
      () => writeFileSync(copy('more.tsx'), ''),
      () => writeFileSync(copy('below/rule.ts'), 'export const PART = 0.8;\n'),
      () => rmSync(copy('cli.js')),
    ];
    const digests = changes.map((change) => {
      change();
      return digestOf(join(dir, 'copy'));
    });
    expect(new Set([digest, ...digests]).size).toBe(4);
  });
});

describe('a profile prepared again', () => {
  const judged = (unit: ResolvedUnit, fault: string, cacheDir: string): Judgement => {
    const run = benchRun(unit, withFaults(nominalInput(unit), fault), { seed: 71 });
    const { expectation, library, close } = prepareProfile(unit, { findings: true, dir: cacheDir });
    const judgement = judge({ unit, ...run, expectation: expectation(), library });
    close();
    return judgement;
  };

  it.each(['window-lift-switch', 'mini-changeover-alone'])(
    'judges %s as at first, from what was kept',
    (id) => {
      const unit = fewDraws(id);
      const fault = faultsOfUnit(unit)[0]?.id ?? '';
      const first = judged(unit, fault, dir);
      expect(first.findings).not.toEqual([]);
      expect(files()).toHaveLength(2);
      // The runner's own comparison takes a minute for files of megabytes.
      const bytes = () => files().map((path) => readFileSync(path));
      const stood = bytes();
      expect(judged(unit, fault, dir)).toEqual(first);
      // Nothing new was asked, so nothing was written.
      expect(isDeepStrictEqual(bytes(), stood)).toBe(true);
      const { expectation, library } = prepareProfile(unit, { findings: true, dir });
      const fresh = prepareProfile(unit, { findings: true, dir: join(dir, 'other') });
      expect(isDeepStrictEqual(expectation(), fresh.expectation())).toBe(true);
      const patterns = (from: typeof library) => from().entries.map((entry) => entry.patterns);
      expect(isDeepStrictEqual(patterns(library), patterns(fresh.library))).toBe(true);
    },
    180_000,
  );

  it('works out anew for another rule of the profile, not for another reading of the rig', () => {
    const unit = fewDraws('window-lift-switch');
    prepareProfile(unit, { findings: false, dir }).expectation();
    expect(files()).toHaveLength(1);
    const calibrated = {
      ...unit,
      rig: {
        ...unit.rig,
        scales: { ...unit.rig.scales, supplyVoltageV: { atZeroCount: 0, perCount: 0.02 } },
      },
    };
    // What the rig reads by moves no good unit.
    expect(prepareProfile(calibrated as ResolvedUnit, { findings: false, dir }).expectation()).toBeDefined();
    expect(files()).toHaveLength(1);
    const other = { ...unit, unit: { ...unit.unit, rules: { ...unit.unit.rules, draws: 21 } } };
    const [one, two] = [unit, other].map((of) => prepareProfile(of, { findings: false, dir }).expectation());
    expect(files()).toHaveLength(2);
    expect(one).not.toEqual(two);
  });

  it('keeps what probes were answered, and asks no second time', () => {
    const unit = fewDraws('window-lift-switch');
    judged(unit, 'jumper-a2-b1-missing', dir);
    const { library } = prepareProfile(unit, { findings: true, dir });
    expect(library().entries.filter(({ answers }) => Object.keys(answers).length > 0).length).toBeGreaterThan(
      1,
    );
  });
});
