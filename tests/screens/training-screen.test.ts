// The training screen: frames as text at both sizes, keys as bytes, and nothing of what is hidden before it is told.

import { render } from 'ink';
import { createElement } from 'react';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { BenchEvent } from '../../host/bench/index.js';
import type { Training } from '../../host/bench/training/index.js';
import { TrainingApp } from '../../host/screens/TrainingApp.js';
import { TrainingController } from '../../host/screens/training-controller.js';
import { FakeKeyboard, FakeTerminal, UNICODE } from './fake-terminal.js';

const NAMES = [
  { id: 'healthy', sentence: 'Nothing is wrong with it.' },
  { id: 'k1-coil-open', sentence: 'The coil of K1 is open between 85 and 86.' },
  {
    id: 'feed-open',
    sentence:
      "The feed wire is open between the rig's feed and the feed joint of both 87, which is a long way to say so.",
  },
  ...Array.from({ length: 30 }, (_, i) => ({ id: `other-${i}`, sentence: `Another fault, number ${i}.` })),
];
const MENU = [
  { id: 'coil-current', question: 'Coil current at rest and thrown each way' },
  { id: 'exchange-relays', question: 'Exchange K1 and K2 and throw each way' },
];

/** A training with canned answers; the solver's own are tested where they are made. */
function scripted() {
  const training = {
    unit: undefined,
    seed: 7,
    names: NAMES,
    menu: MENU,
    asked: [] as unknown[],
    readings: undefined as unknown,
    ask(id: string) {
      const asked = {
        id,
        question: MENU.find((each) => each.id === id)!.question,
        answer: {
          readings: [
            { label: 'Coil current, forward', value: 0, unit: 'A' },
            { label: '85 to 86 of K1', value: Number.POSITIVE_INFINITY, unit: 'Ohm' },
          ],
          note: 'Through the limited feed: the full one trips the rig.',
        },
      };
      training.asked.push(asked);
      return asked;
    },
    reveal: (named?: { id: string; sentence: string }) => ({
      seed: 7,
      hidden: NAMES[1],
      named,
      right: named?.id === 'k1-coil-open',
      inseparable: false,
      probesAsked: training.asked.length,
      proofs: [
        {
          probeId: 'coil-k1',
          question: 'Pull K1',
          asked: true,
          goodValue: 85,
          reading: { label: '85 to 86 of K1', value: Number.POSITIVE_INFINITY, unit: 'Ohm' },
        },
        {
          probeId: 'coil-current',
          question: 'Coil current',
          asked: false,
          goodValue: 0.15,
          reading: { label: 'Coil current, forward', value: 0, unit: 'A' },
        },
      ],
      verdict: 'fail',
      sentence: 'The coil draws nothing.',
    }),
  };
  return training;
}

const EVENTS: BenchEvent[] = [
  {
    kind: 'unit-started',
    index: 0,
    tag: 'TRAINING',
    profileId: 'entry-step-relays',
    profileTitle: 'Entry step on a relay pair',
    circuitTitle: 'Relay pair thrown on the ground side, grounded at rest',
    steps: [
      { position: 'rest', durationS: 1, feed: 'full' },
      { position: 'forward', durationS: 1, feed: 'full' },
    ],
  },
  {
    kind: 'samples',
    slice: {
      timeS: Float64Array.from({ length: 200 }, (_, i) => i / 100),
      channels: { motorCurrentA: Float64Array.from({ length: 200 }, (_, i) => (i > 100 ? 4 : 0)) },
    },
  },
];

async function* stream(): AsyncIterable<BenchEvent> {
  yield* EVENTS;
}

function mount(size: { columns: number; rows: number }) {
  const training = scripted();
  let stops = 0;
  const controller = new TrainingController(training as unknown as Training, () => {
    stops += 1;
  });
  const terminal = new FakeTerminal(size, UNICODE);
  const keyboard = new FakeKeyboard();
  const app = render(createElement(TrainingApp, { controller, frames: terminal.frames, theme: UNICODE }), {
    stdout: terminal.frames as unknown as NodeJS.WriteStream,
    stdin: keyboard as unknown as NodeJS.ReadStream,
    exitOnCtrlC: false,
    patchConsole: false,
    debug: true,
  });
  onTestFinished(() => app.unmount());
  return { training, controller, terminal, keyboard, stops: () => stops };
}

/** Bounded: ten seconds, then the last error stands. */
const soon = (check: () => unknown) => expect.poll(check, { timeout: 10_000, interval: 5 });

