// What stands at the top of the repository, and what its papers promise.

import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { listFiles, ROOT } from './source-tree.js';

const HOUSE = [
  'README.md',
  'DEVELOPERS.md',
  'LICENSE',
  'package.json',
  'tsconfig.json',
  'host',
  'firmware-protocol',
  'profiles',
  'tests',
  'logs',
];
/** Only what a tool requires at the top, with the tool. */
const TOOLS: Record<string, string> = {
  '.ci': 'gate',
  '.gitignore': 'git',
  '.gitattributes': 'git',
  'package-lock.json': 'npm',
  'tsconfig.build.json': 'tsc',
  'vitest.config.ts': 'vitest',
  'biome.json': 'biome',
};

const tracked = execFileSync('git', ['ls-files'], { cwd: ROOT, encoding: 'utf8' }).trim().split('\n');

describe('repository', () => {
  it('holds at its top the house and what tools require, nothing else', () => {
    const top = [...new Set(tracked.map((path) => path.split('/')[0]!))];
    expect(top.filter((name) => !HOUSE.includes(name) && !(name in TOOLS))).toEqual([]);
    expect(HOUSE.filter((name) => !top.includes(name))).toEqual([]);
  });

  it('keeps no recorded run and no build product under version control', () => {
    expect(
      tracked.filter((path) => /^(logs\/(?!\.gitkeep)|dist\/|node_modules\/)|\.sqlite|\.elf$/.test(path)),
    ).toEqual([]);
  });

  it('opens the README with the job in one paragraph and names both commands as they are', () => {
    const readme = readFileSync(join(ROOT, 'README.md'), 'utf8');
    const [title, job] = readme.split('\n\n');
    expect(title).toMatch(/^# Throwbench$/);
    expect(job).toMatch(/motor/);
    expect(job).not.toMatch(/\n[#-]/);
    expect(readme).toContain('npm ci && npm start');
    expect(readme).toContain('npm ci && npm test');
  });

  it('gives every source file a head that says what it is for', () => {
    const headless = ['host', 'firmware-protocol']
      .flatMap((folder) => listFiles(folder, (name) => /\.(tsx?|c)$/.test(name)))
      .filter((path) => !/(^|\/)index\.ts$/.test(path))
      .filter((path) => !/^(#!.*\n)?\s*(\/\/|\/\*)/.test(readFileSync(join(ROOT, path), 'utf8')));
    expect(headless).toEqual([]);
  });
});
