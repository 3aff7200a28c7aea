// A sitting at the bench as the store keeps it: attempts, skips, dispositions and acknowledged cautions, all only added.

import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { loadCase, loadUnit } from '../../host/profile/index.js';
import { openStore, type Store } from '../../host/records/index.js';
import { begin, capture, judgement } from './example-run.js';

let folder: string;
let store: Store;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-sitting-'));
  store = openStore(folder);
});
afterEach(() => {
  store.close();
  rmSync(folder, { recursive: true, force: true });
});

const ITEM = { tag: 'V-0107', unit: loadUnit('roof-vent-switch'), virtualCase: loadCase('roof-vent-good') };
const reopened = (): Store => {
  store.close();
  store = openStore(folder);
  return store;
};

function attempt(sittingId: number, place: number, verdict: 'pass' | 'fail' = 'fail'): string {
  const runId = store.beginRun({ ...begin(), turn: { sittingId, place }, operator: 'day shift' });
  store.finishRun(runId, { capture: capture(60), judgement: judgement(verdict) });
  return runId;
}

describe('a sitting in the store', () => {
  it('keeps its list with profiles and cases as they were, and every attempt at each unit', () => {
    const id = store.beginSitting({ kind: 'tray', title: 'Tray of the day', operator: 'day shift' });
    expect([
      store.addSittingUnit(id, ITEM),
      store.addSittingUnit(id, { tag: 'V-0108', unit: ITEM.unit }),
    ]).toEqual([0, 1]);
    const first = attempt(id, 0);
    const second = attempt(id, 0, 'pass');
    store.addSkip(id, 1);
    const kept = reopened().readSitting(id);
    expect(kept).toMatchObject({ kind: 'tray', title: 'Tray of the day', operator: 'day shift' });
    expect(kept.units[0]).toMatchObject({ tag: 'V-0107', isSkipped: false, virtualCase: ITEM.virtualCase });
    expect(kept.units[0]!.unit).toEqual(ITEM.unit);
    expect(kept.units[0]!.runs.map(({ runId, attempt: count, verdict }) => [runId, count, verdict])).toEqual([
      [first, 1, 'fail'],
      [second, 2, 'pass'],
    ]);
    expect(kept.units[1]).toMatchObject({ isSkipped: true, runs: [] });
    expect(store.showRun(second)).toMatchObject({ attempt: 2, operator: 'day shift' });
    expect(store.verify().faults).toEqual([]);
  });

  it('finds the last one of a kind, single runs left out', () => {
    expect(store.lastSittingId(['tray'])).toBeUndefined();
    const tray = store.beginSitting({ kind: 'tray', title: 'a' });
    store.beginSitting({ kind: 'run', title: 'b' });
    expect(store.lastSittingId(['tray', 'bench'])).toBe(tray);
  });

  it('guards attempt and operator by the hash of the record', () => {
    const id = store.beginSitting({ kind: 'run', title: 'V-0107' });
    store.addSittingUnit(id, ITEM);
    const runId = attempt(id, 0);
    const raw = new Sqlite(join(folder, 'throwbench.sqlite'));
    raw.prepare('UPDATE runs SET attempt = 3 WHERE id = ?').run(runId);
    raw.close();
    expect(store.verify().faults).toEqual([
      { runId, sentence: 'its record was changed after it was closed' },
    ]);
  });
});

