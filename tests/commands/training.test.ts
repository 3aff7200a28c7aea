// `throwbench run --virtual random`: what may be said with it, and whole sittings at the emulated rig.

import { PassThrough } from 'node:stream';
import { describe, expect, it } from 'vitest';
import type { CommandIo } from '../../host/commands/command.js';
import { trainAtBench } from '../../host/commands/training.js';
import { command as runCommand } from '../../host/commands/verbs/run.js';
import { loadUnit } from '../../host/profile/index.js';

const io = (write: (text: string) => void): CommandIo => ({
  stdout: write,
  stderr: () => {},
  isTty: false,
  columns: 80,
  rows: 24,
  cwd: process.cwd(),
});
const run = (...args: string[]) =>
  runCommand.run(
    ['--profile', 'roof-vent-switch', ...args],
    io(() => {}),
  );

describe('throwbench run --virtual random', () => {
  it.each([
    [
      ['--unit', 'V-0107'],
      '--unit tags a unit of the record, and a training run is not recorded: leave it out',
    ],
    [['--port', '/dev/ttyUSB0'], '--port and --virtual exclude each other: name one bench'],
    [['--seed', 'seven'], "--seed 'seven' should be a whole number from 0 to 999999999999999, such as 7"],
    [['--seed', '-3'], "--seed '-3' should be a whole number from 0 to 999999999999999, such as 7"],
  ])('refuses %j in one line', async (args, message) => {
    const joined = args[1]!.startsWith('-') ? [`${args[0]}=${args[1]}`] : args;
    await expect(run('--virtual', 'random', ...joined)).rejects.toThrow(message);
  });

  it('stands in the usage, with what its exit status means', () => {
    expect(runCommand.usage).toContain('--virtual random [--seed N]');
    expect(runCommand.usage).toContain('0 named rightly, 1 wrongly, 3 not named');
  });

  it('refuses --seed without it', async () => {
    await expect(run('--virtual', 'roof-vent-good', '--unit', 'V-0107', '--seed', '7')).rejects.toThrow(
      '--seed goes with --virtual random',
    );
  });

  it('refuses a relay alone, which nobody throws', async () => {
    const wanted = { seed: 1, json: false, plain: true };
    const trained = trainAtBench(
      { ...wanted, unit: loadUnit('mini-changeover-alone') },
      io(() => {}),
      new PassThrough(),
    );
    await expect(trained).rejects.toThrow(
      'training wants a unit that is thrown; mini-changeover-alone is a relay alone',
    );
  });

  it('ends with one object and exit 3 when input ends without a name (seed 12, JSON)', async () => {
    let out = '';
    const stdin = new PassThrough();
    stdin.end('supply\n');
    const code = await trainAtBench(
      { unit: loadUnit('roof-vent-switch'), seed: 12, json: true, plain: false },
      io((text) => {
        out += text;
      }),
      stdin,
    );
    expect(code).toBe(3);
    const objects = out
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line));
    expect(objects.map(({ kind }) => kind)).toEqual(['training-start', 'answer', 'training']);
    expect(objects.at(-1)).toMatchObject({ right: false, seed: 12, probesAsked: 1, training: true });
    expect(objects.at(-1).named).toBeUndefined();
    expect(['pass', 'fail', 'cannot-tell']).toContain(objects.at(-1).verdict);
  });
});
