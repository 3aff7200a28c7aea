// Which way it went, at the bench: single keys, outputs off, and nothing in the way of a stop.

import { describe, expect, it } from 'vitest';
import type { BenchEvent } from '../../host/bench/index.js';
import { plainLines } from '../../host/commands/plain-lines.js';
import { BenchController, EMPTY_VIEW, themeFor } from '../../host/screens/index.js';
import { KeyReader } from '../../host/screens/key-reader.js';
import { type KeyPress, keyAction } from '../../host/screens/keys.js';
import { ASCII, frameOf, UNICODE } from './fake-terminal.js';
import { scriptedTray } from './scripted-bench.js';
import { StepClock } from './step-clock.js';

const CHOICES = ['up', 'down', 'did not move', 'not seen'];
const SENTENCE =
  'Which way did it go when it was thrown forward? 1: up, 2: down, 3: did not move, 4: not seen. The virtual bench answers by itself after 8 s.';
const PROMPT: BenchEvent = {
  kind: 'prompt',
  prompt: { code: 'way', position: 'forward', sentence: SENTENCE, choices: CHOICES },
};

/** A bench whose first unit has been thrown, its outputs off, the question standing. */
async function asked(byItselfS?: number) {
  const clock = new StepClock();
  const calls = { stop: 0, leave: 0 };
  const controller = new BenchController({
    stop: () => {
      calls.stop += 1;
    },
    leave: () => {
      calls.leave += 1;
    },
    clock,
    startsByItself: true,
  });
  for await (const event of scriptedTray()) {
    if (event.kind === 'check' || event.kind === 'judged') break;
    controller.take(event);
  }
  controller.take({ kind: 'outputs-off' });
  controller.take(PROMPT);
  let answer: unknown = 'waits';
  const question = { choices: CHOICES, ...(byItselfS === undefined ? {} : { byItselfS }) };
  void controller.whichWay(question).then((given) => {
    answer = given;
  });
  const settle = async (): Promise<unknown> => {
    for (let turn = 0; turn < 8; turn++) await Promise.resolve();
    return answer;
  };
  const press = (input: string, key: KeyPress = {}): Promise<unknown> => {
    controller.press(keyAction(input, key));
    return settle();
  };
  return { controller, clock, calls, press, settle };
}

describe('the question which way it went', () => {
  it.each([
    ['1', 0],
    ['2', 1],
    ['3', 2],
    ['4', 3],
  ])('is answered by the key %s alone', async (key, place) => {
    const { press } = await asked();
    for (const other of ['a', 'r', 's', 't', 'x', '5', '0']) expect(await press(other)).toBe('waits');
    expect(await press(key)).toBe(place);
  });

  it('is left unanswered by an Enter of its own, not by a pedal that is still held down', async () => {
    const { press, clock } = await asked();
    clock.advance(1);
    expect(await press('\r', { return: true })).toBeUndefined();
    const held = await asked();
    await held.press('\r', { return: true });
    const again = held.controller.whichWay({ choices: CHOICES });
    held.clock.advance(0.1);
    await held.press('\r', { return: true });
    held.controller.press('second');
    expect(await again).toBe(1);
  });

  it.each([
    ['Space', ' ', {}],
    ['Esc', '', { escape: true }],
  ] as const)(
    'does not hold back outputs off: %s sends it and leaves no answer',
    async (_name, input, key) => {
      const { press, calls, controller } = await asked();
      expect(await press(input, key)).toBeUndefined();
      expect(calls).toEqual({ stop: 1, leave: 0 });
      // Nothing is driven: there is no rig whose word would be waited for.
      expect(controller.state.stop).toBe('no');
    },
  );

  it('does not hold back Ctrl-C', async () => {
    const { press, calls, controller } = await asked();
    expect(await press('c', { ctrl: true })).toBeUndefined();
    expect(calls).toEqual({ stop: 1, leave: 1 });
    expect(controller.isLeaving).toBe(true);
    expect(await controller.whichWay({ choices: CHOICES })).toBeUndefined();
  });

  it('is answered by the virtual bench where nobody does, and not before', async () => {
    const { clock, settle } = await asked(8);
    clock.advance(7.5);
    expect(await settle()).toBe('waits');
    clock.advance(1);
    expect(await settle()).toBe('by-itself');
    const real = await asked();
    real.clock.advance(600);
    expect(await real.settle()).toBe('waits');
  });

  it('takes a scanned tag for no answer, and says so', async () => {
    const { controller, settle, clock, calls } = await asked();
    const reader = new KeyReader(controller, clock);
    for (const character of 'V-1234') reader.take(character, {});
    clock.advance(0.1);
    expect(await settle()).toBe('waits');
    expect(calls.stop).toBe(0);
    expect(controller.state.notice).toMatch(/V-1234 was scanned: tell first which way it went/);
  });

  it('is no throw by hand', async () => {
    const { controller } = await asked();
    const { units, current } = controller.state.bench;
    expect(units[current]?.isByHand).not.toBe(true);
  });

  it.each([
    { columns: 80, rows: 24 },
    { columns: 120, rows: 36 },
  ])('stands whole at $columns x $rows, keys below, outputs off', async (size) => {
    const { controller } = await asked();
    for (const theme of [UNICODE, ASCII]) {
      const text = frameOf({
        ...{ state: controller.state, traces: controller.traces, past: controller.pastRuns, theme },
        ...size,
      });
      const lines = text.split('\n');
      expect(lines.length).toBeLessThan(size.rows);
      expect(Math.max(...lines.map((line) => line.length))).toBeLessThan(size.columns);
      // In a wide window the tray stands beside it, and parts its two lines.
      for (const part of ['Which way did it go when it was thrown forward?', '3: did not move', 'after 8 s.'])
        expect(text).toContain(part);
      expect(lines.at(-2)).toContain('1: up');
      expect(lines.at(-2)).toContain('4: not seen');
      expect(lines.at(-1)).toContain('Space or Esc: outputs off');
      expect(lines[0]).toContain('OUTPUTS OFF');
    }
  });

  it('is one plain line', () => {
    expect(plainLines(PROMPT, EMPTY_VIEW, themeFor({ NO_COLOR: '1' }))).toEqual([`  > ${SENTENCE}`]);
  });
});