const ROWS = [
  {
    label: 'Lead A',
    cells: { rest: { value: 0, usual: 0, unit: 'V' }, forward: { value: 12.34, usual: 12.56, unit: 'V' } },
  },
  { label: 'Motor current', cells: { forward: { value: 1.02, usual: 4.5, unit: 'A', limited: true } } },
];

describe.each([
  { columns: 80, rows: 24 },
  { columns: 120, rows: 36 },
])('training screen at $columns x $rows', (size) => {
  it('goes from the run by readings and a measurement to the fault named, and tells then only', async () => {
    const { training, controller, terminal, keyboard } = mount(size);
    await soon(() => terminal.text).toContain(
      'TRAINING on the virtual bench: no real unit, nothing is recorded.',
    );
    await soon(() => keyboard.isRaw).toBe(true);
    training.readings = ROWS;
    await controller.consume(stream());
    await soon(() => terminal.text).toMatch(
      /\[Readings\].*\n[\s\S]*Lead A +0\.00 V \(0\.00\) +12\.34 V \(12\.56\)/,
    );
    expect(terminal.text).toContain('1.02 A (4.50) l');
    expect(terminal.text).toContain('l: through the limited feed only');
    keyboard.write('\r');
    await soon(() => terminal.text).toContain('[Measure]');
    keyboard.write('coil');
    await soon(() => terminal.text).toContain('Search: coil_');
    expect(terminal.text).toContain('> Coil current at rest and thrown each way');
    expect(terminal.text).not.toContain('Exchange K1');
    keyboard.write('\r');
    await soon(() => terminal.text).toContain('85 to 86 of K1: open');
    expect(terminal.text).toContain('Through the limited feed');
    expect(terminal.text).toContain('measured: 1');
    keyboard.write('\t');
    await soon(() => terminal.text).toContain('[Name the fault]');
    keyboard.write('feed');
    await soon(() => terminal.text).toContain('Search: feed_');
    // The chosen one is shown whole, on a second line where it must.
    expect(terminal.text.replace(/\s+/g, ' ')).toContain('which is a long way to say so.');
    keyboard.write('\u001b');
    await soon(() => terminal.text).toContain(`1 of ${NAMES.length}`);
    keyboard.write('\u001b[B');
    await soon(() => terminal.text).toContain('> The coil of K1 is open');
    expect(terminal.text).not.toMatch(/RIGHT|WRONG|prove/);
    keyboard.write('\r');
    await soon(() => terminal.text).toContain('RIGHT after 1 measurement. It was: The coil of K1 is open');
    expect(terminal.text).toContain('85 to 86 of K1: open where a good one has 85.0 Ω');
    expect(terminal.text).toContain('you asked this');
    expect(terminal.text).toContain('--seed 7');
    keyboard.write('q');
    expect((await controller.closed)?.right).toBe(true);
  });

  it('keeps the chosen fault in sight in a list longer than the screen', async () => {
    const { training, controller, terminal, keyboard } = mount(size);
    await soon(() => keyboard.isRaw).toBe(true);
    training.readings = ROWS;
    await controller.consume(stream());
    keyboard.write('\u001b[Z');
    await soon(() => terminal.text).toContain('[Name the fault]');
    for (let page = 0; page < 6; page++) controller.press('', { pageDown: true });
    await soon(() => terminal.text).toContain('> Another fault, number 29.');
    expect(terminal.text).toContain('arrows, Enter: name it');
  });
});

describe('training screen keys', () => {
  const SIZE = { columns: 80, rows: 24 };
  it.each([
    ['Space', ' '],
    ['Esc', '\u001b'],
  ])(
    'sends outputs off for %s while the unit is thrown, and says that the run was broken off',
    async (_name, bytes) => {
      const { controller, terminal, keyboard, stops } = mount(SIZE);
      await soon(() => keyboard.isRaw).toBe(true);
      keyboard.write(bytes);
      await soon(() => stops()).toBe(1);
      await controller.consume(stream());
      await soon(() => terminal.text).toContain('The run was broken off; there is nothing to name.');
      keyboard.write('\r');
      expect(await controller.closed).toBeUndefined();
    },
  );

  it('sends outputs off and leaves for Ctrl-C', async () => {
    const { controller, keyboard, stops } = mount(SIZE);
    await soon(() => keyboard.isRaw).toBe(true);
    keyboard.write('\u0003');
    expect(await controller.closed).toBeUndefined();
    expect(stops()).toBe(1);
  });
});
