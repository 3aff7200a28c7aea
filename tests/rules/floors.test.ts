// The house has floors: a file imports from a lower floor or from its own module, types too, and enters another module
// by one of the entrances named here.

import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { codeOnly, type Import, moduleOf, ROOT, readSources, type SourceFile } from './source-tree.js';

/** Lower ones never know of higher ones. What stands on one floor does not know of its neighbours either. */
const FLOORS: readonly (readonly string[])[] = [
  ['arrays', 'fields', 'firmware-protocol', 'input', 'program', 'tell'],
  ['capture', 'link'],
  ['profile'],
  ['circuit', 'rig'],
  ['measure', 'virtual-rig'],
  ['learn'],
  ['diagnose'],
  ['judge', 'probe', 'reports'],
  ['plan'],
  ['records'],
  ['bench'],
  ['screens'],
  ['commands'],
  ['cli'],
];

/** Parts of a module that other modules may enter by themselves, so that they need not load the whole. */
const OPEN_PARTS = [
  'bench/preparing',
  'bench/replay',
  'bench/threads',
  'bench/training',
  'records/correction',
  'records/sending',
  'records/server',
  'reports/circuit',
  'reports/sheet',
  'reports/site',
  'virtual-rig/board',
];
/** Parts that only their own module enters. */
const INNER_PARTS = ['diagnose/probing', 'judge/relay', 'measure/model', 'measure/relay'];

/** See captures, profiles and circuits only: what they say of a run they say of its stored capture too. */
const PURE = ['circuit', 'measure', 'learn', 'judge', 'diagnose', 'probe', 'plan'];
const HARDWARE = ['link', 'rig', 'virtual-rig', 'records', 'bench'];

const floorOf = (module: string): number => FLOORS.findIndex((modules) => modules.includes(module));

const sources = [...readSources('host'), ...readSources('firmware-protocol')];

/** Modules whose files still import each other in circles. */
const STILL_ROUND = ['circuit', 'measure', 'diagnose', 'judge'];

/** Imports within the house that a rule forbids, as `file imports target`. */
function breaches(isForbidden: (file: SourceFile, to: Import & { target: string }) => boolean): string[] {
  return sources.flatMap((file) =>
    file.imports.flatMap((to) => {
      const { target } = to;
      if (target === undefined || !/^(host|firmware-protocol)\//.test(target)) return [];
      return isForbidden(file, { ...to, target }) ? [`${file.path} imports ${target}`] : [];
    }),
  );
}

/** `host/judge/relay/limits.js` belongs to part `judge/relay`, `host/judge/joint.js` to `judge`. */
const partOf = (path: string): string =>
  [...OPEN_PARTS, ...INNER_PARTS].find((part) => path.startsWith(`host/${part}/`)) ?? moduleOf(path);

/** A part is inside of its module, and its files may use the module's own. */
const insideOf = (path: string, part: string): boolean => partOf(path) === part || moduleOf(path) === part;

const entranceOf = (part: string): string =>
  part === 'firmware-protocol' ? `${part}/index.js` : `host/${part}/index.js`;

/** Each circle once, as the files along it. */
function circles(files: readonly SourceFile[]): string[] {
  const next = new Map(
    files.map(({ path, imports }) => [
      path.replace(/\.tsx?$/, '.js'),
      imports.flatMap(({ target }) => target ?? []),
    ]),
  );
  const found: string[] = [];
  const done = new Set<string>();
  const walk = (path: string, before: readonly string[]): void => {
    if (before.includes(path)) found.push([...before.slice(before.indexOf(path)), path].join(' -> '));
    if (done.has(path)) return;
    done.add(path);
    for (const target of next.get(path) ?? []) walk(target, [...before, path]);
  };
  for (const path of next.keys()) walk(path, []);
  return found;
}

describe('floors of the house', () => {
  it('finds the sources it is meant to check', () => {
    expect(sources.length).toBeGreaterThan(50);
    expect(sources.flatMap((file) => file.imports).length).toBeGreaterThan(100);
  });

  it('names every module in one floor, and no module that is not there', () => {
    const there = new Set(sources.map((file) => moduleOf(file.path)));
    expect(FLOORS.flat().sort()).toEqual([...there].sort());
    const parts = sources.map((file) => file.path.split('/').slice(1, -1).join('/'));
    for (const part of [...OPEN_PARTS, ...INNER_PARTS]) expect(parts, part).toContain(part);
    for (const module of [...PURE, ...HARDWARE]) expect(there, module).toContain(module);
  });

  it('lets no file import from its own floor or above, types included', () => {
    expect(
      breaches((file, to) => {
        const [from, target] = [moduleOf(file.path), moduleOf(to.target)];
        return from !== target && floorOf(target) >= floorOf(from);
      }),
    ).toEqual([]);
  });

  it('keeps the virtual rig blind to measuring, and physics and judging blind to rig, records and run', () => {
    expect(
      breaches((file, to) => {
        const [from, target] = [moduleOf(file.path), moduleOf(to.target)];
        return (
          (from === 'virtual-rig' && ['judge', 'diagnose', 'measure'].includes(target)) ||
          (PURE.includes(from) && HARDWARE.includes(target))
        );
      }),
    ).toEqual([]);
  });

  it('enters a module or a part of one only by the entrance named here', () => {
    expect(
      breaches((file, { target }) => {
        const part = partOf(target);
        if (insideOf(file.path, part)) return false;
        const isOwnModule = moduleOf(file.path) === moduleOf(target);
        return target !== entranceOf(part) || (INNER_PARTS.includes(part) && !isOwnModule);
      }),
    ).toEqual([]);
  });

  it('has no circle between the files of a module, types included', () => {
    expect(circles(sources.filter((file) => !STILL_ROUND.includes(moduleOf(file.path))))).toEqual([]);
  });

  it('keeps physics, numbers and judging free of input, output, clock and chance', () => {
    const forbidden =
      /'node:(?!util)|\bDate\.now\b|\bnew Date\b|\bMath\.random\b|\bperformance\.|\bprocess\.|\bsetTimeout\b|\bsetInterval\b|\bconsole\./;
    const breaches = sources
      .filter((file) => PURE.includes(moduleOf(file.path)))
      .filter((file) => forbidden.test(codeOnly(file.text)))
      .map((file) => `${file.path}: ${codeOnly(file.text).match(forbidden)?.[0]}`);
    expect(breaches).toEqual([]);
  });

  it('learns nothing of a channel from its name, and shows that name to nobody', () => {
    const asked = /\bchannel\w*\.(endsWith|startsWith|replace|match)\(|\s\$\{(\w+\.)?channel\}/;
    const breaches = sources.filter((file) => asked.test(codeOnly(file.text))).map((file) => file.path);
    expect(breaches).toEqual([]);
  });

  it('never asks for a circuit style by its name outside profile data', () => {
    const ids = readdirSync(join(ROOT, 'profiles', 'circuits')).map((name) => name.replace(/\.ya?ml$/, ''));
    expect(ids.length).toBeGreaterThan(5);
    const named = new RegExp(`['"\`](${ids.join('|')})['"\`]|style(\\.id)?\\s*===\\s*['"]`);
    const asking = sources.filter((file) => named.test(codeOnly(file.text))).map((file) => file.path);
    expect(asking).toEqual([]);
  });
});
