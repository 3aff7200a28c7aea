import { describe, expect, it } from 'vitest';
import { known } from '../../host/fields/index.js';
import { BenchController, type BenchControllerOptions } from '../../host/screens/index.js';
import { keyAction } from '../../host/screens/keys.js';
import { type ScriptOptions, scriptedTray, TRAY } from './scripted-bench.js';
import { StepClock } from './step-clock.js';

function sit(options: Partial<BenchControllerOptions> & ScriptOptions = {}) {
  const { startsByItself = true, cautionsDue = true, onScan, onRead, ...script } = options;
  const clock = new StepClock();
  const whole = new AbortController();
  let attempt = new AbortController();
  let stops = 0;
  const controller = new BenchController({
    stop: () => {
      stops += 1;
      attempt.abort();
    },
    leave: () => whole.abort(),
    ...{ clock, startsByItself, cautionsDue },
    ...known({ onScan, onRead }),
  });
  const ended = controller.consume(
    scriptedTray({
      ...script,
      signal: whole.signal,
      attemptSignal: () => {
        attempt = new AbortController();
        return attempt.signal;
      },
      beforeUnit: (next) => controller.beforeUnit(next),
      afterUnit: (after) => controller.afterUnit(after),
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
  z: ['z', {}],
  r: ['r', {}],
  s: ['s', {}],
  u: ['u', {}],
  x: ['x', {}],
  c: ['c', {}],
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

  it('waits for Enter on a real rig, however long, and once more until the unit is clipped on', async () => {
    const { controller, run } = sit({ startsByItself: false });
    await run(60);
    expect(controller.state.gate).toEqual({ kind: 'cautions', tag: 'V-0101' });
    press(controller, 'z');
    await run(1);
    expect(controller.state.bench.current).toBe(-1);
    press(controller, 'enter');
    await run(5);
    expect(controller.state.gate).toMatchObject({ kind: 'clip-on', tag: 'V-0101', attempt: 1 });
    expect(controller.state.bench.current).toBe(-1);
    press(controller, 'enter');
    await run(0.1);
    expect(controller.state.bench.current).toBe(0);
  });

  it('leaves out cautions that were read this shift, and tells when they are read', async () => {
    const read: string[] = [];
    const again = sit({ startsByItself: false, cautionsDue: false });
    await again.run(1);
    expect(again.controller.state.gate?.kind).toBe('clip-on');
    const first = sit({ startsByItself: false, onRead: (what, tag) => read.push(`${what} ${tag}`) });
    await first.run(1);
    press(first.controller, 'enter');
    await first.run(0.1);
    expect(read).toEqual(['cautions V-0101']);
    // Gone by themselves is not read.
    const byItself = sit({ onRead: (what) => read.push(what) });
    await byItself.run(4);
    expect(byItself.controller.state.bench.current).toBe(0);
    expect(read).toHaveLength(1);
  });

  it('has the cautions of a held rotor read before each such unit', async () => {
    const read: string[] = [];
    const { controller, run } = sit({
      ...{ startsByItself: false, cautionsDue: false, holdsRotor: true },
      onRead: (what, tag) => read.push(`${what} ${tag}`),
    });
    await run(1);
    expect(controller.state.gate).toMatchObject({ kind: 'held-rotor', tag: 'V-0101' });
    press(controller, 'enter');
    await run(1);
    expect(read).toEqual(['held-rotor V-0101']);
    expect(controller.state.gate?.kind).toBe('clip-on');
  });

  it('does not throw for an Enter that is held down or bounces', async () => {
    const { controller, run } = sit({ startsByItself: false });
    // A pedal held for six seconds: half a second, then thirty times a second.
    press(controller, 'enter');
    await run(0.5);
    for (let i = 0; i < 110; i++) {
      press(controller, 'enter');
      await run(0.05);
    }
    expect(controller.state.gate?.kind).toBe('clip-on');
    expect(controller.state.bench.current).toBe(-1);
    await run(1);
    press(controller, 'enter');
    await run(0.1);
    expect(controller.state.bench.current).toBe(0);
  });

  it('is held by any other key and goes on at Enter', async () => {
    const { controller, run } = sit();
    await run(1);
    press(controller, 'z');
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

  it('asks on a real rig what becomes of the unit, then for the next one', async () => {
    const { controller, run } = await thrown();
    expect(controller.state.gate).toMatchObject({ kind: 'after', tag: 'V-0101' });
    press(controller, 'enter');
    await run(1);
    expect(controller.state.bench.units[0]!.disposition).toBe('accept');
    expect(controller.state.gate).toMatchObject({ kind: 'clip-on', tag: 'V-0102' });
  });
});

/** The first unit of a real rig's tray, told. */
async function thrown(options: Partial<BenchControllerOptions> & ScriptOptions = {}) {
  const sat = sit({ startsByItself: false, cautionsDue: false, ...options });
  await sat.run(1);
  press(sat.controller, 'enter');
  await sat.run(5);
  return sat;
}

describe('after a verdict', () => {
  it.each([
    ['enter', 'accept'],
    ['x', 'reject'],
    ['s', undefined],
  ] as const)('%s decides %s and asks for the next unit', async (key, disposition) => {
    const { controller, run } = await thrown();
    press(controller, key);
    await run(1);
    expect(controller.state.bench.units[0]!.disposition).toBe(disposition);
    expect(controller.state.gate).toMatchObject({ kind: 'clip-on', tag: 'V-0102' });
  });

  it('Enter never proposes a unit that failed, or could not be told, for use', async () => {
    const failed = await thrown({ units: [{ tag: 'V-0102', outcome: 'fail' }, TRAY[0]!] });
    press(failed.controller, 'enter');
    await failed.run(0.2);
    expect(failed.controller.state.bench.units[0]!.disposition).toBe('rework');
    const doubtful = await thrown({ units: [{ tag: 'V-0103', outcome: 'cannot-tell' }, TRAY[0]!] });
    press(doubtful.controller, 'enter');
    await doubtful.run(0.2);
    expect(doubtful.controller.state.bench.units[0]!.disposition).toBe('hold');
  });

  it('u takes the decision back and asks anew', async () => {
    const { controller, run } = await thrown();
    press(controller, 'enter');
    await run(1);
    press(controller, 'u');
    await run(1);
    expect(controller.state.bench.units[0]!.disposition).toBeUndefined();
    expect(controller.state.gate).toMatchObject({ kind: 'after', tag: 'V-0101' });
    press(controller, 'x');
    await run(1);
    expect(controller.state.bench.units[0]!.disposition).toBe('reject');
  });

  it('r runs the same unit again, after one more look at it', async () => {
    const { controller, run } = await thrown();
    press(controller, 'r');
    await run(1);
    expect(controller.state.gate).toMatchObject({ kind: 'clip-on', tag: 'V-0101', attempt: 2 });
    press(controller, 'enter');
    await run(1);
    expect(controller.state.bench.units[0]).toMatchObject({ state: 'on-bench', attempt: 2, checks: [] });
    await run(4);
    expect(controller.state.bench.units[0]).toMatchObject({ state: 'told', runId: 'run-1-2' });
  });

  it('c shows all checks and c comes back; nothing is decided by it', async () => {
    const { controller, run } = await thrown();
    press(controller, 'c');
    expect(controller.state.page).toBe('unit');
    press(controller, 'down');
    expect(controller.state.scroll).toBe(1);
    press(controller, 'c');
    await run(0.1);
    expect(controller.state).toMatchObject({ page: 'bench', gate: { kind: 'after' } });
  });

  it('takes the scan of the next tag for the decision that was proposed', async () => {
    const scanned: string[] = [];
    const { controller, run } = await thrown({
      onScan: (tag) => {
        scanned.push(tag);
        return true;
      },
    });
    controller.scan('V-0102');
    await run(1);
    expect(scanned).toEqual(['V-0102']);
    expect(controller.state.bench.units[0]!.disposition).toBe('accept');
  });

  it('goes on by itself on the virtual bench unless r is pressed', async () => {
    const { controller, run } = sit();
    await run(6.6);
    expect(controller.state.gate).toMatchObject({ kind: 'dwell', tag: 'V-0102' });
    press(controller, 'r');
    await run(1);
    expect(controller.state.gate).toMatchObject({ kind: 'clip-on', tag: 'V-0101', attempt: 2 });
  });
});

describe('a stop', () => {
  it.each([
    ['enter', 'clip-on', 'V-0101'],
    ['r', 'clip-on', 'V-0101'],
    ['s', 'clip-on', 'V-0102'],
  ] as const)('ends the run and nothing else: %s leads to %s of %s', async (key, kind, tag) => {
    const { controller, run } = sit({ startsByItself: false, cautionsDue: false });
    await run(1);
    press(controller, 'enter');
    await run(1);
    press(controller, 'space');
    await run(1);
    expect(controller.state.gate).toMatchObject({ kind: 'after', ended: { isStopped: true } });
    expect(controller.state.bench.units[0]).toMatchObject({ aborted: true });
    press(controller, key);
    await run(1);
    expect(controller.state.gate).toMatchObject({ kind, tag });
    press(controller, 'enter');
    await run(1);
    expect(controller.state).toMatchObject({ stop: 'no' });
    expect(controller.state.bench.stepIndex).toBeGreaterThanOrEqual(0);
  });

  it('makes the virtual bench wait for a key from then on', async () => {
    const { controller, run } = sit();
    await run(4);
    press(controller, 'space');
    await run(60);
    expect(controller.state.gate).toMatchObject({ kind: 'after', tag: 'V-0101' });
    press(controller, 's');
    await run(60);
    expect(controller.state.gate).toMatchObject({ kind: 'clip-on', tag: 'V-0102' });
  });

  it('at a gate starts nothing, and the gate stays', async () => {
    const { controller, run, stops } = sit();
    await run(1);
    press(controller, 'space');
    await run(60);
    expect(stops()).toBe(1);
    expect(controller.state.gate).toEqual({ kind: 'cautions', tag: 'V-0101', isOffSent: true });
    press(controller, 'enter');
    await run(60);
    expect(controller.state.gate).toMatchObject({ kind: 'clip-on', tag: 'V-0101' });
    expect(controller.state.bench.current).toBe(-1);
  });
});

describe('while anything may be energised', () => {
  it('no key but Space, Esc and Ctrl-C does a thing', async () => {
    const { controller, run, stops } = sit();
    await run(4);
    const before = controller.state;
    for (const key of ['enter', 'q', 'r', 's', 'u', 'x', 'c', 'z', 'down'] as const) press(controller, key);
    expect({ ...controller.state, bench: before.bench }).toEqual(before);
    expect(stops()).toBe(0);
  });

  it('a scan is outputs off', async () => {
    const { controller, run, stops } = sit();
    await run(4);
    controller.scan('V-0102');
    expect(stops()).toBe(1);
    expect(controller.state.stop).toBe('asked');
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
    await run(30);
    expect(controller.state.bench).toMatchObject({ position: 'rest', feed: 'off' });
    const started = controller.state.bench.units.filter(({ state }) => state !== 'waiting').length;
    expect(started).toBe(atS < 3 ? 0 : atS < 9 ? 1 : 2);
    if (key === 'ctrl-c') await ended;
    expect(controller.state.ended).toBe(key === 'ctrl-c');
  });

  it('sends outputs off while a gate is held, and after the tray, on every page', async () => {
    const held = sit();
    await held.run(1);
    press(held.controller, 'z');
    press(held.controller, key);
    expect(held.stops()).toBe(1);

    for (const enters of [0, 1, 2]) {
      const done = sit();
      await done.run(50);
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
    let closed = false;
    void controller.closed.then(() => {
      closed = true;
    });
    await run(0.1);
    expect(closed).toBe(false);
    press(controller, 'q');
    await run(0.1);
    await ended;
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
      await controller.beforeUnit({ index: 0, tag: 'V-0101', attempt: 1, holdsRotor: false });
      await new Promise(() => undefined);
      yield* [];
    })();
    void controller.consume(never);
    clock.advance(4);
    await Promise.resolve();
    for (let turn = 0; turn < 8; turn++) await Promise.resolve();
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
    await run(50);
    await ended;
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

  it('closes when a single unit is decided on', async () => {
    const { controller, run, ended } = sit({ units: [TRAY[0]!] });
    await run(60);
    expect(controller.state.gate).toMatchObject({ kind: 'after', tag: 'V-0101' });
    press(controller, 'enter');
    await run(0.2);
    await ended;
    expect(await controller.closed).toEqual({ forced: false });
    expect(controller.state.bench.units[0]!.disposition).toBe('accept');
  });
});

describe('keys', () => {
  it.each([
    ['  ', {}, 'outputs-off'],
    ['x x', {}, 'outputs-off'],
    ['\u0003', {}, 'leave'],
    ['c', { ctrl: true }, 'leave'],
    ['c', {}, 'checks'],
    ['z', {}, 'hold'],
    ['Q', {}, 'quit'],
    ['', { return: true }, 'go-on'],
    ['', { pageDown: true }, 'page-down'],
  ] as const)('reads %j with %j as %s', (input, key, action) => {
    expect(keyAction(input, key)).toBe(action);
  });
});
