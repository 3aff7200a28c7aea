// What a person new to the bench stumbled over while nothing runs: pages beside the verdict, tags, windows, rooms.

import { describe, expect, it } from 'vitest';
import type { Ended } from '../../host/bench/index.js';
import { footerWords } from '../../host/screens/footer.js';
import { BenchController, type BenchControllerOptions } from '../../host/screens/index.js';
import { frameOf, UNICODE } from './fake-terminal.js';
import { scriptedJudgement, scriptedTray, TRAY } from './scripted-bench.js';
import { StepClock } from './step-clock.js';

/** Long ago enough for an Enter to be a press of its own. */
const OWN_S = 2;
const settled = async (): Promise<void> => {
  for (let turn = 0; turn < 12; turn++) await Promise.resolve();
};
const SMALL = { columns: 80, rows: 24 };
const frame = (controller: BenchController, size = SMALL): string =>
  frameOf({ state: controller.state, traces: controller.traces, theme: UNICODE, ...size });

function bench(options: Partial<BenchControllerOptions> = {}) {
  const clock = new StepClock();
  const controller = new BenchController({
    ...{ stop: () => undefined, clock, startsByItself: false, cautionsDue: false },
    ...options,
  });
  return { clock, controller };
}

/** One unit told, at the gate behind it. */
async function told(options: Partial<BenchControllerOptions> = {}, other: Partial<Ended> = {}) {
  const { clock, controller } = bench(options);
  for await (const event of scriptedTray({ units: TRAY.slice(1, 2) })) controller.take(event);
  const ended: Ended = {
    ...{ index: 0, tag: 'V-0102', attempt: 1, verdict: 'fail', isJudged: true, isStopped: false },
    ...other,
  };
  const after: unknown[] = [];
  void controller.afterUnit(ended).then((word) => after.push(word));
  clock.advance(2);
  return { clock, controller, after };
}

describe('a verdict that asks for the bench to be put right', () => {
  const PUT_RIGHT = { verdict: 'cannot-tell', isBenchInQuestion: true } as const;

  it('is followed by the same unit again', async () => {
    const { controller, after } = await told({}, PUT_RIGHT);
    const { main, others } = footerWords(controller.state);
    expect(main).toMatch(/^Enter: run V-0102 again, once that is put right/);
    expect(` ${others}`.length).toBeLessThanOrEqual(SMALL.columns);
    controller.press('go-on');
    await settled();
    expect(after).toEqual([{ goOn: 'again' }]);
  });

  it('leaves the unit set aside where the next one is scanned instead', async () => {
    const { controller, after } = await told({ onScan: () => true }, PUT_RIGHT);
    controller.scan('V-0103');
    await settled();
    expect(after).toEqual([{ goOn: 'next', disposition: 'hold' }]);
  });
});

describe('the pages beside a verdict', () => {
  it.each(['checks', 'traces'] as const)(
    'of %s are left by Enter, which decides nothing there',
    async (page) => {
      const { clock, controller, after } = await told();
      controller.press(page);
      expect(controller.state.page).not.toBe('bench');
      expect(footerWords(controller.state)).toMatchObject(
        page === 'checks'
          ? { main: expect.stringContaining('Enter or c: back') }
          : { others: expect.stringContaining('Enter or t: back') },
      );
      controller.press('go-on');
      await settled();
      expect(controller.state).toMatchObject({ page: 'bench', gate: { kind: 'after' } });
      expect(after).toEqual([]);
      clock.advance(OWN_S);
      controller.press('go-on');
      await settled();
      expect(after).toEqual([{ goOn: 'next', disposition: 'rework' }]);
    },
  );

  it('take no key for a decision that they do not show', async () => {
    const { controller, after } = await told();
    controller.press('checks');
    for (const key of ['accept', 'rework', 'reject', 'set-aside', 'skip', 'again', 'quit'] as const)
      controller.press(key);
    await settled();
    expect(after).toEqual([]);
    expect(controller.state.page).toBe('unit');
  });

  it('bring every check into sight in the smallest window, however much is told above', async () => {
    const { controller } = await told();
    const [unit] = controller.state.bench.units;
    if (unit === undefined) throw new Error('no unit');
    const checks = scriptedJudgement('fail').checks.map((check, i) => ({
      ...check,
      sentence: `${check.sentence} Number ${i}.`,
    }));
    const long = 'One of these, which read the same: a wire, a joint or a coil that is open. '
      .repeat(9)
      .trim();
    const findings = [1, 2].map((i) => ({
      id: `${i}`,
      likelihood: 0.4,
      sentence: long,
      nextProbe: 'Measure.',
    }));
    controller.state.bench = { ...controller.state.bench, units: [{ ...unit, checks, findings }] };
    controller.press('checks');
    let seen = frame(controller);
    for (let i = 0; i < checks.length + 4; i++) {
      controller.press('down');
      seen += frame(controller);
    }
    for (const i of checks.keys()) expect(seen).toContain(`Number ${i}.`);
    for (let i = 0; i < checks.length + 4; i++) controller.press('up');
    expect(frame(controller)).toContain('One of these');
  });
});

