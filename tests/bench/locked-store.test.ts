// A store that another program holds, or whose disk is full: the run is driven to its end, and what it measured is kept.

import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { type BenchEvent, runUnit } from '../../host/bench/index.js';
import { readCaptureCsv } from '../../host/capture/index.js';
import type { Judgement } from '../../host/judge/index.js';
import { loadCase, loadUnit } from '../../host/profile/index.js';
import { openStore, RecordError, type Store } from '../../host/records/index.js';
import { openVirtualRig } from '../../host/virtual-rig/index.js';
import { connectionTo } from './connection.js';

const UNIT = loadUnit('roof-vent-switch');
const PASS: Judgement = { verdict: 'pass', sentence: 'All well.', checks: [], findings: [], measured: {} };

let folder: string;
let store: Store;
let other: Sqlite.Database;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-locked-'));
  store = openStore(folder);
  other = new Sqlite(store.file);
});
afterEach(() => {
  other.close();
  store.close();
  rmSync(folder, { recursive: true, force: true });
});

function run(events: BenchEvent[], onEvent: (event: BenchEvent) => void) {
  const virtual = openVirtualRig({ unit: UNIT, virtualCase: loadCase('good'), paced: false, seed: 11 });
  return runUnit(
    { index: 0, tag: 'V-0101', unit: UNIT, connect: () => connectionTo(virtual, UNIT.rig) },
    {
      store,
      desk: {
        prepare: async () => ({ timeS: new Float64Array(), lower: {}, upper: {} }),
        judge: async () => PASS,
        close: async () => {},
      },
      signal: new AbortController().signal,
      now: () => new Date('2026-05-04T08:00:00Z'),
    },
    (event) => {
      events.push(event);
      onEvent(event);
    },
  );
}

it('held from the first throw to the end costs the record nothing once it is let go', async () => {
  const events: BenchEvent[] = [];
  const verdict = await run(events, (event) => {
    if (event.kind === 'step-started' && !other.inTransaction) other.exec('BEGIN IMMEDIATE');
    // Told once, when the store did not take the whole run: the other program is closed.
    if (event.kind === 'trouble' && /waits to be recorded/.test(event.advice)) other.exec('ROLLBACK');
  });
  expect(verdict).toBe('pass');
  const sentences = events.flatMap((event) => (event.kind === 'trouble' ? [event.sentence] : []));
  expect(sentences.every((sentence) => /another program holds the store/.test(sentence))).toBe(true);
  const [summary] = store.listRuns();
  expect(summary?.status).toBe('finished');
  const capture = store.readCapture(summary?.runId ?? '');
  expect(capture?.timeS.length).toBeGreaterThan(20_000);
  expect(store.verify().faults).toEqual([]);
}, 180_000);

it('held for good ends in one line that names the file of the capture, whole', async () => {
  const events: BenchEvent[] = [];
  const failed = await run(events, (event) => {
    if (event.kind === 'step-started' && !other.inTransaction) other.exec('BEGIN IMMEDIATE');
  }).catch((error: unknown) => error);
  expect(failed).toBeInstanceOf(RecordError);
  const { message, advice } = failed as RecordError;
  expect(message).not.toMatch(/\n/);
  expect(message).toMatch(/another program holds the store; the capture of V-0101 is kept in .*V-0101\.csv$/);
  const [name = ''] = readdirSync(folder).filter((file) => file.endsWith('.csv'));
  expect(advice).toBe(`throwbench judge ${join(folder, name)} --profile P judges it`);
  expect(existsSync(join(folder, name))).toBe(true);
  const { timeS } = readCaptureCsv(readFileSync(join(folder, name), 'utf8'), name);
  expect(timeS.length).toBeGreaterThan(20_000);
}, 180_000);
