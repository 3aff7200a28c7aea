// What a shop keeps beside its runs: jobs, lists, stories; corrections are new entries, and all of it stands in the chain.

import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openStore, type Store, standingEntries } from '../../host/records/index.js';
import { begin, capture, judgement } from './example-run.js';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-shop-'));
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
const tested = (store: Store, tag = 'V-0107', startedAt?: string): string => {
  const runId = store.beginRun(begin(tag, startedAt));
  const endedAt = startedAt === undefined ? {} : { endedAt: startedAt };
  store.finishRun(runId, { capture: capture(10), judgement: judgement('fail'), ...endedAt });
  return runId;
};

describe('what a shop keeps', () => {
  it('is a list of units by job, a unit corrected in its place, a withdrawn one gone', () => {
    inStore((store) => {
      store.addShopEntry({ job: '31', content: { kind: 'job', title: 'Two vans' } });
      const list = (tag: string, note: string) =>
        store.addShopEntry({
          tag,
          job: '31',
          content: { kind: 'listed', profile: 'roof-vent-switch', note },
        });
      const first = list('V-0107', 'front');
      const second = list('V-0108', 'rear');
      list('V-0109', 'side');
      const content = { kind: 'listed', profile: 'entry-step-relays', note: 'step' } as const;
      store.addShopEntry({ tag: 'V-0107', job: '31', corrects: first, content });
      store.addShopEntry({
        tag: 'V-0108',
        job: '31',
        corrects: second,
        content: { kind: 'withdrawn', text: 'twice' },
      });
      expect(store.listJobs()).toMatchObject([
        {
          ...{ job: '31', title: 'Two vans' },
          units: [
            { tag: 'V-0107', profile: 'entry-step-relays', note: 'step' },
            { tag: 'V-0109', note: 'side' },
          ],
        },
      ]);
      expect(store.listedProfile('V-0107')).toBe('entry-step-relays');
      expect(store.jobOf('V-0108')).toBeUndefined();
      tested(store, 'V-0107');
      tested(store, 'V-0108');
      expect(store.listRuns({ job: '31' }).map(({ tag, job }) => [tag, job])).toEqual([['V-0107', '31']]);
    });
  });

  it('corrects an entry once, by a new one that keeps the day of the first', () => {
    inStore((store) => {
      const add = (text: string, corrects?: number) =>
        store.addShopEntry(
          { tag: 'V-0107', content: { kind: 'note', text }, ...(corrects === undefined ? {} : { corrects }) },
          new Date(corrects === undefined ? '2024-06-11T08:00:00Z' : '2024-06-12T08:00:00Z'),
        );
      const first = add('brushes new');
      const second = add('brushes and springs new', first);
      expect(() => add('other', first)).toThrow(`entry ${first} was corrected by entry ${second} already`);
      expect(() => add('other', 99)).toThrow('there is no entry 99');
      expect(store.listShopEntries({ tag: 'V-0107' })).toHaveLength(2);
      expect(standingEntries(store.listShopEntries())).toMatchObject([
        {
          content: { text: 'brushes and springs new' },
          ...{ at: '2024-06-11T08:00:00.000Z', correctedAt: '2024-06-12T08:00:00.000Z' },
        },
      ]);
    });
  });

  it('writes a list whole or not at all', () => {
    inStore((store) => {
      const content = { kind: 'listed' } as const;
      expect(() =>
        store.together(() => {
          store.addShopEntry({ tag: 'V-0107', job: '31', content });
          throw new Error('the third line is wrong');
        }),
      ).toThrow('the third line is wrong');
      expect(store.listJobs()).toEqual([]);
      expect(store.verify()).toMatchObject({ shopEntries: 0, faults: [] });
    });
  });

  it('keeps who decided what and why, and the zone of the bench with each instant', () => {
    inStore((store) => {
      const runId = tested(store);
      store.addDisposition({
        tag: 'V-0107',
        runId,
        word: 'reject',
        operator: 'day shift',
        reason: 'shaft bent',
      });
      expect(store.showRun(runId)).toMatchObject({
        ...{ disposition: 'reject', decidedBy: 'day shift', decidedReason: 'shaft bent' },
        zone: Intl.DateTimeFormat().resolvedOptions().timeZone,
        utcOffsetMin: 0 - new Date('2024-06-11T08:30:00.000Z').getTimezoneOffset(),
      });
    });
  });
});