describe('a disposition', () => {
  it('is taken back by a new entry, and another one may follow', () => {
    const runId = store.beginRun(begin());
    store.finishRun(runId, { capture: capture(60), judgement: judgement() });
    const first = store.addDisposition({ tag: 'V-0107', runId, word: 'accept', operator: 'day shift' });
    expect(store.dispositionOf(runId)).toMatchObject({ id: first, word: 'accept', operator: 'day shift' });
    expect(store.takeBackDisposition(runId)).toMatchObject({ id: first });
    expect(store.dispositionOf(runId)).toBeUndefined();
    expect(store.takeBackDisposition(runId)).toBeUndefined();
    store.addDisposition({ tag: 'V-0107', runId, word: 'rework' });
    expect(store.dispositionOf(runId)).toMatchObject({ word: 'rework' });
    expect(store.showRun(runId).disposition).toBe('rework');
    expect(store.verify().faults).toEqual([]);
    expect(store.listDispositions(runId).map(({ word, takesBack }) => word ?? takesBack)).toEqual([
      'accept',
      first,
      'rework',
    ]);
  });

  it.each(['sittings', 'sitting_units', 'skips', 'dispositions', 'acknowledgements'])(
    'and the rest of a sitting cannot be changed or removed in the file: %s',
    (table) => {
      const id = store.beginSitting({ kind: 'run', title: 'V-0107' });
      store.addSittingUnit(id, ITEM);
      store.addSkip(id, 0);
      const runId = attempt(id, 0);
      store.addDisposition({ tag: 'V-0107', runId, word: 'hold' });
      store.addAcknowledgement({ what: 'cautions', lines: ['Clamp the motor.'] });
      const raw = new Sqlite(join(folder, 'throwbench.sqlite'));
      expect(() => raw.exec(`DELETE FROM ${table}`)).toThrow(/never removed/);
      const [column] = (raw.pragma(`table_info(${table})`) as { name: string }[]).map(({ name }) => name);
      expect(() => raw.exec(`UPDATE ${table} SET ${column} = ${column}`)).toThrow(/never changed/);
      raw.close();
    },
  );
});

describe('an acknowledgement', () => {
  it('is found by its kind and by who gave it', () => {
    expect(store.lastAcknowledgement('cautions')).toBeUndefined();
    store.addAcknowledgement({ what: 'cautions', lines: ['Clamp the motor.'], operator: 'day shift' });
    expect(store.lastAcknowledgement('cautions')).toBeUndefined();
    expect(store.lastAcknowledgement('held-rotor', 'day shift')).toBeUndefined();
    expect(store.lastAcknowledgement('cautions', 'day shift')).toMatchObject({ lines: ['Clamp the motor.'] });
  });
});

describe('the rigs that are known', () => {
  it('stand where each answered last', () => {
    expect(store.knownRigs()).toEqual([]);
    const usb = { vendorId: '1a86', productId: '7523' };
    store.rememberRig({ rigId: 'bench-1', path: '/dev/ttyUSB0', usb });
    store.rememberRig({ rigId: 'bench-2', path: '/dev/ttyUSB1', usb: {} });
    store.rememberRig({ rigId: 'bench-1', path: '/dev/ttyUSB3', usb });
    expect(store.knownRigs()).toEqual([
      { rigId: 'bench-1', path: '/dev/ttyUSB3', usb },
      { rigId: 'bench-2', path: '/dev/ttyUSB1', usb: {} },
    ]);
  });
});

describe('a store from before there were sittings', () => {
  it('opens, keeps its chain whole, and takes attempts from now on', () => {
    store.close();
    rmSync(folder, { recursive: true });
    folder = mkdtempSync(join(tmpdir(), 'throwbench-old-'));
    const raw = new Sqlite(join(folder, 'throwbench.sqlite'));
    raw.exec(readFileSync(new URL('store-version-2.sql', import.meta.url), 'utf8'));
    raw.close();
    store = openStore(folder);
    expect(store.verify()).toEqual({
      runs: 2,
      entries: 0,
      notes: 0,
      dispositions: 0,
      shopEntries: 0,
      clockSetBack: [],
      signatures: { signed: 0, before: 2, keyIds: [], faults: [] },
      lastHash: 'bbc788f2c42854c223fb449944aec280cf4467e14268aab9a9360039f909608b',
      faults: [],
    });
    expect(store.listRuns().map(({ tag, verdict }) => [tag, verdict])).toEqual([
      ['V-0108', 'fail'],
      ['V-0107', 'pass'],
    ]);
    expect(store.listRuns()[0]).not.toHaveProperty('attempt');
    const id = store.beginSitting({ kind: 'tray', title: 'new' });
    store.addSittingUnit(id, ITEM);
    attempt(id, 0);
    expect(store.verify()).toMatchObject({ runs: 3, faults: [] });
  });
});
