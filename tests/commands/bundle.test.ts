// The archive for a computer on which nothing is installed: made, unpacked elsewhere, started by its one file with no Node
// in sight. It is made with the Node that runs the tests, so that nothing is fetched; others by `--node`.

import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readdirSync, renameSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { makeBundle } from '../../host/bundle.js';
import { isOurs, TARGETS } from '../../host/bundle-parts.js';
import { ROOT } from '../rules/source-tree.js';

const linux = TARGETS.find(({ name }) => name === 'linux-x64');
if (linux === undefined) throw new Error('no target linux-x64');

describe.skipIf(!isOurs(linux))('the archive', () => {
  let folder: string;
  let home: string;
  let program: string;
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'throwbench-bundle-'));
    home = join(folder, 'home');
    mkdirSync(home);
    if (!existsSync(join(ROOT, 'dist', 'cli.js'))) execFileSync('npm', ['run', 'build'], { cwd: ROOT });
    const { file, missing, native } = makeBundle({
      target: linux,
      node: 'own',
      out: join(folder, 'made'),
      level: 1,
    });
    expect(missing).toEqual([]);
    // No part of another platform.
    expect(native.filter((path) => /win32|darwin|android|arm/.test(path))).toEqual([]);
    execFileSync('tar', ['-xzf', file, '-C', folder]);
    rmSync(join(folder, 'made'), { recursive: true });
    const [unpacked = ''] = readdirSync(folder).filter((name) => name.startsWith('throwbench-'));
    program = join(folder, unpacked, 'throwbench');
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  function start(...args: string[]) {
    // No Node on the path, no variable of the tests.
    const env = { HOME: home, PATH: '/usr/bin:/bin', LANG: 'C.UTF-8' };
    const { status, stdout, stderr } = spawnSync(program, args, { cwd: home, env, encoding: 'utf8' });
    return { status, stdout, stderr };
  }

  it('runs a unit on the virtual bench, keeps the record at home and finds it after an update', () => {
    const unit = ['--profile', 'mini-changeover-alone', '--unit', 'V-0107', '--virtual', 'relay-good'];
    const run = ['run', ...unit, '--no-ramp', '--plain'];
    const { status, stdout, stderr } = start(...run);
    expect(stderr).toBe('');
    expect(stdout).toMatch(/V-0107 +pass/i);
    expect(status).toBe(0);
    expect(start('settings', 'operator', 'day shift').status).toBe(0);
    expect(readdirSync(home).sort()).toContain('.throwbench');

    // Another one elsewhere, and nothing left of the first.
    const newer = join(folder, 'newer');
    renameSync(join(program, '..'), newer);
    program = join(newer, 'throwbench');
    expect(start('log', 'v-0107', '--json').stdout).toContain('"tag": "V-0107"');
    expect(start('log', 'verify').status).toBe(0);
    expect(JSON.parse(start('settings', '--json').stdout).settings.operator).toBe('day shift');
  });

  it('has its native serial part, its own papers and its manual page', () => {
    expect(start('ports').status).toBe(0);
    const pdf = join(home, 'sheet.pdf');
    expect(start('log', 'show', 'last', '--pdf', pdf).status).toBe(0);
    expect(existsSync(pdf)).toBe(true);
    expect(start('man').stdout).toMatch(/^\.TH THROWBENCH/);
    expect(start('profile', 'schema', 'motor').status).toBe(0);
  });
});
