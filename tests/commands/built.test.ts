// The program as it is built and installed: few files, started by plain Node, telling what the sources tell.

import { execFile, execFileSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { VERBS } from '../../host/commands/index.js';
import { loadUnit } from '../../host/profile/index.js';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
let folder: string;
beforeAll(() => {
  // Inside the repository, since the program looks for its profiles above itself.
  folder = mkdtempSync(join(ROOT, 'node_modules', '.throwbench-built-'));
  execFileSync(process.execPath, ['--import', 'tsx', join(ROOT, 'host', 'build.ts'), join(folder, 'dist')]);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Ended {
  code: number;
  stdout: string;
  stderr: string;
}

function run(args: string[], env: Record<string, string> = {}): Promise<Ended> {
  return new Promise((resolve) => {
    execFile(
      process.execPath,
      [join(folder, 'dist', 'cli.js'), ...args],
      { cwd: ROOT, env: { ...process.env, THROWBENCH_LOGS: join(folder, 'logs'), ...env } },
      (error, stdout, stderr) => resolve({ code: Number(error?.code ?? 0), stdout, stderr }),
    );
  });
}

describe('the built program', () => {
  it('knows its version and tells the usage of every verb as the sources do', async () => {
    const { version } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as { version: string };
    expect(await run(['--version'])).toEqual({ code: 0, stdout: `${version}\n`, stderr: '' });
    const told = VERBS.map(async (verb) => {
      const { usage } = (await verb.load()).command;
      expect(await run([verb.name, '--help'])).toEqual({
        code: 0,
        stdout: `${usage.trimEnd()}\n`,
        stderr: '',
      });
    });
    await Promise.all(told);
  });

  it('has every thread that the sources start, each under its own name', () => {
    const threads = readdirSync(join(ROOT, 'host'), { recursive: true, encoding: 'utf8' })
      .filter((path) => path.endsWith('.ts'))
      .flatMap((path) => [
        ...readFileSync(join(ROOT, 'host', path), 'utf8').matchAll(
          /startWorker(?:<[^>]*>)?\(\s*'\.\/([\w-]+)'/g,
        ),
      ])
      .map(([, name]) => name);
    expect(threads.length).toBeGreaterThan(1);
    const built = readdirSync(join(folder, 'dist'));
    for (const thread of threads) expect(built).toContain(`${thread}.js`);
  });

  it('tests a unit on the virtual bench, judged in a thread of its own, and keeps the record', async () => {
    const ran = await run([
      'run',
      '--profile',
      'roof-vent-switch',
      '--unit',
      'V-1',
      '--virtual',
      'roof-vent-good',
    ]);
    expect(ran).toMatchObject({ code: 0, stderr: '' });
    expect(ran.stdout).toMatch(/1 pass, 0 fail, 0 cannot tell/);
    const logged = await run(['log', 'show', 'last', '--json']);
    expect(JSON.parse(logged.stdout)).toMatchObject({ tag: 'V-1', verdict: 'pass' });
  });

  it.each([
    [
      'a misspelt circuit',
      'id: unit\ntitle: A unit\nkind: unit\ncircuit: relay-pair-ground-throw\nmotor: entry-step\n',
    ],
    ['a number for a title', 'id: unit\ntitle: 7\nkind: unit\n'],
    ['an unknown key', 'id: unit\ntitle: A unit\nkind: unit\ncircuits: motor-alone\n'],
    ['no YAML at all', 'id: [unit\n'],
  ])('tells %s in the words of the sources', async (_, text) => {
    const path = join(folder, 'unit.yaml');
    writeFileSync(path, text);
    let told = '';
    try {
      loadUnit(path);
    } catch (error) {
      told = (error as Error).message;
    }
    expect(told).toMatch(/unit\.yaml:\d: /);
    expect(await run(['simulate', '--profile', path])).toEqual({
      code: 2,
      stdout: '',
      stderr: `throwbench simulate: ${told}\n`,
    });
  });

  it('finds what it worked out for a profile again, and not after one of its rules was changed', async () => {
    const cache = join(folder, 'cache');
    const capture = join(folder, 'good.csv');
    await run(['simulate', '--profile', 'window-lift-switch', '--csv', capture]);
    const judged = async () => {
      const { stdout } = await run(['judge', capture, '--profile', 'window-lift-switch', '--json'], {
        THROWBENCH_CACHE: cache,
      });
      return JSON.parse(stdout) as { verdict: string; checks: { id: string; upper?: number }[] };
    };
    const first = await judged();
    expect(readdirSync(cache)).toHaveLength(1);
    expect(await judged()).toEqual(first);
    expect(readdirSync(cache)).toHaveLength(1);
    // Hardly anything beyond the ends of the family: every limit of its motor is another.
    const rule = /BEYOND = 0\.1;/;
    const built = readdirSync(join(folder, 'dist'))
      .map((name) => join(folder, 'dist', name))
      .filter((path) => path.endsWith('.js') && rule.test(readFileSync(path, 'utf8')));
    expect(built).toHaveLength(1);
    const [path = ''] = built;
    const before = readFileSync(path, 'utf8');
    try {
      writeFileSync(path, before.replace(rule, 'BEYOND = 0.01;'));
      const changed = await judged();
      const limitOf = ({ checks }: typeof first) => checks.find(({ id }) => id === 'running-forward')?.upper;
      expect(limitOf(changed)).toBeLessThan(limitOf(first) ?? 0);
      expect(readdirSync(cache)).toHaveLength(2);
    } finally {
      writeFileSync(path, before);
    }
  });

  it('names the sources in a stack that was asked for, and shows none otherwise', async () => {
    const absent = ['measure', join(folder, 'absent.csv')];
    const plain = await run(absent);
    expect(plain.stderr).toMatch(/^throwbench measure: \S+absent\.csv: no such file; check the path\n$/);
    expect((await run(absent, { THROWBENCH_DEBUG: '1' })).stderr).toMatch(
      /host\/capture\/capture-csv\.ts:\d+/,
    );
  });
});
