// A room in which a person is asked: what is typed and told, single keys while a load is on, and every way out.

import { describe, expect, it } from 'vitest';
import { footerWords } from '../../host/screens/footer.js';
import { BenchController } from '../../host/screens/index.js';
import { KeyReader } from '../../host/screens/key-reader.js';
import type { TalkTerminal } from '../../host/screens/talk.js';
import { frameOf, UNICODE } from './fake-terminal.js';
import { StepClock } from './step-clock.js';

const settled = async (): Promise<void> => {
  for (let turn = 0; turn < 4; turn++) await new Promise((resolve) => setImmediate(resolve));
};

/** The first room is the talk; what it hears is gathered. */
async function talking(begin: (terminal: TalkTerminal) => void = () => undefined) {
  const clock = new StepClock();
  const heard: string[] = [];
  const stops: string[] = [];
  let terminal: TalkTerminal | undefined;
  let end: () => void = () => undefined;
  const controller = new BenchController({
    ...{ stop: () => stops.push('off'), clock, startsByItself: false, cautionsDue: false },
    rooms: async () => ({
      title: 'Calibrate',
      talk: (given) => {
        terminal = given;
        given.stdin.on('data', (chunk) => heard.push(String(chunk)));
        begin(given);
        return new Promise<void>((resolve) => {
          end = resolve;
        });
      },
    }),
  });
  controller.take({ kind: 'tray-started', units: [{ tag: 'V-0105', profileTitle: 'Vent' }] });
  void controller.beforeUnit({ index: 0, tag: 'V-0105', attempt: 1, holdsRotor: false });
  await settled();
  controller.press('rooms');
  await settled();
  if (terminal === undefined) throw new Error('the talk was not begun');
  const { stdin } = terminal as TalkTerminal & { stdin: { setRawMode?(on: boolean): void } };
  const live = (on: boolean): void => stdin.setRawMode?.(on);
  const keys = new KeyReader(controller, clock);
  return { ...{ clock, controller, heard, stops, terminal, live, keys }, end: () => end() };
}

const frame = (controller: BenchController): string =>
  frameOf({ state: controller.state, traces: controller.traces, theme: UNICODE, columns: 80, rows: 24 });

describe('a talk', () => {
  it('tells line by line, and takes an answer behind its question', async () => {
    const { controller, heard, terminal, clock, keys } = await talking();
    terminal.write('Outputs are off.\nWhat did the meter show? [read again] ');
    expect(footerWords(controller.state).main).toContain('[ ]');
    for (const sign of '4.5 A') keys.take(sign, {});
    expect(frame(controller)).toContain('What did the meter show? [read again] 4.5 A_');
    clock.advance(1);
    keys.take('', { return: true });
    await settled();
    expect(heard).toEqual(['4.5 A\n']);
    terminal.write('Kept.\n');
    expect(frame(controller)).toMatch(/\[read again\] 4\.5 A\s*\nKept\./);
  });

  it('takes an Enter alone only where something is asked, and only as a press of its own', async () => {
    const { controller, heard, terminal, clock } = await talking();
    clock.advance(1);
    controller.press('go-on');
    await settled();
    expect(heard).toEqual([]);
    terminal.write('Switch it on? [yes] ');
    // A pedal that bounces, a key that is held down.
    clock.advance(0.3);
    controller.press('go-on');
    await settled();
    expect(heard).toEqual([]);
    clock.advance(1);
    controller.press('go-on');
    await settled();
    expect(heard).toEqual(['\n']);
  });

  it('shows the newest lines, and the older ones when read back', async () => {
    const { controller, terminal } = await talking();
    terminal.write(Array.from({ length: 60 }, (_, i) => `Line ${i}.\n`).join(''));
    expect(frame(controller)).toContain('Line 59.');
    expect(frame(controller)).not.toContain('Line 30.');
    for (let i = 0; i < 3; i++) controller.press('page-up');
    expect(frame(controller)).toContain('Line 20.');
    for (let i = 0; i < 9; i++) controller.press('page-up');
    expect(frame(controller)).toContain('Line 0.');
  });

  it('goes back to where it was opened when it is over, also when it failed', async () => {
    const { controller, end, clock } = await talking((terminal) => terminal.write('Kept, from now on.\n'));
    end();
    await settled();
    expect(frame(controller)).toContain('Kept, from now on.');
    clock.advance(1);
    controller.press('go-on');
    expect(controller.state.rooms).toBeUndefined();
    expect(controller.state.gate?.kind).toBe('clip-on');
    const broken = await talking(() => {
      throw new Error('The port is held by another program.');
    });
    await settled();
    expect(frame(broken.controller)).toContain('The port is held by another program.');
    broken.controller.press('rooms');
    expect(broken.controller.state.rooms).toBeUndefined();
  });
});

