// The store keeps what it was given, exactly, and says plainly what it cannot do.

import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { hasStore, logsDir, openStore, RecordError, type Store } from '../../host/records/index.js';
import { asRecordError } from '../../host/records/record-error.js';
import { begin, block, capture, judgement, RIG } from './example-run.js';

let folder: string;
const open: Store[] = [];
const openHere = (): Store => {
  const store = openStore(folder);
  open.push(store);
  return store;
};
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-store-'));
});
afterEach(() => {
  for (const store of open.splice(0)) store.close();
  rmSync(folder, { recursive: true, force: true });
});

const codeOf = (action: () => unknown): string => {
  try {
    action();
  } catch (error) {
    expect(error).toBeInstanceOf(RecordError);
    expect((error as Error).message).not.toMatch(/[\r\n]/);
    return (error as RecordError).code;
  }
  throw new Error('no error');
};

describe('a run that is finished', () => {
  it('comes back as it was given, after the store was closed and opened again', () => {
    const first = openHere();
    const runId = first.beginRun(begin());
    first.appendSamples(runId, [block(0, 500)]);
    first.finishRun(runId, {
      capture: {
        ...capture(1000),
        gaps: [{ fromS: 0.1, toS: 0.102, reason: '2 frames lost on the link' }],
        notes: ['One note.'],
      },
      judgement: judgement('fail'),
      counters: { linesReceived: 1200, crcErrors: 0 },
      rawLines: ['>hello', '<ready 1.0.0'],
      endedAt: '2024-06-11T08:30:05.000Z',
      stop: { reason: 'over-current', atS: 1.25 },
    });
    first.close();
    open.length = 0;

    const store = openHere();
    const run = store.showRun(runId);
    expect(run).toMatchObject({
      runId,
      tag: 'V-0107',
      status: 'finished',
      verdict: 'fail',
      sentence: 'Runs 1.5 A both ways and coasts when released.',
      profileId: 'roof-vent-switch',
      rig: RIG,
      stop: { reason: 'over-current', atS: 1.25 },
      counters: { linesReceived: 1200, crcErrors: 0 },
      samples: 1000,
      startedAt: '2024-06-11T08:30:00.000Z',
      endedAt: '2024-06-11T08:30:05.000Z',
    });
    expect(run.unit).toEqual(begin().unit);
    expect(run.judgement).toEqual(judgement('fail'));
    expect(run.hash).toMatch(/^[0-9a-f]{64}$/);
    expect(store.readRawLines(runId)).toEqual(['>hello', '<ready 1.0.0']);
    expect(store.readCapture(runId)).toEqual({
      ...capture(1000),
      gaps: [{ fromS: 0.1, toS: 0.102, reason: '2 frames lost on the link' }],
      notes: ['One note.'],
    });
    expect(store.verify()).toEqual({
      runs: 1,
      entries: 0,
      notes: 0,
      dispositions: 0,
      shopEntries: 0,
      clockSetBack: [],
      signatures: { signed: 0, before: 1, keyIds: [], faults: [] },
      lastHash: run.hash,
      faults: [],
    });
  });

  it('is never written again', () => {
    const store = openHere();
    const runId = store.beginRun(begin());
    store.finishRun(runId, { capture: capture(10), judgement: judgement() });
    expect(codeOf(() => store.appendSamples(runId, [block(0, 10)]))).toBe('run-closed');
    expect(codeOf(() => store.finishRun(runId, { capture: capture(10), judgement: judgement() }))).toBe(
      'run-closed',
    );
    expect(codeOf(() => store.abortRun(runId, { reason: 'Too late.' }))).toBe('run-closed');
    expect(store.verify().faults).toEqual([]);
  });

  it('keeps the profile as it was, whatever becomes of the file', () => {
    const store = openHere();
    const { unit, ...rest } = begin();
    const runId = store.beginRun({
      ...rest,
      unit: { ...unit, motor: { ...unit.motor, resistanceOhm: 9.5 } },
    });
    store.finishRun(runId, { capture: capture(10), judgement: judgement() });
    expect(store.showRun(runId).unit.motor.resistanceOhm).toBe(9.5);
  });

  it('leaves nothing behind when closing it fails half way', () => {
    const store = openHere();
    const runId = store.beginRun(begin());
    const circular: Record<string, unknown> = { ...judgement() };
    circular.self = circular;
    expect(() => store.finishRun(runId, { capture: capture(10), judgement: circular as never })).toThrow(
      /circular/,
    );
    expect(store.showRun(runId)).toMatchObject({ status: 'running', samples: 0 });
    store.finishRun(runId, { capture: capture(10), judgement: judgement() });
    expect(store.verify()).toMatchObject({ runs: 1, faults: [] });
  });
});

