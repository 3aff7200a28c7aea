// What is added to a closed run later: kept in the chain, found when it is changed, and a store of yesterday's version
// brought to today's without touching a record.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type EntryContent, openStore } from '../../host/records/index.js';
import { begin, capture, judgement } from './example-run.js';

const OPEN: EntryContent = {
  kind: 'probe',
  source: 'typed',
  probe: 'ohms-k2-86-85',
  words: 'Outputs off, pull K2 and measure it from 86 to 85',
  value: Number.POSITIVE_INFINITY,
  unit: 'Ohm',
};
const MOVED: EntryContent = {
  kind: 'clip-moved',
  rigId: 'bench-1',
  clip: 'b',
  sentence: 'The sense clip of lead B was moved to 85 of K2.',
};

let folder: string;
let runId: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-entries-'));
  const store = openStore(folder);
  runId = store.beginRun(begin('V-0101'));
  store.finishRun(runId, { capture: capture(50), judgement: judgement('fail') });
  store.close();
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

function inStore<T>(ask: (store: ReturnType<typeof openStore>) => T): T {
  const store = openStore(folder);
  try {
    return ask(store);
  } finally {
    store.close();
  }
}
function byHand(...statements: string[]): void {
  const database = new Sqlite(join(folder, 'throwbench.sqlite'));
  database.pragma('foreign_keys = OFF');
  for (const sql of statements) database.exec(sql);
  database.close();
}

describe('an entry added to a closed run', () => {
  it('is kept as it was given, an open circuit too, and leaves the run and its hash as they were', () => {
    const before = inStore((store) => store.showRun(runId));
    const seen = inStore((store) => {
      store.addEntry(runId, OPEN, '2024-06-11T09:00:00.000Z');
      return { entries: store.listEntries(runId), run: store.showRun(runId), proof: store.verify() };
    });
    expect(seen.entries).toMatchObject([{ ...OPEN, runId, at: '2024-06-11T09:00:00.000Z' }]);
    expect(seen.entries[0]?.hash).toMatch(/^[0-9a-f]{64}$/);
    expect(seen.run).toEqual(before);
    expect(seen.proof).toMatchObject({ runs: 1, entries: 1, faults: [] });
    expect(seen.proof.lastHash).toBe(seen.entries[0]?.hash);
  });

  it('can be neither changed nor removed, and is found out when the triggers are taken off', () => {
    inStore((store) => store.addEntry(runId, OPEN));
    expect(() => byHand("UPDATE entries SET at = '2020'")).toThrow(/never changed/);
    expect(() => byHand('DELETE FROM entries')).toThrow(/never removed/);
    byHand(
      'DROP TRIGGER entries_not_changed',
      "UPDATE entries SET content_json = replace(content_json, 'K2', 'K1')",
    );
    expect(inStore((store) => store.verify().faults)).toEqual([
      { runId, sentence: 'an entry that was added to it was changed after it was written' },
    ]);
    byHand('DROP TRIGGER entries_not_removed', 'DELETE FROM entries');
    expect(inStore((store) => store.verify().faults)).toEqual([
      { runId, sentence: 'an entry that was added to it is gone' },
    ]);
  });

  it('is found when it was slipped in beside the chain', () => {
    byHand(
      `INSERT INTO entries (run_id, kind, at, content_json, tool_version) VALUES ('${runId}', 'probe', '2024', '{}', '0')`,
    );
    expect(inStore((store) => store.verify().faults)).toEqual([
      { runId, sentence: 'an entry that was added to it is not in the chain' },
    ]);
  });

  it('is refused for a run that is not there or still going on', () => {
    inStore((store) => {
      expect(() => store.addEntry('2024-01-01-0001', OPEN)).toThrow(/no run 2024-01-01-0001/);
      const open = store.beginRun(begin('V-0102'));
      expect(() => store.addEntry(open, OPEN)).toThrow(/still going on/);
    });
  });

  it('tells which clips of a rig are away', () => {
    inStore((store) => {
      expect(store.clipsAway('bench-1')).toEqual([]);
      store.addEntry(runId, MOVED);
      expect(store.clipsAway('bench-1')).toMatchObject([MOVED]);
      expect(store.clipsAway('bench-2')).toEqual([]);
      store.addEntry(runId, { ...MOVED, kind: 'clip-back', sentence: 'Back.' });
      expect(store.clipsAway('bench-1')).toEqual([]);
    });
  });
});