describe('a talk with a load on', () => {
  it('says so on the bar, and hears outputs off from Space, Esc and a scan; other keys are nothing', async () => {
    const { controller, heard, stops, live, keys, clock } = await talking();
    expect(frame(controller)).toContain('OUTPUTS OFF');
    live(true);
    expect(frame(controller)).toContain('LOAD ON');
    expect(footerWords(controller.state).main).toBe('Space or Esc: outputs off');
    for (const key of ['x', 'q']) {
      keys.take(key, {});
      clock.advance(1);
    }
    keys.take('', { tab: true });
    keys.take('', { downArrow: true });
    await settled();
    expect(heard).toEqual([]);
    keys.take(' ', {});
    keys.take('', { escape: true });
    keys.take('V-0107\r', {});
    await settled();
    expect(heard.join('')).toMatch(/^ {3,}$/);
    expect(stops.length).toBeGreaterThanOrEqual(3);
    expect(controller.state.rooms).toHaveLength(1);
    // The Enter at the end of the scan was none; a press of its own reads the meter.
    clock.advance(1);
    keys.take('', { return: true });
    await settled();
    expect(heard.at(-1)).toBe('\r');
    live(false);
    expect(frame(controller)).toContain('OUTPUTS OFF');
  });

  it('forgets what was typed ahead of it', async () => {
    const { controller, live, keys, terminal } = await talking();
    for (const sign of 'yes') keys.take(sign, {});
    live(true);
    live(false);
    terminal.write('Keep it? [no] ');
    expect(frame(controller)).toContain('Keep it? [no] _');
  });

  it('is told of Ctrl-C, and the program waits until it has closed what it opened', async () => {
    const { controller, heard, live, keys, end, terminal } = await talking();
    live(true);
    keys.take('c', { ctrl: true });
    let isSettled = false;
    void controller.settled().then(() => {
      isSettled = true;
    });
    await settled();
    expect(heard).toEqual([' ', '\u0003']);
    expect(terminal.closed.aborted).toBe(true);
    expect(isSettled).toBe(false);
    end();
    await settled();
    expect(isSettled).toBe(true);
  });
});

describe('leaving a talk by Tab', () => {
  it('waits until it has closed what it opened, and nothing is answered meanwhile', async () => {
    const { controller, end, heard, terminal, clock } = await talking((given) =>
      given.write('Keep it? [yes] '),
    );
    let isEnded = false;
    terminal.stdin.on('end', () => {
      isEnded = true;
    });
    clock.advance(1);
    controller.press('rooms');
    await settled();
    expect({ isEnded, closed: terminal.closed.aborted }).toEqual({ isEnded: true, closed: true });
    expect(frame(controller)).toContain('one moment');
    clock.advance(1);
    controller.press('go-on');
    await settled();
    expect(heard).toEqual([]);
    end();
    await settled();
    expect(controller.state.rooms).toBeUndefined();
  });
});

describe('a program that is left', () => {
  it('begins no talk that was still being fetched', async () => {
    let begun = 0;
    let fetched: () => void = () => undefined;
    const controller = new BenchController({
      ...{ stop: () => undefined, clock: new StepClock(), startsByItself: false, cautionsDue: false },
      rooms: async () => {
        await new Promise<void>((resolve) => {
          fetched = resolve;
        });
        return { title: 'Calibrate', talk: async () => void begun++ };
      },
    });
    controller.press('rooms');
    controller.press('leave');
    fetched();
    await settled();
    expect(begun).toBe(0);
  });
});