describe('a run that is aborted', () => {
  it('keeps the pieces appended so far, in order, with a hole between them told', () => {
    const store = openHere();
    const runId = store.beginRun(begin());
    store.appendSamples(runId, [block(0, 200), block(200, 50)]);
    store.appendSamples(runId, [block(255, 45)]);
    store.abortRun(runId, { reason: 'The rig was unplugged.' });
    const run = store.showRun(runId);
    expect(run).toMatchObject({
      status: 'aborted',
      verdict: 'cannot-tell',
      sentence: 'The rig was unplugged.',
      samples: 300,
    });
    expect(run.judgement).toBeUndefined();
    const kept = store.readCapture(runId)!;
    expect(kept.sampleRateHz).toBe(5000);
    expect(kept.channels.motorCurrentA![249]).toBe(249 / 8);
    expect([...kept.channels.motorCurrentA!.subarray(250, 255)]).toEqual(Array(5).fill(Number.NaN));
    expect(kept.channels.leadAVoltageV![255]).toBe(-255 / 16);
    expect(kept.position[299]).toBe('forward');
    expect(kept.gaps).toHaveLength(1);
    expect(kept.notes).toEqual(['The run was broken off: samples up to the last piece saved.']);
    expect(store.verify()).toMatchObject({ runs: 1, faults: [] });
  });

  it('takes the capture handed over instead, when there is one', () => {
    const store = openHere();
    const runId = store.beginRun(begin());
    store.appendSamples(runId, [block(0, 200)]);
    store.abortRun(runId, { reason: 'Stopped.', capture: capture(220), counters: { gaps: 1 } });
    expect(store.readCapture(runId)).toEqual(capture(220));
    expect(store.showRun(runId).counters).toEqual({ gaps: 1 });
  });

  it('has no capture when nothing was sampled', () => {
    const store = openHere();
    const runId = store.beginRun(begin());
    store.abortRun(runId, { reason: 'No sample came.' });
    expect(store.readCapture(runId)).toBeUndefined();
    expect(store.showRun(runId).samples).toBe(0);
  });
});

