import { describe, expect, it } from 'vitest';
import { BenchController } from '../../host/screens/index.js';
import { keyAction } from '../../host/screens/keys.js';
import { type ScriptOptions, scriptedTray, TRAY } from './scripted-bench.js';
import { StepClock } from './step-clock.js';

function sit(options: { startsByItself?: boolean } & ScriptOptions = {}) {
  const { startsByItself = true, ...script } = options;
  const clock = new StepClock();
  const abort = new AbortController();
  let stops = 0;
  const controller = new BenchController({
    stop: () => {
      stops += 1;
      abort.abort();
    },
    clock,
    startsByItself,
  });
  const units = script.units ?? TRAY;
  const ended = controller.consume(
    scriptedTray({
      ...script,
      signal: abort.signal,
      beforeUnit: (index) => controller.beforeUnit(index, units[index]!.tag),
      sleep: (seconds) => clock.sleep(seconds),
    }),
  );
  /** Moves the clock in small steps and lets the script run in between. */
  const run = async (seconds: number): Promise<void> => {
    for (let i = 0; i < Math.round(seconds / 0.05); i++) {
      clock.advance(0.05);
      for (let turn = 0; turn < 8; turn++) await Promise.resolve();
    }
  };
  return { clock, controller, ended, run, stops: () => stops };
}

const KEYS = {
  space: [' ', {}],
  escape: ['', { escape: true }],
  enter: ['\r', { return: true }],
  'ctrl-c': ['c', { ctrl: true }],
  q: ['q', {}],
  x: ['x', {}],
  down: ['', { downArrow: true }],
} as const;
const press = (controller: BenchController, key: keyof typeof KEYS): void =>
  controller.press(keyAction(KEYS[key][0], KEYS[key][1]));

describe('gates before a unit', () => {
  it('shows the cautions for three seconds, then starts by itself on the virtual bench', async () => {
    const { controller, run } = sit();
    await run(2.8);
    expect(controller.state.gate).toMatchObject({ kind: 'cautions', tag: 'V-0101' });
    expect(controller.state.bench.current).toBe(-1);
    await run(0.4);
    expect(controller.state.gate).toBeUndefined();
    expect(controller.state.bench.current).toBe(0);
  });

  it('waits for Enter on a real rig, however long', async () => {
    const { controller, run } = sit({ startsByItself: false });
    await run(60);
    expect(controller.state.gate).toEqual({ kind: 'cautions', tag: 'V-0101' });
    press(controller, 'x');
    await run(1);
    expect(controller.state.bench.current).toBe(-1);
    press(controller, 'enter');
    await run(0.1);
    expect(controller.state.bench.current).toBe(0);
  });

  it('asks a person to hook the first unit up after the cautions, where it is told how', async () => {
    const { controller, run } = sit({ startsByItself: false });
    controller.take({ kind: 'hook-up', tag: 'V-0101', lines: ['Lead A from 30 of K1.'] });
    await run(0.1);
    press(controller, 'enter');
    await run(5);
    expect(controller.state.gate).toEqual({ kind: 'clip-on', tag: 'V-0101' });
    expect(controller.state.bench.current).toBe(-1);
    press(controller, 'enter');
    await run(0.1);
    expect(controller.state.bench.current).toBe(0);
  });

  it('is held by any other key and goes on at Enter', async () => {
    const { controller, run } = sit();
    await run(1);
    press(controller, 'x');
    await run(30);
    expect(controller.state.gate).toEqual({ kind: 'cautions', tag: 'V-0101' });
    press(controller, 'enter');
    await run(0.1);
    expect(controller.state.bench.units[0]!.state).toBe('on-bench');
  });

  it('leaves a verdict on the screen for a while before the next unit starts', async () => {
    const { controller, run } = sit();
    await run(3.2 + 3.4);
    expect(controller.state.gate).toMatchObject({ kind: 'dwell', tag: 'V-0102' });
    expect(controller.state.bench.units[0]!.verdict).toBe('pass');
    await run(2.6);
    expect(controller.state.bench.current).toBe(1);
  });

  it('asks for the next unit on a real rig', async () => {
    const { controller, run } = sit({ startsByItself: false });
    press(controller, 'enter');
    await run(0.1);
    press(controller, 'enter');
    await run(5);
    expect(controller.state.gate).toEqual({ kind: 'clip-on', tag: 'V-0102' });
  });
});

describe.each(['space', 'escape', 'ctrl-c'] as const)('outputs off by %s', (key) => {
  const moments: [string, number][] = [
    ['while the cautions are shown', 1],
    ['while nothing has been thrown yet', 3.1],
    ['during the forward throw', 4],
    ['during the reverse throw', 5.4],
    ['while a verdict is shown', 6.8],
    ['during the second unit', 11],
  ];
  it.each(moments)('sends outputs off at once %s', async (_moment, atS) => {
    const { controller, run, stops, ended } = sit();
    await run(atS);
    expect(stops()).toBe(0);
    press(controller, key);
    expect(stops()).toBe(1);
    await run(0.2);
    await ended;
    expect(controller.state.ended).toBe(true);
    expect(controller.state.bench).toMatchObject({ position: 'rest', feed: 'off' });
    const started = controller.state.bench.units.filter(({ state }) => state !== 'waiting').length;
    expect(started).toBe(atS < 3 ? 0 : atS < 9 ? 1 : 2);
  });

  it('sends outputs off while a gate is held, and after the tray, on every page', async () => {
    const held = sit();
    await held.run(1);
    press(held.controller, 'x');
    press(held.controller, key);
    expect(held.stops()).toBe(1);
    await held.run(0.1);
    await held.ended;

    for (const enters of [0, 1, 2]) {
      const done = sit();
      await done.run(40);
      await done.ended;
      for (let i = 0; i < enters; i++) press(done.controller, 'enter');
      press(done.controller, key);
      expect(done.stops()).toBe(1);
    }
  });
});

