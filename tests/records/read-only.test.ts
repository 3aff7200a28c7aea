// A store on a disk that may not be written: read all the same, and written to by nobody.

import { cpSync, mkdirSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { command as log } from '../../host/commands/verbs/log.js';
import { command as unit } from '../../host/commands/verbs/unit.js';
import { openStore } from '../../host/records/index.js';
import { call } from '../commands/call.js';
import { noSmallDisk, SmallDisk } from '../small-disk.js';
import { begin, capture, judgement } from './example-run.js';

describe.skipIf(noSmallDisk)(`on a disk that may not be written${noSmallDisk ?? ''}`, () => {
  let disk: SmallDisk;
  let folder: string;
  const before = process.env.THROWBENCH_LOGS;
  beforeEach(() => {
    disk = new SmallDisk(8);
    folder = mkdtempSync(join(tmpdir(), 'throwbench-not-read-only-'));
    process.env.THROWBENCH_LOGS = disk.folder;
  });
  afterEach(() => {
    if (before === undefined) delete process.env.THROWBENCH_LOGS;
    else process.env.THROWBENCH_LOGS = before;
    disk.remove();
    rmSync(folder, { recursive: true, force: true });
  });
  const copies = (): string[] => readdirSync(tmpdir()).filter((name) => /^throwbench-read-only-/.test(name));

  it('records are listed, proven, exported and copied, and nothing is taken in', async () => {
    const store = openStore();
    const runId = store.beginRun(begin());
    store.finishRun(runId, { capture: capture(200), judgement: judgement() });
    store.close();
    disk.setReadOnly();
    const left = copies();
    expect(JSON.parse((await call(log, ['--json'], folder)).stdout)).toMatchObject([{ runId }]);
    expect(await call(log, ['verify'], folder)).toMatchObject({ code: 0 });
    expect((await call(log, ['show', 'last', '--csv', 'one.csv'], folder)).stderr).toMatch(/200 samples/);
    expect((await call(log, ['backup', 'copy.sqlite'], folder)).stdout).toMatch(
      /1 runs copied and read back/,
    );
    await expect(call(unit, ['note', 'V-0107', 'x'], folder)).rejects.toMatchObject({
      code: 'store-read-only',
      message: expect.stringMatching(/throwbench\.sqlite: may not be written$/),
    });
    await expect(
      call(log, ['archive', 'archive.sqlite', '--before', '2030-01-01'], folder),
    ).rejects.toMatchObject({
      code: 'store-read-only',
    });
    expect(readdirSync(folder).toSorted()).toEqual(['copy.sqlite', 'one.csv']);
    expect(copies()).toEqual(left);
  });

  it('what a killed program had written and not yet folded into the file is read too', async () => {
    const own = join(folder, 'own');
    const store = openStore(own);
    store.finishRun(store.beginRun(begin()), { capture: capture(200), judgement: judgement() });
    // As it lies there in mid-work, the log beside the file.
    mkdirSync(disk.folder, { recursive: true });
    for (const name of readdirSync(own))
      if (!name.endsWith('-shm')) cpSync(join(own, name), join(disk.folder, name));
    expect(readdirSync(disk.folder)).toContain('throwbench.sqlite-wal');
    store.close();
    disk.setReadOnly();
    expect(JSON.parse((await call(log, ['--json'], folder)).stdout)).toHaveLength(1);
    expect(await call(log, ['verify'], folder)).toMatchObject({ code: 0 });
  });
});
