// Calibrations and known-load checks stand in the hash chain: a changed one is named, and an anchor noted elsewhere tells
// whether the newest record is still there.

import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { anchorOf, isAnchor, openStore, type Store } from '../../host/records/index.js';
import { localTime } from '../../host/tell/index.js';
import { begin, capture, judgement } from './example-run.js';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-notes-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

function inStore<T>(ask: (store: Store) => T): T {
  const store = openStore(folder);
  try {
    return ask(store);
  } finally {
    store.close();
  }
}

function byHand(sql: string): void {
  const database = new Sqlite(join(folder, 'throwbench.sqlite'));
  database.pragma('foreign_keys = OFF');
  database.exec(sql);
  database.close();
}

const AT = '2024-06-11T16:00:00.000Z';
const KNOWN = {
  ...({ rigId: 'bench-1', channel: 'leadAVoltageV', at: AT } as const),
  ...{ reading: 11.2, readingUncertainty: 0.01, reference: 12, referenceUncertainty: 0.01 },
};

function filled(): string {
  return inStore((store) => {
    store.addCalibration({ ...KNOWN, point: 'load', atZeroCount: -14, perCount: 0.03 });
    const runId = store.beginRun(begin());
    store.finishRun(runId, { capture: capture(10), judgement: judgement() });
    store.addShiftCheck({ ...KNOWN, moment: 'end', allowed: 0.05, isGood: false });
    return runId;
  });
}
const { day, time } = localTime(new Date(AT));

describe('a note of a rig in the chain', () => {
  it.each([
    ['known-load check', 'shift_checks', 'good = 1'],
    ['calibration', 'calibrations', 'per_count = 0.031'],
  ])('is named when somebody changes a %s', (word, table, change) => {
    filled();
    expect(inStore((store) => store.verify())).toMatchObject({ runs: 1, notes: 2, faults: [] });
    byHand(`DROP TRIGGER ${table}_not_changed; UPDATE ${table} SET ${change};`);
    expect(inStore((store) => store.verify().faults)).toEqual([
      {
        rigId: 'bench-1',
        sentence: `the ${word} of lead A on ${day} ${time} was changed after it was noted`,
      },
    ]);
  });

  it('is missed when it is taken out, with or without its link', () => {
    filled();
    byHand('DROP TRIGGER calibrations_not_removed; DELETE FROM calibrations;');
    expect(inStore((store) => store.verify().faults)).toEqual([{ sentence: 'a calibration is gone' }]);
    byHand('DELETE FROM chain WHERE calibration_id IS NOT NULL;');
    expect(inStore((store) => store.verify().faults)).toEqual([
      { runId: '2024-06-11-0001', sentence: 'record 1 of the chain is missing before it' },
    ]);
  });

  it('is found when it was put in beside the chain', () => {
    filled();
    byHand(
      'INSERT INTO shift_checks SELECT 99, ' +
        'rig_id, channel, moment, at, reading, reading_uncertainty, reference, reference_uncertainty, allowed, 1, tool_version FROM shift_checks;',
    );
    expect(inStore((store) => store.verify().faults)).toEqual([
      { rigId: 'bench-1', sentence: 'a known-load check of it is not in the chain' },
    ]);
  });
});

describe('an anchor noted elsewhere', () => {
  it('is found with how many records came after it, by its beginning and in any case', () => {
    const runId = filled();
    const hash = inStore((store) => store.showRun(runId).hash) ?? '';
    const expected = { runId, later: 1 };
    for (const anchor of [hash, anchorOf(hash), anchorOf(hash).toUpperCase()])
      expect(inStore((store) => store.verify(anchor).expected)).toEqual(expected);
  });

  it('is not found once the newest record was cut off, though the chain that is left is whole', () => {
    filled();
    const { lastHash = '' } = inStore((store) => store.verify());
    expect(inStore((store) => store.verify(lastHash).expected)).toEqual({ rigId: 'bench-1', later: 0 });
    byHand(
      'DROP TRIGGER shift_checks_not_removed; DELETE FROM chain WHERE place = 3; DELETE FROM shift_checks;',
    );
    const after = inStore((store) => store.verify(lastHash));
    expect(after.faults).toEqual([]);
    expect(after.expected).toBeUndefined();
  });

  it('is twelve digits, and eight are the least that are taken', () => {
    expect(anchorOf('cd4293c1d3439ca906ff447ff3db20b2')).toBe('cd4293c1d343');
    expect(['cd4293c1', 'CD4293C1D343', 'cd4293c', 'cd4293cx'].map(isAnchor)).toEqual([
      ...[true, true, false, false],
    ]);
  });
});

describe('a store of version 4, made by the program of that day', () => {
  it('opens, keeps the hashes of its records, and chains what it had noted of rigs', () => {
    byHand(readFileSync(new URL('store-version-4.sql', import.meta.url), 'utf8'));
    // As that program told it.
    const before = '8bb13f98c99b2cf0e503caf9bcbd23ab70c2c1c0efca29991194297838ff6bf5';
    const now = inStore((store) => store.verify(before));
    expect(now).toMatchObject({ runs: 1, entries: 1, notes: 2, faults: [] });
    expect(now.expected).toEqual({ runId: '2024-06-11-0001', later: 2 });
    byHand('DROP TRIGGER calibrations_not_changed; UPDATE calibrations SET reference = 11.9;');
    expect(inStore((store) => store.verify().faults)).toHaveLength(1);
  });
});
