// A disk that fills up under a writing store, and under what is copied or rescued from it.

import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { keepRun } from '../../host/bench/keep-run.js';
import { readCaptureCsv } from '../../host/capture/index.js';
import { changeSetting } from '../../host/commands/settings.js';
import { command as log } from '../../host/commands/verbs/log.js';
import { command as unit } from '../../host/commands/verbs/unit.js';
import { openStore, RecordError } from '../../host/records/index.js';
import { call } from '../commands/call.js';
import { noSmallDisk, SmallDisk } from '../small-disk.js';
import { begin, block, capture, judgement } from './example-run.js';

describe.skipIf(noSmallDisk)(`a disk that is full${noSmallDisk ?? ''}`, () => {
  let disk: SmallDisk;
  beforeAll(() => {
    disk = new SmallDisk(4);
  });
  afterEach(() => disk.empty());
  afterAll(() => disk.remove());

  it('costs the record nothing that was told to be durable, and the store goes on when there is room', () => {
    disk.fill(2e6);
    const store = openStore(disk.folder);
    const durable: string[] = [];
    let trouble: unknown;
    let open = '';
    for (let i = 0; i < 400 && trouble === undefined; i++) {
      try {
        open = store.beginRun(begin(`V-${i}`));
        store.appendSamples(open, [block(0, 2000)]);
        store.finishRun(open, { capture: capture(2000), judgement: judgement() });
        durable.push(open);
      } catch (error) {
        trouble = error;
      }
    }
    expect(trouble).toMatchObject({ code: 'store-full' });
    expect((trouble as RecordError).message).toMatch(/throwbench\.sqlite: the disk is full$/);
    expect(durable.length).toBeGreaterThan(2);
    expect(store.verify().faults).toEqual([]);
    store.close();
    disk.empty();
    const again = openStore(disk.folder);
    expect(again.verify().faults).toEqual([]);
    const finished = again.listRuns().filter(({ status }) => status === 'finished');
    expect(finished.map(({ runId }) => runId).toSorted()).toEqual(durable.toSorted());
    again.close();
  });

  it('is named by the file of the copy that had no room, of which nothing is left', () => {
    for (const name of readdirSync(disk.folder)) rmSync(join(disk.folder, name), { recursive: true });
    const store = openStore(join(disk.folder, 'logs'));
    const runId = store.beginRun(begin());
    store.finishRun(runId, { capture: capture(20_000), judgement: judgement() });
    disk.fill(64e3);
    const file = join(disk.folder, 'copy.sqlite');
    expect(() => store.backup(file)).toThrow(`${file}: the disk is full`);
    expect(readdirSync(disk.folder).toSorted()).toEqual(['filling', 'logs']);
    store.close();
  });

  it('leaves no beginning of a rescued capture, and the whole of it where there is room', async () => {
    for (const name of readdirSync(disk.folder)) rmSync(join(disk.folder, name), { recursive: true });
    disk.fill(16e3);
    const full = new RecordError('store-full', 'throwbench.sqlite: the disk is full', 'free some space');
    const told = await keepRun(
      () => {
        throw full;
      },
      {
        store: { file: join(disk.folder, 'throwbench.sqlite') } as never,
        ...{ runId: '2024-06-11-0001', tag: `V-${process.pid}`, capture: capture(5000), emit: () => {} },
      },
    ).catch((error: unknown) => error);
    const [, path = ''] = /is kept in (.*)$/.exec((told as RecordError).message) ?? [];
    try {
      expect(readdirSync(disk.folder)).toEqual(['filling']);
      expect(path.startsWith(disk.folder)).toBe(false);
      expect(readCaptureCsv(readFileSync(path, 'utf8'), path).timeS).toHaveLength(5000);
    } finally {
      if (path !== '' && existsSync(path)) rmSync(path);
    }
  });

  it('without a byte of room is still read, and a photo that finds none leaves nothing behind', async () => {
    for (const name of readdirSync(disk.folder)) rmSync(join(disk.folder, name), { recursive: true });
    const before = process.env.THROWBENCH_LOGS;
    process.env.THROWBENCH_LOGS = disk.folder;
    try {
      const store = openStore();
      const runId = store.beginRun(begin());
      store.finishRun(runId, { capture: capture(200), judgement: judgement() });
      store.close();
      disk.fill();
      const beside = mkdtempSync(join(tmpdir(), 'throwbench-photo-'));
      const photo = join(beside, 'worn.gif');
      writeFileSync(photo, 'GIF89a, worn to the lead');
      expect(JSON.parse((await call(log, ['--json'], disk.folder)).stdout)).toMatchObject([{ runId }]);
      await expect(call(unit, ['note', 'V-0107', 'x'], disk.folder)).rejects.toMatchObject({
        code: 'store-full',
        message: expect.stringMatching(/throwbench\.sqlite: the disk is full$/),
      });
      await expect(call(unit, ['photo', 'V-0107', photo], disk.folder)).rejects.toThrow(
        /photos: the photo cannot be kept \(ENOSPC\); check the folder/,
      );
      rmSync(beside, { recursive: true, force: true });
      expect(readdirSync(join(disk.folder, 'photos'))).toEqual([]);
      const path = join(disk.folder, 'settings.yaml');
      expect(() => changeSetting('operator', 'day shift', path)).toThrow(/cannot be written \(ENOSPC\)/);
      expect(readdirSync(disk.folder)).not.toContain('settings.yaml.part');
    } finally {
      if (before === undefined) delete process.env.THROWBENCH_LOGS;
      else process.env.THROWBENCH_LOGS = before;
    }
  });
});
