// Calibration as a talk, on the virtual rig in real time: its drawn errors, its meter, and the hand that stops it. The
// correction is held against the meter of the simulated bench, the ± against GUM (JCGM 100:2008) 5.1.2 worked by hand.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { Hand, type HandKey } from '../../host/commands/hand.js';
import { command } from '../../host/commands/verbs/calibrate.js';
import { openStore } from '../../host/records/index.js';
import { gathering } from './call.js';

let folder: string;
let before: string | undefined;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-talk-'));
  before = process.env.THROWBENCH_LOGS;
  process.env.THROWBENCH_LOGS = folder;
});
afterAll(() => {
  if (before === undefined) delete process.env.THROWBENCH_LOGS;
  else process.env.THROWBENCH_LOGS = before;
  rmSync(folder, { recursive: true, force: true });
});

/** Each question once it has come, with what is typed then; a function sees all that was told. */
type Step = [question: string, answer: string | ((told: string) => string)];

async function talked(steps: Step[]): Promise<{ code: number; told: string }> {
  const stdin = new PassThrough();
  const { io, written } = gathering(folder, { stdin, isAttended: true });
  const bench = ['--virtual', 'entry-step-good', '--profile', 'entry-step-relays'];
  const ended = command.run([...bench, '--channel', 'motor_current_A', '--seconds', '0.3'], io);
  let at = 0;
  for (const [question, answer] of steps) {
    for (let waited = 0; written.stdout.indexOf(question, at) < 0; waited++) {
      if (waited > 200) throw new Error(`no ${question} in ${written.stdout.slice(at)}`);
      await new Promise((resolve) => setTimeout(resolve, 50));
    }
    at = written.stdout.indexOf(question, at) + question.length;
    stdin.write(typeof answer === 'string' ? answer : answer(written.stdout));
  }
  stdin.end();
  return { code: await ended, told: written.stdout };
}

describe('calibrate at a terminal', () => {
  it('reads zero and load, takes the meter at its word and tells what that does, outputs off at each question', async () => {
    const meterOf = (told: string): string =>
      /meter of the virtual bench showed ([\d.]+) A/.exec(told)?.[1] ?? '';
    const { code, told } = await talked([
      ['I have read this', '\n'],
      ['Read the zero', '\n'],
      ['Keep it?', '\n'],
      // A panic key ends the load, and nothing is kept of it.
      ['Switch it on?', '\n'],
      // So does a scan, whose Enter comes a little later and takes nothing back.
      ['LOAD ON', 'V-0107'],
      ['', '\r'],
      ['Stopped by key. Outputs are off.', ''],
      ['Switch it on?', '\n'],
      ['Steady at', '\n'],
      ['Outputs are off.', ''],
      // A meter misread by a tenth: said so, and kept only when asked for.
      ['What did the meter show?', (all) => `${0.9 * Number(meterOf(all))}\n`],
      ['limits of error', '\n'],
      ['Better read it again', ''],
      ['Keep it? [no]', '\n'],
      ['Another channel?', 'y\n'],
      ['Which channel?', 'motor_current_A\n'],
      ['Read the zero', 'n\n'],
      ['Switch it on?', '\n'],
      ['Steady at', '\n'],
      ['What did the meter show?', (all) => `${meterOf(all.slice(all.lastIndexOf('Steady')))} A\n`],
      ['limits of error', '0.5\n'],
      ['Keep it? [yes]', '\n'],
      ['Another channel?', '\n'],
    ]);
    expect(code).toBe(0);
    const store = openStore();
    const points = store.listCalibrations('virtual');
    store.close();
    expect(points.map(({ point }) => point)).toEqual(['zero', 'load']);
    const [zero, load] = points;
    if (!zero || !load) throw new Error('two points are kept');
    // Rectangular limits of 0.5 %: GUM 4.3.7.
    expect(load.referenceUncertainty).toBeCloseTo((0.005 * load.reference) / Math.sqrt(3), 9);
    const gain = load.reference / (load.reading - zero.reading);
    expect(told).toContain(`x ${gain.toFixed(4)}.`);
    // The rig's own gain is drawn with 0.5 % standard uncertainty: within four of these it is put right.
    expect(Math.abs(gain - 1)).toBeLessThan(0.02);
    const standard = Math.hypot(
      zero.readingUncertainty * gain,
      load.referenceUncertainty,
      gain * Math.hypot(load.readingUncertainty, zero.readingUncertainty),
    );
    const good = told.slice(told.lastIndexOf('How good a reading is there'));
    const stated = Number(/from now on [\d.]+ ± ([\d.]+) A/.exec(good)?.[1]);
    expect(stated).toBeGreaterThan(1.96 * standard - 0.001);
    expect(stated).toBeLessThan(1.96 * standard + 0.001);
  });

  it('energises nothing where nobody answers', async () => {
    const { told } = await talked([['Read the zero', 'n\n']]);
    expect(told).toMatch(/Switch it on\?/);
    expect(told).not.toMatch(/LOAD ON/);
  });
});

describe('a hand beside something energised', () => {
  it.each<[string, string, HandKey[]]>([
    ['Enter', '\r', ['enter']],
    ['Space', ' ', ['outputs-off']],
    ['Esc', '\u001b', ['outputs-off']],
    ['Ctrl-C', '\u0003', ['leave']],
    ['another key', 'x', []],
    ['a scan with its Enter', 'V-0107\r', ['outputs-off']],
  ])('takes %s for what it is on the bench', async (_name, text, keys) => {
    const stdin = new PassThrough();
    const hand = new Hand(stdin, new AbortController().signal);
    stdin.write('typed ahead\n');
    await new Promise((resolve) => setImmediate(resolve));
    const pressed: HandKey[] = [];
    await hand.whileEnergised(
      (key) => pressed.push(key),
      async () => {
        stdin.write(text);
        await new Promise((resolve) => setImmediate(resolve));
      },
    );
    expect(pressed).toEqual(keys);
    stdin.end();
    expect((await hand.lines.next()).done).toBe(true);
    hand.close();
  });
});