describe('the question of the tag', () => {
  const asked = { title: 'Which unit is next?', lines: [], label: 'Tag', longest: 24, proposal: 'V-0102' };

  it('refuses one that is too long, and never cuts it to another', async () => {
    const { controller } = bench();
    let tag: unknown = 'none yet';
    void controller.askText(asked).then((reply) => {
      tag = reply;
    });
    for (const sign of 'V'.repeat(300)) controller.type(sign);
    controller.press('go-on');
    await settled();
    expect(tag).toBe('none yet');
    expect(frame(controller)).toMatch(/Tag: 24 characters at the most, and this has 300\./);
    for (const sign of 'V-7') controller.type(sign);
    controller.press('go-on');
    await settled();
    expect(tag).toBe('V-7');
  });
});

describe('the question what a tag is', () => {
  const asked = { title: 'What is X-1?', lines: [], options: ['Vent', 'Step'], chosen: 0, canGoBack: true };

  it('goes back to the tag by Backspace, and only where there is a way back', async () => {
    const { controller } = bench();
    const replied = controller.askChoice(asked);
    expect(footerWords(controller.state).others).toContain('Backspace');
    controller.erase();
    expect(await replied).toBe('back');
    const { canGoBack: _, ...plain } = asked;
    let isReplied = false;
    void controller.askChoice(plain).then(() => {
      isReplied = true;
    });
    controller.erase();
    await settled();
    expect(isReplied).toBe(false);
  });

  it('takes the scan of another tag in place of the one that it asks about', async () => {
    const scanned: string[] = [];
    const { controller } = bench({
      onScan: (tag) => {
        scanned.push(tag);
        return true;
      },
    });
    const replied = controller.askChoice(asked);
    controller.scan('V-0107');
    expect(await replied).toBe('back');
    expect(scanned).toEqual(['V-0107']);
  });
});

describe('cautions', () => {
  const first = { index: 0, tag: 'V-0101', attempt: 1, holdsRotor: false };

  it('are not acknowledged in a window that does not show them', async () => {
    const read: string[] = [];
    const { clock, controller } = bench({ cautionsDue: true, onRead: (what) => read.push(what) });
    void controller.beforeUnit(first);
    await settled();
    clock.advance(OWN_S);
    controller.canRead = false;
    expect(frame(controller, { columns: 79, rows: 20 })).toContain('make the window larger');
    controller.press('go-on');
    await settled();
    expect(read).toEqual([]);
    expect(controller.state.gate?.kind).toBe('cautions');
    controller.canRead = true;
    controller.press('go-on');
    await settled();
    expect(read).toEqual(['cautions']);
  });

  it('go by themselves where nothing real is thrown, and count as read by nobody', async () => {
    const read: string[] = [];
    const options = { cautionsDue: true, isVirtual: () => true, onRead: (what: string) => read.push(what) };
    const { clock, controller } = bench(options);
    void controller.beforeUnit(first);
    await settled();
    expect(frame(controller)).toContain('Goes on in 3 s');
    for (let i = 0; i < 8; i++) {
      clock.advance(0.5);
      await settled();
    }
    // What throws waits for Enter all the same.
    expect(controller.state.gate).toMatchObject({ kind: 'clip-on', tag: 'V-0101' });
    expect(read).toEqual([]);
  });
});

describe('an open room', () => {
  it('keeps anything from starting by itself behind it', async () => {
    const rooms = async () => ({ title: 'Rooms', rows: [] });
    const { clock, controller } = bench({ startsByItself: true, cautionsDue: true, rooms });
    controller.press('rooms');
    await settled();
    let word: unknown = 'waits';
    void controller.beforeUnit({ index: 0, tag: 'V-0101', attempt: 1, holdsRotor: false }).then((before) => {
      word = before;
    });
    for (let i = 0; i < 20; i++) {
      clock.advance(0.5);
      await settled();
    }
    expect(word).toBe('waits');
    expect(controller.state.rooms).toHaveLength(1);
  });
});

describe('the two rows of keys', () => {
  it('fit the smallest window with everything that a clip-on list offers', async () => {
    const { controller } = await told({ onOtherProfile: () => undefined });
    controller.take({ kind: 'disposed', index: 0, tag: 'V-0102', runId: 'run-1-1', disposition: 'rework' });
    void controller.beforeUnit({ index: 0, tag: 'V-0102', attempt: 1, holdsRotor: false });
    await settled();
    const { main, others } = footerWords(controller.state);
    expect(others).toContain('p: profile');
    expect(others).toContain('undo');
    for (const row of [main, others]) expect(row.length).toBeLessThanOrEqual(78);
  });
});

describe('what was advised of a stop before the run', () => {
  it('is not told of a unit that ran to its end and was judged', async () => {
    const { controller } = bench();
    for await (const event of scriptedTray({ units: TRAY.slice(0, 1) })) {
      controller.take(event);
      if (event.kind === 'rig-ready')
        controller.take({
          kind: 'trouble',
          code: 'earlier-stop',
          sentence: 'It had stopped.',
          advice: 'Check the cable.',
        });
    }
    expect(controller.state.bench.units[0]).toMatchObject({ verdict: 'pass' });
    expect(frame(controller)).not.toContain('Check the cable.');
  });
});
