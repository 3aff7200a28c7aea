// The house has floors; a file imports from its own floor or below, and enters another module by its index.

import { describe, expect, it } from 'vitest';
import { codeOnly, moduleOf, readSources } from './source-tree.js';

const FLOOR: Record<string, number> = {
  'firmware-protocol': 0,
  arrays: 0,
  link: 0,
  rig: 0,
  'virtual-rig': 0,
  capture: 1,
  profile: 1,
  circuit: 1,
  measure: 1,
  judge: 2,
  diagnose: 2,
  advise: 2,
  bench: 3,
  records: 3,
  reports: 3,
  commands: 4,
  screens: 4,
  cli: 5,
};

/** The virtual rig simulates the bench with the circuit model; rig and link speak the words of captures and profiles. */
const ALLOWED_UPWARD: Record<string, readonly string[]> = {
  'virtual-rig': ['circuit', 'profile', 'capture'],
  rig: ['capture', 'profile'],
  link: ['capture'],
};

const PURE = ['circuit', 'measure', 'judge', 'diagnose', 'advise'];

const sources = [...readSources('host'), ...readSources('firmware-protocol')];

describe('floors of the house', () => {
  it('finds the sources it is meant to check', () => {
    expect(sources.length).toBeGreaterThan(50);
    expect(sources.flatMap((file) => file.imports).length).toBeGreaterThan(100);
  });

  it('knows the floor of every module', () => {
    const unknown = sources.map((file) => moduleOf(file.path)).filter((name) => !(name in FLOOR));
    expect([...new Set(unknown)]).toEqual([]);
  });

  it('lets no file import from a floor above its own', () => {
    const breaches: string[] = [];
    for (const file of sources) {
      const from = moduleOf(file.path);
      for (const { target } of file.imports) {
        if (target === undefined || !/^(host|firmware-protocol)\//.test(target)) continue;
        const to = moduleOf(target);
        if (FLOOR[to]! <= FLOOR[from]! || ALLOWED_UPWARD[from]?.includes(to)) continue;
        breaches.push(`${file.path} imports ${target}`);
      }
    }
    expect(breaches).toEqual([]);
  });

  it('keeps the virtual rig blind to judging and diagnosis', () => {
    const seen = sources
      .filter((file) => moduleOf(file.path) === 'virtual-rig')
      .flatMap((file) =>
        file.imports.filter(({ target }) => /host\/(judge|diagnose|measure)\//.test(target ?? '')),
      );
    expect(seen).toEqual([]);
  });

  it('enters another module only through its index', () => {
    const breaches: string[] = [];
    for (const file of sources) {
      const from = moduleOf(file.path);
      for (const { target } of file.imports) {
        if (target === undefined || !/^(host|firmware-protocol)\//.test(target)) continue;
        const to = moduleOf(target);
        if (to === from || /\/index\.js$/.test(target) || from === 'cli') continue;
        breaches.push(`${file.path} reaches into ${target}`);
      }
    }
    expect(breaches).toEqual([]);
  });

  it('has no cycle between modules, types apart', () => {
    const edges = new Map<string, Set<string>>();
    for (const file of sources) {
      const from = moduleOf(file.path);
      for (const { target, typeOnly } of file.imports) {
        if (target === undefined || typeOnly || !/^(host|firmware-protocol)\//.test(target)) continue;
        const to = moduleOf(target);
        if (to !== from) edges.set(from, (edges.get(from) ?? new Set()).add(to));
      }
    }
    const cycles: string[] = [];
    const walk = (name: string, path: string[]): void => {
      if (path.includes(name)) {
        cycles.push([...path.slice(path.indexOf(name)), name].join(' -> '));
        return;
      }
      for (const next of edges.get(name) ?? []) walk(next, [...path, name]);
    };
    for (const name of edges.keys()) walk(name, []);
    expect(cycles).toEqual([]);
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

  it('never asks for a circuit style by its name outside profile data', () => {
    const breaches = sources
      .filter((file) =>
        /style(\.id)?\s*===\s*'|case\s+'(switch-carried|ground-thrown)/.test(codeOnly(file.text)),
      )
      .map((file) => file.path);
    expect(breaches).toEqual([]);
  });
});
