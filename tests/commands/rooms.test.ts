// The rooms beside the bench, filled from a store of their own and from the shipped profiles.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { roomsOf } from '../../host/commands/rooms/index.js';
import { openStore } from '../../host/records/index.js';
import type { RoomContent } from '../../host/screens/index.js';
import { begin, capture, judgement, RIG } from '../records/example-run.js';
import { gathering } from './call.js';

let folder: string;
const before = process.env.THROWBENCH_LOGS;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-rooms-'));
  process.env.THROWBENCH_LOGS = join(folder, 'records');
});
afterAll(() => {
  if (before === undefined) delete process.env.THROWBENCH_LOGS;
  else process.env.THROWBENCH_LOGS = before;
  rmSync(folder, { recursive: true, force: true });
});

/** From room to room by what their rows begin with; `Enter` goes on from a page. */
async function walk(...steps: string[]): Promise<RoomContent> {
  const { io, written } = gathering(folder);
  let content: RoomContent = roomsOf({ io, rigNow: () => RIG });
  for (const step of steps) {
    const row: { text: string; open(): RoomContent | Promise<RoomContent> } | undefined =
      'rows' in content
        ? content.rows.find(({ text }) => text.includes(step))
        : 'lines' in content
          ? content.more
          : undefined;
    if (row === undefined) throw new Error(`no ${step} in ${JSON.stringify(content)}`);
    content = await row.open();
  }
  // The screen has the terminal.
  expect(written).toEqual({ stdout: '', stderr: '' });
  return content;
}

const textOf = (content: RoomContent): string =>
  ('rows' in content
    ? content.rows.map(({ text }) => text)
    : 'lines' in content
      ? content.lines
      : [content.title]
  ).join('\n');

describe('the rooms beside the bench', () => {
  it('have no records before the first run, and make no store', async () => {
    expect(textOf(await walk('Records'))).toBe('');
    expect(textOf(await walk('Rig'))).toContain('no calibrations noted');
  });

  it('show a record, and compare it with the run of that unit before it', async () => {
    const store = openStore();
    for (const [i, verdict] of (['pass', 'fail'] as const).entries()) {
      const id = store.beginRun(begin('V-0101', new Date(2024, 5, 11, 9, i).toISOString()));
      store.finishRun(id, {
        capture: capture(50),
        judgement: judgement(verdict),
        counters: { framesIn: 20 },
      });
    }
    store.close();
    expect(textOf(await walk('Records'))).toMatch(/V-0101 +FAIL[^\n]*\n[^\n]*V-0101 +PASS/);
    const page = await walk('Records', 'FAIL');
    expect(textOf(page)).toMatch(/^run +2024-06-11-0002/);
    expect('more' in page && page.more?.text).toMatch(/^compare with V-0101, PASS/);
    expect(textOf(await walk('Records', 'FAIL', 'Enter'))).toMatch(/2024-06-11-0001[\s\S]*2024-06-11-0002/);
    expect(textOf(await walk('Rig'))).toContain('rig bench-1: 20 frames, no errors');
  });

  it('show a profile, and the picture to expect of it', async () => {
    expect(textOf(await walk('Profiles', 'window-lift-alone'))).toContain('Window lift');
    expect(textOf(await walk('Profiles', 'window-lift-alone', 'Enter'))).toContain('Motor current, A');
  });

  it('tell the keys', async () => {
    expect(textOf(await walk('Keys'))).toMatch(/Space, Esc +outputs off/);
  });

  it('offer the channels of a rig that stands somewhere', async () => {
    const { io } = gathering(folder);
    const rooms = roomsOf({ io, rigNow: () => ({ ...RIG, port: '/dev/ttyUSB9' }) });
    const rig = 'rows' in rooms ? await rooms.rows.find(({ text }) => text.startsWith('Rig'))!.open() : rooms;
    expect('more' in rig && rig.more?.text).toContain('channels');
    expect('more' in (await walk('Rig'))).toBe(false);
  });
});
