// What is left when a writing program is killed outright, and two programs that write at once.

import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import Sqlite from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openStore } from '../../host/records/index.js';

let folder: string;
const children: ChildProcess[] = [];
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-crash-'));
});
afterEach(() => {
  for (const child of children.splice(0)) child.kill('SIGKILL');
  rmSync(folder, { recursive: true, force: true });
});

function writer(...args: string[]) {
  const child = spawn(process.execPath, ['--import', 'tsx', 'tests/records/writer.ts', folder, ...args], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  children.push(child);
  return { child, lines: createInterface({ input: child.stdout! }) };
}

describe('a program killed in mid-run', () => {
  it('leaves a sound store; the run is aborted with the pieces saved, finished runs stay', async () => {
    const { child, lines } = writer('die');
    let pieces = 0;
    let finished = 0;
    let runId = '';
    for await (const line of lines) {
      const [word, value] = line.split(' ') as [string, string];
      if (word === 'begun') runId = value;
      if (word === 'finished') finished += 1;
      if (word === 'piece') pieces = Number(value);
      if (pieces >= 20) break;
    }
    child.kill('SIGKILL');
    await once(child, 'exit');

    const store = openStore(folder);
    const run = store.showRun(runId);
    expect(run).toMatchObject({
      status: 'aborted',
      verdict: 'cannot-tell',
      sentence: 'The program ended in mid-run.',
    });
    const capture = store.readCapture(runId)!;
    // 50 samples a piece; pieces told before the kill are all there, some more may be.
    expect(capture.timeS.length).toBeGreaterThanOrEqual(20 * 50);
    expect(capture.timeS.length % 50).toBe(0);
    expect(capture.channels.motorCurrentA!.every((value, i) => value === i / 8)).toBe(true);
    expect(store.listRuns().filter(({ status }) => status === 'finished')).toHaveLength(finished);
    expect(store.verify()).toMatchObject({ runs: finished + 1, faults: [] });
    const file = store.file;
    store.close();
    const database = new Sqlite(file, { readonly: true });
    expect(database.pragma('integrity_check', { simple: true })).toBe('ok');
    expect(database.prepare('SELECT count(*) AS n FROM capture_chunks').get()).toEqual({ n: 0 });
    database.close();
  });

  it('does not touch the run of a program that is alive', async () => {
    const { child, lines } = writer('die');
    let runId = '';
    for await (const line of lines) {
      if (line.startsWith('begun')) runId = line.split(' ')[1]!;
      if (line === 'piece 3') break;
    }
    const store = openStore(folder);
    expect(store.showRun(runId).status).toBe('running');
    expect(store.readCapture(runId)!.timeS.length).toBeGreaterThanOrEqual(150);
    store.close();
    child.kill('SIGKILL');
    await once(child, 'exit');
    const again = openStore(folder);
    expect(again.showRun(runId).status).toBe('aborted');
    again.close();
  });
});

describe('two programs at once', () => {
  it('number their runs apart and keep one unbroken chain', async () => {
    const writers = [writer('live', '12'), writer('live', '12')];
    const ids: string[] = [];
    await Promise.all(
      writers.map(async ({ child, lines }) => {
        const exit = once(child, 'exit');
        for await (const line of lines) if (line.startsWith('finished')) ids.push(line.split(' ')[1]!);
        expect((await exit)[0]).toBe(0);
      }),
    );
    expect(new Set(ids).size).toBe(24);
    const store = openStore(folder);
    expect(store.verify()).toMatchObject({ runs: 24, faults: [] });
    expect(store.listRuns()).toHaveLength(24);
    store.close();
  });
});