describe('a question', () => {
  const asked = async (answer: (controller: BenchController) => void): Promise<boolean> => {
    const controller = new BenchController({
      stop: () => undefined,
      clock: new StepClock(),
      startsByItself: false,
    });
    const answered = controller.choose();
    answer(controller);
    return answered;
  };

  it('is answered yes by y alone; by Enter, n and a stop no; and waits through any other key', async () => {
    expect(await asked((controller) => controller.press(keyAction('y', {})))).toBe(true);
    expect(await asked((controller) => controller.press(keyAction('n', {})))).toBe(false);
    expect(await asked((controller) => controller.press(keyAction('', { return: true })))).toBe(false);
    expect(await asked((controller) => controller.press(keyAction(' ', {})))).toBe(false);
    expect(
      await asked((controller) => {
        for (const key of ['x', 'q']) controller.press(keyAction(key, {}));
        controller.press(keyAction('Y', {}));
      }),
    ).toBe(true);
  });
});

describe('leaving', () => {
  it('stays after Space, so that what happened can be read, and closes at q', async () => {
    const { controller, run, ended } = sit();
    await run(4);
    press(controller, 'space');
    await run(0.2);
    await ended;
    let closed = false;
    void controller.closed.then(() => {
      closed = true;
    });
    await run(0.1);
    expect(closed).toBe(false);
    press(controller, 'q');
    expect(await controller.closed).toEqual({ forced: false });
  });

  it('closes by itself after Ctrl-C once the rig has ended the run', async () => {
    const { controller, run, ended } = sit();
    await run(4);
    press(controller, 'ctrl-c');
    await run(0.2);
    await ended;
    expect(await controller.closed).toEqual({ forced: false });
  });

  it('forces its way out at the second Ctrl-C when the rig does not end the run', async () => {
    const clock = new StepClock();
    const controller = new BenchController({ stop: () => undefined, clock, startsByItself: true });
    const never = (async function* () {
      await new Promise(() => undefined);
      yield* [];
    })();
    void controller.consume(never);
    press(controller, 'ctrl-c');
    clock.advance(2);
    expect(controller.state.stop).toBe('asked');
    clock.advance(2);
    expect(controller.state.stop).toBe('unconfirmed');
    press(controller, 'ctrl-c');
    expect(await controller.closed).toEqual({ forced: true });
  });

  it('does not leave at q while a unit is on the bench', async () => {
    const { controller, run, stops } = sit();
    await run(4);
    let closed = false;
    void controller.closed.then(() => {
      closed = true;
    });
    press(controller, 'q');
    await run(0.1);
    expect(closed).toBe(false);
    expect(stops()).toBe(0);
  });

  it('throws on what broke the bench, after the state says that it ended', async () => {
    const clock = new StepClock();
    const controller = new BenchController({ stop: () => undefined, clock, startsByItself: true });
    const broken = (async function* () {
      yield* [];
      throw new Error('the bench broke');
    })();
    await expect(controller.consume(broken)).rejects.toThrow('the bench broke');
    expect(controller.state.ended).toBe(true);
  });
});

describe('after the tray', () => {
  it('opens the table by itself, chooses with arrows, and opens and leaves a unit with Enter', async () => {
    const { controller, run, ended } = sit();
    await run(35);
    await ended;
    await run(6);
    expect(controller.state.page).toBe('table');
    expect(controller.state.selected).toBe(3);
    controller.press('up');
    controller.press('up');
    expect(controller.state.selected).toBe(1);
    controller.press('page-up');
    expect(controller.state.selected).toBe(0);
    controller.press('page-down');
    controller.press('down');
    expect(controller.state.selected).toBe(3);
    press(controller, 'enter');
    expect(controller.state.page).toBe('unit');
    controller.press('down');
    expect(controller.state.scroll).toBe(1);
    press(controller, 'enter');
    expect(controller.state.page).toBe('table');
  });

  it('goes between bench and checks for a single unit', async () => {
    const { controller, run, ended } = sit({ units: [TRAY[0]!] });
    await run(10);
    await ended;
    await run(10);
    expect(controller.state.page).toBe('bench');
    press(controller, 'enter');
    expect(controller.state.page).toBe('unit');
    press(controller, 'enter');
    expect(controller.state.page).toBe('bench');
  });
});

describe('keys', () => {
  it.each([
    ['  ', {}, 'outputs-off'],
    ['x x', {}, 'outputs-off'],
    ['\u0003', {}, 'leave'],
    ['c', { ctrl: true }, 'leave'],
    ['c', {}, 'hold'],
    ['Q', {}, 'quit'],
    ['', { return: true }, 'go-on'],
    ['', { pageDown: true }, 'page-down'],
  ] as const)('reads %j with %j as %s', (input, key, action) => {
    expect(keyAction(input, key)).toBe(action);
  });
});