describe('decisions and entries in the chain', () => {
  it.each([
    ['dispositions', "reason = 'none'", 'a decision about it was changed after it was written'],
    [
      'shop_entries',
      "content_json = '{}'",
      /^the entry of \d{4}-\d\d-\d\d \d\d:\d\d:\d\d was changed after it was written$/,
    ],
  ])('name a changed row of %s, a removed one and one put in beside', (table, change, sentence) => {
    inStore((store) => {
      const runId = tested(store);
      store.addDisposition({ tag: 'V-0107', runId, word: 'hold', reason: 'waits' });
      store.addShopEntry({ tag: 'V-0107', content: { kind: 'note', text: 'x' } });
      expect(store.verify()).toMatchObject({
        runs: 1,
        dispositions: 1,
        shopEntries: 1,
        notes: 0,
        faults: [],
      });
    });
    byHand(`DROP TRIGGER ${table}_not_changed; UPDATE ${table} SET ${change};`);
    expect(inStore((store) => store.verify().faults)).toEqual([
      expect.objectContaining({
        sentence: typeof sentence === 'string' ? sentence : expect.stringMatching(sentence),
      }),
    ]);
    byHand(`DROP TRIGGER ${table}_not_removed; DELETE FROM ${table};`);
    expect(inStore((store) => store.verify().faults)).toHaveLength(1);
    byHand(`DELETE FROM chain WHERE place > 1; DROP TRIGGER IF EXISTS dispositions_not_removed; DELETE FROM dispositions; DROP TRIGGER IF EXISTS shop_entries_not_removed; DELETE FROM shop_entries;
      INSERT INTO dispositions (tag, run_id, word, at, tool_version) VALUES ('V-0107', '2024-06-11-0001', 'accept', 'x', 'x');`);
    expect(inStore((store) => store.verify().faults)).toEqual([
      { runId: '2024-06-11-0001', sentence: 'a decision about it is not in the chain' },
    ]);
  });

  it('stay in their order when the clock of the bench is set back', () => {
    inStore((store) => {
      const later = tested(store, 'V-0107', '2024-06-12T08:00:00.000Z');
      const earlier = tested(store, 'V-0108', '2024-06-10T08:00:00.000Z');
      const verified = store.verify(store.showRun(later).hash);
      expect(verified).toMatchObject({ runs: 2, faults: [], expected: { runId: later, later: 1 } });
      expect(verified.lastHash).toBe(store.showRun(earlier).hash);
      expect(verified.clockSetBack).toEqual([{ runId: earlier }]);
    });
  });
});

describe('a store of version 5, made by the program of that day', () => {
  it('opens, keeps its hashes, chains its decisions, and stands beside itself as it was', () => {
    byHand(readFileSync(new URL('store-version-5.sql', import.meta.url), 'utf8'));
    // As that program told it; from the run on sealed anew by today's one, when its operator got another name.
    const before = '6a8592a3ab362d67389fd789d4c214485167a8722c050dba1a2e28135f87c419';
    const now = inStore((store) => store.verify(before));
    expect(now).toMatchObject({ runs: 1, entries: 1, notes: 2, dispositions: 3, faults: [] });
    expect(now.expected).toEqual({ rigId: 'bench-1', later: 3 });
    const kept = new Sqlite(join(folder, 'throwbench-version-5.sqlite'), { readonly: true });
    expect(kept.pragma('user_version', { simple: true })).toBe(5);
    expect(kept.prepare('SELECT hash FROM chain ORDER BY place DESC').pluck().get()).toBe(before);
    kept.close();
    expect(existsSync(join(folder, 'throwbench-version-5.sqlite.part'))).toBe(false);
  });
});
