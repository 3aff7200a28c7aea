// Completion: what fits by the declarations, and the scripts in the shells themselves, typed into a terminal. How a shell
// asks and what it takes: Bash Reference Manual (Programmable Completion), zshcompsys(1), complete(1) of fish.

import { execFileSync } from 'node:child_process';
import { chmodSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { spawn } from '@lydell/node-pty';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { VERBS } from '../../host/commands/index.js';
import { listProfiles } from '../../host/profile/index.js';
import { ROOT } from '../rules/source-tree.js';
import { call } from './call.js';

const completion = VERBS.find(({ name }) => name === 'completion');

/** Words that fit, without the first line. */
async function fitting(shell: string, ...typed: string[]): Promise<{ kind: string; words: string[] }> {
  const command = (await completion?.load())?.command;
  if (command === undefined) throw new Error('no verb completion');
  const { stdout, code } = await call(command, ['offer', shell, '--', ...typed], ROOT);
  expect(code).toBe(0);
  const [kind = '', ...lines] = stdout.trimEnd().split('\n');
  return { kind, words: lines.map((line) => line.split('\t')[0] ?? '') };
}
const wordsFor = async (...typed: string[]): Promise<string[]> => (await fitting('zsh', ...typed)).words;

describe('what fits', () => {
  it('is every verb first, then the options of the verb', async () => {
    expect(await wordsFor('')).toEqual(VERBS.map(({ name }) => name));
    expect(await wordsFor('tr')).toEqual(['tray']);
    for (const { name, load } of VERBS) {
      const { declaration } = (await load()).command;
      expect(declaration, `${name} declares what it is called with`).toBeDefined();
      const told = Object.entries(declaration?.options ?? {}).filter(([, { words }]) => words !== undefined);
      expect(await wordsFor(name, '--'), name).toEqual(told.map(([option]) => `--${option}`));
    }
  });

  it('is no option twice, unless it may be given twice', async () => {
    expect(await wordsFor('run', '--unit', 'V-1', '--u')).toEqual([]);
    expect(await wordsFor('simulate', '--fault', 'x', '--fault')).toContain('--fault');
  });

  it('is what a verb goes on with, and the options that go with that', async () => {
    expect(await wordsFor('profile', '')).toEqual(['list', 'show', 'check', 'new', 'schema']);
    expect(await wordsFor('profile', 'new', '--')).toEqual(['--folder']);
    expect(await wordsFor('log', 'verify', '--')).toEqual(['--expect', '--key', '--json']);
    expect(await wordsFor('help', 'r')).toEqual(['run', 'ratings', 'rig']);
  });

  it('is profiles by name, behind an option and behind its sign of equality', async () => {
    const units = listProfiles('unit')
      .map(({ id }) => id)
      .filter((id) => id.startsWith('window'));
    expect(units.length).toBeGreaterThan(2);
    expect(await wordsFor('judge', 'x.csv', '--profile', 'window')).toEqual(units);
    expect(await wordsFor('judge', '--profile=window')).toEqual(units.map((id) => `--profile=${id}`));
    // As bash hands it over, and takes it.
    expect((await fitting('bash', 'judge', '--profile', '=', 'window')).words).toEqual(units);
  });

  it('is faults of the style on the line, and cases that it can have', async () => {
    expect(await wordsFor('simulate', '--profile', 'entry-step-relays', '--fault', 'k2-coil')).toContain(
      'k2-coil-open',
    );
    expect(await wordsFor('simulate', '--profile', 'roof-vent-switch', '--fault', 'k2-coil')).toEqual([]);
    expect(await wordsFor('run', '--profile', 'entry-step-relays', '--virtual', '')).toContain('coil-open');
    const vent = await wordsFor('run', '--profile', 'roof-vent-switch', '--virtual', '');
    expect(vent).not.toContain('coil-open');
    expect(vent).toContain('random');
  });

  it('is files and folders where those are wanted, and nothing where something is amiss', async () => {
    expect((await fitting('bash', 'measure', '')).kind).toBe('file');
    expect((await fitting('bash', 'learn', '--captures', '')).kind).toBe('folder');
    // A file of one's own in place of an id.
    expect((await fitting('bash', 'run', '--profile', './my')).kind).toBe('file');
    expect(await wordsFor('simulate', '--profile', 'no-such', '--fault', '')).toEqual([]);
    expect(await wordsFor('frobnicate', '')).toEqual([]);
  });
});

/** Shells that are here; one that is not is told as left out. */
const isHere = (shell: string): boolean => {
  try {
    execFileSync('sh', ['-c', `command -v ${shell}`], { stdio: 'ignore' });
    return true;
  } catch {
    return false;
  }
};

const ARGS: Readonly<Record<string, string[]>> = {
  bash: ['--norc', '--noprofile', '-i'],
  zsh: ['-f', '-i'],
  fish: ['--no-config', '-i', '--init-command', 'set fish_greeting'],
};
/** What each is told first. */
const SETUP: Readonly<Record<string, string>> = {
  bash: 'PS1="> "; source script.bash',
  zsh: "PS1='> '; autoload -Uz compinit; compinit -u -D; source ./script.zsh",
  fish: 'source script.fish',
};

describe('in a shell', () => {
  let folder: string;
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'throwbench-shell-'));
    mkdirSync(join(folder, 'bin'));
    const program = join(folder, 'bin', 'throwbench');
    const [node, cli] = [process.execPath, join(ROOT, 'host', 'cli.ts')];
    writeFileSync(program, `#!/bin/sh\ncd ${ROOT} && exec ${node} --import tsx ${cli} "$@"\n`);
    chmodSync(program, 0o755);
    const command = (await completion?.load())?.command;
    for (const shell of Object.keys(ARGS))
      writeFileSync(join(folder, `script.${shell}`), (await call(command ?? never(), [shell], ROOT)).stdout);
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  /** Types a line with Tab at its end, then Enter; `throwbench` is by then an echo of what it was called with. */
  async function typed(shell: string, line: string): Promise<string> {
    const pty = spawn(shell, ARGS[shell] ?? [], {
      name: 'xterm',
      cols: 120,
      rows: 24,
      cwd: folder,
      env: {
        ...process.env,
        PATH: `${join(folder, 'bin')}:${process.env.PATH}`,
        HOME: folder,
        // A shell that is ended writes it while the folder is being removed.
        HISTFILE: '',
        XDG_CONFIG_HOME: folder,
        XDG_DATA_HOME: folder,
      } as Record<string, string>,
    });
    let seen = '';
    pty.onData((text) => {
      seen += text;
      // fish asks what the terminal is and waits for the answer (XTerm Control Sequences, Primary Device Attributes).
      if (text.includes('\u001b[c') || text.includes('\u001b[0c')) pty.write('\u001b[?62c');
    });
    const until = async (mark: string | RegExp): Promise<void> => {
      for (let waited = 0; waited < 150; waited++) {
        if (typeof mark === 'string' ? seen.includes(mark) : mark.test(seen)) return;
        await new Promise((resolve) => setTimeout(resolve, 100));
      }
      throw new Error(`${shell} did not come to ${mark}: ${JSON.stringify(seen.slice(-600))}`);
    };
    try {
      pty.write(`${SETUP[shell]}; printf 'set-%s\\n' up\r`);
      await until('set-up');
      seen = '';
      pty.write(`${line}\t`);
      await until(/--profile[= ]roof-vent-switch/);
      return seen;
    } finally {
      pty.kill();
    }
  }

  for (const shell of Object.keys(ARGS))
    it.skipIf(!isHere(shell))(
      `${shell} completes the profile of a call, alone and behind the sign of equality`,
      async () => {
        await Promise.all([
          typed(shell, 'throwbench run --unit V-1 --profile roof-vent-sw'),
          typed(shell, 'throwbench run --unit V-1 --profile=roof-vent-sw'),
        ]);
      },
      40_000,
    );
});

function never(): never {
  throw new Error('no verb completion');
}
