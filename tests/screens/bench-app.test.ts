// Keys as bytes on an injected keyboard, frames on an injected terminal.

import { describe, expect, it, onTestFinished } from 'vitest';
import { BenchController } from '../../host/screens/index.js';
import { mountApp } from './fake-terminal.js';
import { scriptedTray, TRAY } from './scripted-bench.js';
import { StepClock } from './step-clock.js';

const SIZE = { columns: 80, rows: 24 };

function mount() {
  let stops = 0;
  const controller = new BenchController({
    stop: () => {
      stops += 1;
    },
    clock: new StepClock(),
    startsByItself: true,
  });
  const mounted = mountApp(controller, SIZE);
  onTestFinished(() => mounted.app.unmount());
  return { controller, stops: () => stops, ...mounted };
}

/** Bounded: ten seconds, then the last error stands. */
const soon = (check: () => void) => expect.poll(() => check(), { timeout: 10_000, interval: 5 });

describe('bench application', () => {
  it.each([
    ['Space', ' '],
    ['Esc', '\u001b'],
    ['Ctrl-C', '\u0003'],
    ['a held Space', '     '],
  ])('sends outputs off for the byte of %s', async (_name, bytes) => {
    const { keyboard, stops } = mount();
    await soon(() => keyboard.isRaw).toBe(true);
    keyboard.write(bytes);
    await soon(() => stops()).toBe(1);
  });

  it('does not take an arrow key for Esc', async () => {
    const { controller, keyboard, stops } = mount();
    await controller.consume(scriptedTray());
    await soon(() => keyboard.isRaw).toBe(true);
    await soon(() => controller.state.page).toBe('table');
    keyboard.write('\u001b[A');
    await soon(() => controller.state.selected).toBe(TRAY.length - 2);
    expect(stops()).toBe(0);
  });

  it('writes only the lines that changed', async () => {
    const { controller, terminal } = mount();
    for await (const event of scriptedTray()) {
      controller.take(event);
      if (event.kind === 'rig-ready') break;
    }
    await soon(() => terminal.text).toContain('RB-01');
    const before = terminal.written.length;
    controller.take({ kind: 'stored', runId: 'run-9' });
    controller.press('outputs-off');
    await soon(() => terminal.text).toContain('waiting for the rig to end');
    const since = terminal.written.slice(before).join('');
    expect(since).not.toContain('RB-01');
    expect(since).not.toContain('\u001b[2J');
  });

  it('clears and draws anew when the window shrinks', async () => {
    const { terminal } = mount();
    await soon(() => terminal.text).toContain('no rig connected yet');
    terminal.resize({ columns: 60, rows: 20 });
    await soon(() => terminal.text).toContain('Window 60 x 20; all is shown from 80 x 24.');
    terminal.resize({ columns: 100, rows: 30 });
    await soon(() => terminal.text).toContain('Space or Esc: outputs off');
    expect(terminal.text).not.toContain('all is shown from');
  });
});