describe('the list of runs', () => {
  it('counts a day’s runs, sorts newest first, filters by tag and limit', () => {
    const store = openHere();
    const start = (minute: number) => new Date(2024, 5, 11, 9, minute).toISOString();
    const ids = ['V-0101', 'V-0102', 'V-0101'].map((tag, i) => {
      const runId = store.beginRun(begin(tag, start(i)));
      store.finishRun(runId, { capture: capture(10), judgement: judgement() });
      return runId;
    });
    const nextDay = store.beginRun(begin('V-0103', new Date(2024, 5, 12, 9).toISOString()));
    expect(ids).toEqual(['2024-06-11-0001', '2024-06-11-0002', '2024-06-11-0003']);
    expect(nextDay).toBe('2024-06-12-0001');
    expect(store.listRuns().map(({ runId }) => runId)).toEqual([nextDay, ...ids.toReversed()]);
    expect(store.listRuns({ tag: 'V-0101', limit: 1 }).map(({ runId }) => runId)).toEqual([
      '2024-06-11-0003',
    ]);
    expect(store.listRuns({ tag: "V'; DROP TABLE runs; --" })).toEqual([]);
    expect(store.listRuns()[0]).not.toHaveProperty('verdict');
    expect(store.showRun('last').runId).toBe(nextDay);
    expect(store.listRuns()[1]!.profileTitle).toBe('Roof vent on its six-terminal switch');
  });

  it('goes on counting beyond four digits', () => {
    const store = openHere();
    const runId = store.beginRun(begin('V-0101', new Date(2024, 5, 11, 9).toISOString()));
    const database = new Sqlite(store.file);
    database.prepare("UPDATE runs SET id = '2024-06-11-9999' WHERE id = ?").run(runId);
    database.close();
    expect(store.beginRun(begin('V-0102', new Date(2024, 5, 11, 10).toISOString()))).toBe('2024-06-11-10000');
    expect(store.beginRun(begin('V-0103', new Date(2024, 5, 11, 10).toISOString()))).toBe('2024-06-11-10001');
  });

  it('says when a run is not known', () => {
    const store = openHere();
    expect(codeOf(() => store.showRun('2024-01-01-0001'))).toBe('run-unknown');
    expect(codeOf(() => store.showRun('last'))).toBe('run-unknown');
    expect(codeOf(() => store.readCapture('nothing'))).toBe('run-unknown');
  });
});

describe('a store that cannot be used', () => {
  it('names the folder whose disk is full', () => {
    const store = openStore(folder);
    const full = asRecordError(Object.assign(new Error('full'), { code: 'SQLITE_FULL' }), store.file);
    store.close();
    expect(full).toBeInstanceOf(RecordError);
    expect((full as RecordError).advice).toBe(`free some space on the disk of ${folder}, then do it again`);
  });

  it('is refused when the file is not a database', () => {
    writeFileSync(
      join(folder, 'throwbench.sqlite'),
      'this is a shopping list, and a long one so that it has a header\n'.repeat(50),
    );
    expect(codeOf(() => openStore(folder))).toBe('store-damaged');
  });

  it('is refused when another program made the database', () => {
    const database = new Sqlite(join(folder, 'throwbench.sqlite'));
    database.exec('CREATE TABLE recipes (id INTEGER)');
    database.close();
    expect(codeOf(() => openStore(folder))).toBe('store-foreign');
  });

  it('is refused when a newer version wrote it, and not touched', () => {
    openStore(folder).close();
    const path = join(folder, 'throwbench.sqlite');
    const database = new Sqlite(path);
    database.pragma('user_version = 99');
    database.close();
    expect(codeOf(() => openStore(folder))).toBe('store-newer');
    const again = new Sqlite(path, { readonly: true });
    expect(again.pragma('user_version', { simple: true })).toBe(99);
    again.close();
  });

  it('is refused when the folder is a file, or the file a folder', () => {
    writeFileSync(join(folder, 'file'), '');
    expect(codeOf(() => openStore(join(folder, 'file')))).toBe('store-unreachable');
    mkdirSync(join(folder, 'odd', 'throwbench.sqlite'), { recursive: true });
    expect(codeOf(() => openStore(join(folder, 'odd')))).toBe('store-unreachable');
  });
});

describe('where the store lies', () => {
  it('follows THROWBENCH_LOGS, else the checkout', () => {
    const before = process.env.THROWBENCH_LOGS;
    process.env.THROWBENCH_LOGS = folder;
    expect(logsDir()).toBe(folder);
    expect(hasStore()).toBe(false);
    delete process.env.THROWBENCH_LOGS;
    expect(logsDir()).toBe(join(process.cwd(), 'logs'));
    if (before !== undefined) process.env.THROWBENCH_LOGS = before;
  });

  it('is durable: write-ahead log, full synchronisation', () => {
    const store = openHere();
    const other = new Sqlite(store.file, { readonly: true });
    expect(other.pragma('journal_mode', { simple: true })).toBe('wal');
    other.close();
  });
});
