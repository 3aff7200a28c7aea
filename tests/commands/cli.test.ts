// The program as a user calls it: exit codes, one line on standard error, never a stack trace.

import { execFile } from 'node:child_process';
import { existsSync, mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { VERBS } from '../../host/commands/index.js';
import { readSources } from '../rules/source-tree.js';

const ROOT = new URL('../..', import.meta.url).pathname;

interface Ended {
  code: number;
  out: string;
  err: string;
}

function throwbench(args: string[], env: Record<string, string> = {}, node: string[] = []): Promise<Ended> {
  return new Promise((resolve) => {
    const child = execFile(
      process.execPath,
      [...node, '--import', 'tsx', 'host/cli.ts', ...args],
      { cwd: ROOT, env: { ...process.env, ...env }, timeout: 120_000 },
      (error, out, err) => resolve({ code: error ? Number(error.code ?? -1) : 0, out, err }),
    );
    child.stdin?.end();
  });
}

const folder = mkdtempSync(join(tmpdir(), 'throwbench-cli-'));
const fileWith = (name: string, text: string): string => {
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
};

describe('command line', () => {
  it('tells all verbs with their summaries when asked for help', async () => {
    const { code, out, err } = await throwbench(['--help']);
    expect({ code, err }).toEqual({ code: 0, err: '' });
    for (const { name, summary } of VERBS) {
      expect(out).toMatch(new RegExp(`^  ${name} +${summary.replace(/[()]/g, '\\$&')}$`, 'm'));
    }
  });

  it('gives each verb worked examples, in one style', async () => {
    for (const { name, load } of VERBS) {
      const { usage } = (await load()).command;
      expect(usage, name).toMatch(/^usage: throwbench /);
      expect(usage, name).toMatch(new RegExp(`\\nexamples:\\n(  throwbench ${name}\\b.*\\n)+`));
    }
  });

  it('tells in every call, part and example only what is declared, in a terminal of 80 columns', async () => {
    for (const { name, load } of VERBS) {
      const { declaration: told, usageOf, usage } = (await load()).command;
      const { calls = [], options = {}, parts = {}, examples = [], exit } = told ?? {};
      expect(exit, name).toMatch(/^0 /);
      const lines = [...calls, ...examples];
      for (const [part, { calls: own, examples: shown }] of Object.entries(parts)) {
        lines.push(...own, ...shown);
        const help = usageOf?.(part) ?? '';
        expect(help, `${name} ${part}`).toMatch(/^usage: throwbench [\s\S]*\nexamples:\n {2}throwbench /);
        expect(shown[0], `${name} ${part}`).toMatch(new RegExp(`^${name}\\b`));
      }
      for (const line of lines)
        for (const [option] of line.matchAll(/--[a-z][a-z-]+/g))
          expect(Object.keys(options), `${name}: ${line}`).toContain(option.slice(2));
      // An example is there to be copied, and stays in one line.
      const prose = usage.split('\n').filter((line) => !line.startsWith('  throwbench '));
      expect(
        prose.filter((line) => line.length > 80),
        name,
      ).toEqual([]);
    }
  });

  it('has a manual page in which every verb, call and option stands, and nothing steers it', async () => {
    const { code, out } = await throwbench(['man']);
    expect(code).toBe(0);
    // groff_man(7): requests begin with a dot; a typed hyphen is \-.
    expect(new Set(out.match(/^\.\w+/gm))).toEqual(
      new Set(['.TH', '.SH', '.SS', '.B', '.I', '.RI', '.PP', '.nf', '.fi', '.TP', '.RS', '.RE']),
    );
    for (const { name, load } of VERBS) {
      expect(out).toContain(`\n.SS ${name}\n`);
      const { options = {} } = (await load()).command.declaration ?? {};
      for (const [option, { words }] of Object.entries(options))
        if (words !== undefined) expect(out, name).toContain(`\\fB\\-\\-${option.replaceAll('-', '\\-')}`);
    }
  });

  it('answers a fault that the circuit cannot have before any caution, with file, line and exit 2', async () => {
    const path = fileWith(
      'case.yaml',
      'id: case\ntitle: Case\nkind: case\nseed: 3\nfaults:\n  - k1-coil-open\n',
    );
    const { code, out, err } = await throwbench([
      'run',
      '--profile',
      'roof-vent-switch',
      '--unit',
      'V-1',
      '--virtual',
      path,
      '--plain',
    ]);
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toMatch(
      /case\.yaml:6: faults\[0\]: .*: this circuit has no fault k1-coil-open; throwbench profile list faults/,
    );
  });

  it('refuses a tag that would steer the terminal', async () => {
    const { code, err } = await throwbench([
      'run',
      '--profile',
      'x',
      '--unit',
      'V\u001b[2J',
      '--virtual',
      'good',
    ]);
    expect(code).toBe(2);
    expect(err).toBe(
      'throwbench run: --unit holds \\u001b, which is no letter; take that character out; throwbench run --help tells more\n',
    );
  });

  it('tells a verb’s usage on help VERB as on VERB --help', async () => {
    const [first, second] = await Promise.all([throwbench(['help', 'run']), throwbench(['run', '--help'])]);
    expect(first).toEqual(second);
    expect(first.code).toBe(0);
    expect(first.out).toContain('usage: throwbench run --profile P --unit TAG');
  });

  it.each(['--version', '-v', '-V', 'version'])('tells its version on %s', async (word) => {
    const { code, out } = await throwbench([word]);
    expect(code).toBe(0);
    expect(out).toMatch(/^\d+\.\d+\.\d+\n$/);
  });

  it.each<[string, string[], RegExp]>([
    ['no verb', [], /usage: throwbench VERB/],
    ['a misspelt verb', ['trya', 'x.yaml'], /unknown verb "trya"; did you mean tray\?/],
    ['a verb of the records', ['compare', 'a', 'b'], /"compare" is of the records: throwbench log compare/],
    ['a verb like no other', ['frobnicate'], /unknown verb "frobnicate"; throwbench --help tells more/],
    ['one of few words, and none like it', ['completion', 'powershell'], /; it may be bash, zsh, fish/],
    [
      'a blank tag',
      ['run', '--profile', 'roof-vent-switch', '--unit', ' ', '--virtual', 'good'],
      /--unit is blank: name the tag on the unit, such as V-0107/,
    ],
    ['help for an unknown verb', ['help', 'rum'], /did you mean run\?/],
    ['a misspelt option', ['run', '--profil', 'x'], /unknown option --profil; did you mean --profile\?/],
    [
      'a misspelt word behind a verb',
      ['log', 'shwo', 'last'],
      /unknown word "shwo" after log; did you mean show\?/,
    ],
    [
      'an option of another part',
      ['profile', 'list', '--folder', 'x'],
      /--folder does not go with profile list/,
    ],
    ['an option where a value should be', ['run', '--unit', '--json'], /option --unit needs a value/],
    [
      'a negative reading that is no number',
      ['calibrate', '--channel', 'lead_a_V', '--point', 'load', '--reference', '-4,5'],
      /--reference "-4,5" is no number/,
    ],
    ['an option without its value', ['run', '--unit'], /option --unit needs a value/],
    ['a value for a switch', ['tray', 'x', '--json=yes'], /option --json takes no value/],
    ['run without a profile', ['run', '--unit', 'V-1'], /--profile P is missing/],
    ['run without a unit', ['run', '--profile', 'x'], /--unit TAG is missing/],
    ['run without a bench', ['run', '--profile', 'x', '--unit', 'V-1'], /--port PATH or --virtual CASE/],
    [
      'run with two benches',
      ['run', '--profile', 'x', '--unit', 'V-1', '--port', 'p', '--virtual', 'v'],
      /exclude each other/,
    ],
    ['a tag that is too long', ['run', '--profile', 'x', '--unit', 'V'.repeat(25)], /24 characters, not 25/],
    ['tray without a file', ['tray'], /FILE is missing/],
    ['tray with two files', ['tray', 'a', 'b'], /"b" is one word too many/],
  ])('answers %s in a line and exits 2', async (_name, args, told) => {
    const { code, out, err } = await throwbench(args);
    expect(err).toMatch(told);
    expect(out).toBe('');
    expect(code).toBe(2);
    if (args.length > 0) expect(err.trimEnd().split('\n')).toHaveLength(1);
    expect(err).not.toMatch(/^\s+at /m);
  });

  it.each<[string, () => string[], RegExp]>([
    ['a tray that is not there', () => ['tray', join(folder, 'none.yaml')], /none\.yaml/],
    [
      'a tray that is no YAML',
      () => ['tray', fileWith('torn.yaml', 'units: [\n  {tag: V-1')],
      /torn\.yaml:\d+/,
    ],
    ['a folder for a tray', () => ['tray', folder], /throwbench-cli-/],
    [
      'an unknown profile',
      () => ['run', '--profile', 'no-such-unit', '--unit', 'V-1', '--virtual', 'healthy'],
      /no-such-unit: no unit of this id/,
    ],
  ])('answers %s in a line with the file, exits 2 and writes no stack', async (_name, args, told) => {
    const { code, out, err } = await throwbench(args());
    expect(err).toMatch(told);
    expect(err.trimEnd().split('\n')).toHaveLength(1);
    expect(out).toBe('');
    expect(code).toBe(2);
  });

  it.each<[string, () => string, RegExp]>([
    ['is not there', () => '/dev/ttyNONE', /port \/dev\/ttyNONE does not exist/],
    ['is a file', () => fileWith('port.txt', ''), /port\.txt is not a serial port \(no device\)/],
    ['is a folder', () => folder, /is not a serial port \(a folder\)/],
  ])('answers a port that %s before anything is shown or recorded', async (_name, port, told) => {
    const logs = join(folder, 'logs-not-written');
    const unit = ['run', '--profile', 'roof-vent-stand-in', '--unit', 'V-1'];
    const { code, out, err } = await throwbench([...unit, '--port', port()], { THROWBENCH_LOGS: logs });
    expect(err.split('\n')[0]).toMatch(told);
    expect(err).toMatch(/\n {2}\S.*throwbench ports/);
    expect(out).toBe('');
    expect(code).toBe(2);
    expect(existsSync(logs)).toBe(false);
  });

  it('shows the stack where THROWBENCH_DEBUG=1 asks for it', async () => {
    const { code, err } = await throwbench(['tray'], { THROWBENCH_DEBUG: '1' });
    expect(code).toBe(2);
    expect(err).toMatch(/^\s+at /m);
    expect(err).toMatch(/FILE is missing/);
  });

  it('ends a crash in one line with exit 3, never with the 1 that means a failed unit', async () => {
    // Throws outside any command, as soon as the program has taken charge of crashes.
    const hook = fileWith(
      'crash.cjs',
      // The loader's own thread preloads this file too.
      `if (require('node:worker_threads').isMainThread) process.on('newListener', (name) => {
         if (name === 'uncaughtException') setImmediate(() => { throw new Error('torn'); });
       });`,
    );
    const { code, err } = await throwbench(['tray', join(folder, 'none.yaml')], {}, ['--require', hook]);
    expect(err).toMatch(/^throwbench(?: \w+)?: torn\n$/);
    expect(code).toBe(3);
  });

  it('lists no verb twice', () => {
    const names = VERBS.map(({ name }) => name);
    expect(names).toEqual([...new Set(names)]);
  });

  it('begins the usage of each verb with its name', async () => {
    for (const verb of VERBS) {
      const { command } = await verb.load();
      expect(command.usage).toMatch(new RegExp(`^(usage: )?throwbench ${verb.name}\\b`));
    }
  });

  it('reads only its own few files to tell its help, whatever the verbs need', () => {
    const files = new Map(readSources('host').map((file) => [file.path.replace(/\.tsx?$/, '.js'), file]));
    const read = new Set<string>();
    const outside = new Set<string>();
    const visit = (path: string): void => {
      const file = files.get(path);
      if (file === undefined || read.has(path)) return;
      read.add(path);
      const whenCalled = new Set([...file.text.matchAll(/import\(\s*'([^']+)'/g)].map((match) => match[1]));
      for (const { specifier, target, typeOnly } of file.imports) {
        if (typeOnly || whenCalled.has(specifier)) continue;
        if (target === undefined) outside.add(specifier);
        else visit(target);
      }
    };
    visit('host/cli.js');
    expect([...read].sort()).toEqual(['host/cli.js', 'host/commands/command.js', 'host/commands/index.js']);
    expect([...outside]).toEqual(['node:util']);
  });
});
