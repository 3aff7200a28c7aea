// The rooms where a person is asked, from the keys of the bench screen to the store: the same code as the verbs, on the
// virtual rig. The correction is held against the meter of the simulated bench.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { roomsOf } from '../../host/commands/rooms/index.js';
import { wallClock } from '../../host/link/index.js';
import { openStore } from '../../host/records/index.js';
import { BenchController } from '../../host/screens/index.js';
import { begin, capture, judgement } from '../records/example-run.js';
import { gathering } from './call.js';

let folder: string;
const before = process.env.THROWBENCH_LOGS;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-talks-'));
  process.env.THROWBENCH_LOGS = join(folder, 'records');
});
afterAll(() => {
  if (before === undefined) delete process.env.THROWBENCH_LOGS;
  else process.env.THROWBENCH_LOGS = before;
  rmSync(folder, { recursive: true, force: true });
});

const after = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));
/** An Enter that comes sooner is no press of its own. */
const OWN_PRESS_MS = 750;

/** The rooms opened at the question of the tag, as at the virtual bench. */
async function inRooms(probed?: { runId: string; tag: string }) {
  const { io, written } = gathering(folder);
  const controller = new BenchController({
    ...{ stop: () => undefined, clock: wallClock, startsByItself: false },
    rooms: async () => roomsOf({ io, rigNow: () => undefined, place: () => 'virtual', probed: () => probed }),
  });
  const room = () => controller.state.rooms?.at(-1);
  const told = () => [...(room()?.talk?.lines ?? []), room()?.talk?.asked ?? ''].join('\n');
  let from = 0;
  /** Bounded. Waits for the words behind those that were seen last. */
  const sees = async (words: string): Promise<void> => {
    for (let waited = 0; told().indexOf(words, from) < 0; waited++) {
      if (waited > 600) throw new Error(`never told ${words} after ${told().slice(from)}`);
      await after(50);
    }
    from = told().indexOf(words, from) + words.length;
  };
  const type = async (text: string): Promise<void> => {
    for (const sign of text) controller.type(sign);
    await after(OWN_PRESS_MS);
    controller.press('go-on');
  };
  controller.press('rooms');
  await expect.poll(() => room()?.content.title).toBe('Rooms');
  const enter = async (row: string): Promise<void> => {
    await type(row);
    await expect.poll(() => room()?.talk).toBeDefined();
    from = 0;
  };
  return { controller, sees, type, enter, told, written };
}

describe('calibration on the bench screen', () => {
  it('switches the load on and off by key, tells what the correction does, and keeps it', async () => {
    const { controller, sees, type, enter, told, written } = await inRooms();
    await enter('zero and a known load');
    await sees('I have read this');
    await type('');
    await sees('Which channel?');
    await type('');
    await sees('Read the zero');
    await type('');
    await sees('Keep it? [yes]');
    await type('');
    await sees('Switch it on?');
    await type('');
    await sees('LOAD ON');
    expect(controller.isRunning).toBe(true);
    controller.press('outputs-off');
    await sees('Stopped by key. Outputs are off.');
    expect(controller.isRunning).toBe(false);
    await sees('Switch it on?');
    await type('');
    await sees('Steady at');
    await type('');
    await sees('What did the meter show?');
    const meter = Number(/meter of the virtual bench showed ([\d.]+) A/.exec(told())?.[1]);
    await type(`${meter}`);
    await sees('limits of error');
    await type('');
    await sees('from now on');
    await sees('Keep it? [yes]');
    await type('');
    await sees('Another channel?');
    controller.press('rooms');
    await expect.poll(() => controller.state.rooms?.length).toBe(1);
    await controller.settled();
    const store = openStore();
    const points = store.listCalibrations('virtual');
    const isRead = store.lastAcknowledgement('cautions') !== undefined;
    store.close();
    expect(isRead).toBe(true);
    expect(points.map(({ point }) => point)).toEqual(['zero', 'load']);
    expect(points[1]?.reference).toBeCloseTo(meter, 6);
    // The screen has the terminal.
    expect(written).toEqual({ stdout: '', stderr: '' });
  }, 120_000);
});

describe('what is left from a talk by Tab', () => {
  it('is no profile that nobody has answered for', async () => {
    const { controller, sees, type, enter } = await inRooms();
    await enter('own, by questions');
    await sees('What do you want to test?');
    await type('2');
    await sees('What do you call it?');
    controller.press('rooms');
    await expect.poll(() => controller.state.rooms?.length).toBe(1);
    await controller.settled();
    const { existsSync } = await import('node:fs');
    expect(existsSync(join(folder, 'my-profiles'))).toBe(false);
  }, 60_000);
});

describe('a unit that has failed', () => {
  it('stands first in the rooms to be probed, and says where nothing explains it', async () => {
    const store = openStore();
    const runId = store.beginRun(begin('V-0109', new Date(2024, 5, 11, 9).toISOString()));
    store.finishRun(runId, { capture: capture(50), judgement: judgement('fail'), counters: {} });
    store.close();
    const { controller, enter, told } = await inRooms({ runId, tag: 'V-0109' });
    const rooms = controller.state.rooms?.at(-1)?.content;
    expect(rooms && 'rows' in rooms && rooms.rows[0]?.text).toContain('Probe V-0109');
    await enter('');
    await expect
      .poll(() => controller.state.rooms?.at(-1)?.talk?.isOver ?? told(), { timeout: 20_000 })
      .toBe(true);
    expect(told()).toContain('Nothing on the list of faults gives these readings.');
  }, 60_000);
});

describe('the rooms for training and learning', () => {
  it('begin a training run on a profile, and Tab leaves it again, nothing recorded', async () => {
    const { controller, enter, sees, type } = await inRooms();
    await type('Training');
    await expect.poll(() => controller.state.rooms?.at(-1)?.content.title).toBe('Training');
    await enter('window-lift-alone');
    await sees('TRAINING on the virtual bench');
    controller.press('rooms');
    // What is being prepared is waited for.
    await expect.poll(() => controller.state.rooms?.length, { timeout: 60_000 }).toBe(2);
    await controller.settled();
    controller.press('rooms');
    controller.press('rooms');
    expect(controller.state.rooms).toBeUndefined();
  }, 120_000);

  it('offer the profiles whose units have passed, with the runs to choose from', async () => {
    const store = openStore();
    for (const tag of ['V-0111', 'V-0112']) {
      const runId = store.beginRun(begin(tag, new Date(2024, 5, 12, 9).toISOString()));
      store.finishRun(runId, { capture: capture(50), judgement: judgement('pass'), counters: {} });
    }
    store.close();
    const { controller, enter, sees, type } = await inRooms();
    await type('Learn');
    await expect.poll(() => controller.state.rooms?.at(-1)?.content.title).toBe('Learn');
    const seen = controller.state.rooms?.at(-1)?.content;
    const rows = seen && 'rows' in seen ? seen.rows.map(({ text }) => text) : [];
    expect(rows).toEqual([expect.stringMatching(/2 passed, of 2 units/)]);
    await enter('');
    await sees('V-0112');
    await sees('Which runs?');
    controller.press('rooms');
    await expect.poll(() => controller.state.rooms?.length).toBe(2);
  }, 60_000);
});
