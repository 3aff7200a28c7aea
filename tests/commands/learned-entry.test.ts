// Learned limits in the record: the entry that `learn` adds, the file held against it, the run that was judged by it.

import { execFileSync } from 'node:child_process';
import {
  appendFileSync,
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  renameSync,
  rmSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { command as learnCommand } from '../../host/commands/verbs/learn.js';
import { command as logCommand } from '../../host/commands/verbs/log.js';
import { loadUnit, restoredUnit, withLearned } from '../../host/profile/index.js';
import { anchorOf, openStore, type RunRecord, type ShopEntry } from '../../host/records/index.js';
import { writeStarts } from '../learn/workshop.js';
import { judgement, RIG } from '../records/example-run.js';
import { type Called, call } from './call.js';

const PROFILE = 'window-lift-alone';
const before = process.env.THROWBENCH_LOGS;
const captures = mkdtempSync(join(tmpdir(), 'throwbench-entry-captures-'));
/** Where store and limits lie, and both as the first learning left them: an entry tells of a path. */
const folder = mkdtempSync(join(tmpdir(), 'throwbench-entry-'));
const learnedOnce = mkdtempSync(join(tmpdir(), 'throwbench-entry-once-'));
let firstSaid: Called;
const learn = (...args: string[]) =>
  call(learnCommand, ['--profile', PROFILE, '--captures', captures, ...args], folder);
const log = (...args: string[]) => call(logCommand, args, folder);
const limits = join(folder, 'good.yaml');
const empty = (): void => {
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder);
};

beforeAll(async () => {
  process.env.THROWBENCH_LOGS = folder;
  const unit = loadUnit(PROFILE);
  for (let n = 1; n <= 3; n++) writeStarts(captures, unit, { tag: `V-010${n}`, seed: 700 + n });
  firstSaid = await learn('--out', 'good.yaml', '--coverage', '0.9', '--by', 'night shift');
  cpSync(folder, learnedOnce, { recursive: true });
}, 120_000);
beforeEach(() => {
  empty();
  cpSync(learnedOnce, folder, { recursive: true });
});
afterAll(() => {
  if (before === undefined) delete process.env.THROWBENCH_LOGS;
  else process.env.THROWBENCH_LOGS = before;
  for (const made of [captures, folder, learnedOnce]) rmSync(made, { recursive: true, force: true });
});

const inStore = <T>(ask: (store: ReturnType<typeof openStore>) => T): T => {
  const store = openStore();
  try {
    return ask(store);
  } finally {
    store.close();
  }
};
const entries = (): ShopEntry[] => inStore((store) => store.listShopEntries());

/** A run that was judged by the limits of a file, as `run --learned` records it. */
const recorded = (file: string): RunRecord =>
  inStore((store) => {
    const unit = withLearned(loadUnit(PROFILE), file);
    const runId = store.beginRun({
      ...{ tag: 'V-0110', unit, rig: RIG, startedAt: new Date(2024, 5, 11, 9).toISOString() },
    });
    store.finishRun(runId, { judgement: judgement() });
    return store.showRun(runId);
  });

describe('the entry that learn adds', () => {
  it('tells file, hash, runs, starts, coverage, confidence and who learned', () => {
    const { code, stdout } = firstSaid;
    expect(code, stdout).toBe(0);
    const [entry, ...more] = entries();
    expect(more).toEqual([]);
    expect(entry?.operator).toBe('night shift');
    // By another program than ours: sha256sum of GNU coreutils.
    const [sha256] = execFileSync('sha256sum', [limits], { encoding: 'utf8' }).split(' ');
    expect(entry?.content).toMatchObject({
      ...{ kind: 'learned-limits', path: limits, sha256, profile: PROFILE },
      ...{ units: 3, starts: 3, coverage: 0.9, confidence: 0.9 },
    });
    const runs = entry?.content.kind === 'learned-limits' ? entry.content.runs : [];
    expect(runs.map(({ unit }) => unit)).toEqual(['V-0101', 'V-0102', 'V-0103']);
    for (const { run, sha256: ofCapture } of runs)
      expect(execFileSync('sha256sum', [join(captures, run)], { encoding: 'utf8' })).toContain(ofCapture);
    const verified = inStore((store) => store.verify());
    expect(verified).toMatchObject({ shopEntries: 1, faults: [] });
    expect(stdout).toContain(`The record keeps its hash: entry ${anchorOf(verified.lastHash ?? '')}`);
  });

  it('is not added where nothing is written: no --out, a file that is there, a folder that is not', async () => {
    empty();
    expect((await learn()).code).toBe(0);
    await expect(learn('--out', join('no-such-folder', 'good.yaml'))).rejects.toThrow(/good\.yaml/);
    expect(existsSync(join(folder, 'throwbench.sqlite')) ? entries() : []).toEqual([]);
    cpSync(learnedOnce, folder, { recursive: true });
    await expect(learn('--out', 'good.yaml')).rejects.toThrow(/is there already/);
    expect(entries()).toHaveLength(1);
  }, 120_000);

  it('leaves no file where the record cannot be written', async () => {
    const other = new Sqlite(join(folder, 'throwbench.sqlite'));
    other.exec("CREATE TRIGGER full BEFORE INSERT ON chain BEGIN SELECT raise(ABORT, 'no room'); END");
    other.close();
    await expect(learn('--out', 'more.yaml')).rejects.toThrow();
    expect(existsSync(join(folder, 'more.yaml'))).toBe(false);
    expect(entries()).toHaveLength(1);
  }, 120_000);

  it('refuses --by without a file, for who would have written nothing', async () => {
    await expect(learn('--by', 'night shift')).rejects.toThrow(/--by goes with --out/);
  });
});

describe('log verify of learned limits', () => {
  it('counts a file that is as it was written', async () => {
    const { code, stdout } = await log('verify');
    expect(code, stdout).toBe(0);
    expect(stdout).toContain('files of learned limits: 1, each as it was written\n');
  });

  it('names a file that was changed afterwards', async () => {
    appendFileSync(limits, '# a wider limit\n');
    const { code, stdout } = await log('verify');
    expect(code).toBe(1);
    expect(stdout).toMatch(
      /learned limits in .*good\.yaml: the file was changed after it was written on \d{4}/,
    );
    const told = JSON.parse((await log('verify', '--json')).stdout) as { learned: object; faults: [] };
    expect(told.learned).toMatchObject({ asWritten: 0, notFound: [], faults: [{ learnedPath: limits }] });
    expect(told.faults, 'the chain itself holds').toEqual([]);
  });

  it('accuses nobody of a file that is elsewhere, and says that it could not look', async () => {
    renameSync(limits, join(folder, 'moved.yaml'));
    const { code, stdout } = await log('verify');
    expect(code).toBe(0);
    expect(stdout).toMatch(/good\.yaml: learned limits, no longer there to be looked at/);
  });

  it('names the entry when the store was edited to fit another file', async () => {
    const store = new Sqlite(join(folder, 'throwbench.sqlite'));
    store.exec('DROP TRIGGER shop_entries_not_changed');
    store.exec("UPDATE shop_entries SET content_json = json_set(content_json, '$.units', 30)");
    store.close();
    const { code, stdout } = await log('verify');
    expect(code).toBe(1);
    expect(stdout).toMatch(
      /learned limits in .*good\.yaml: the entry of .* was changed after it was written/,
    );
  });

  it('says of an anchor which file it is of', async () => {
    const { lastHash = '' } = inStore((store) => store.verify());
    const { code, stdout } = await log('verify', '--expect', anchorOf(lastHash));
    expect(code).toBe(0);
    expect(stdout).toMatch(/in the chain, learned limits in .*good\.yaml; the newest record/);
  });
});

describe('a run that was held to learned limits', () => {
  it('names the entry by its anchor, on log show and on the sheet', async () => {
    const anchor = anchorOf(inStore((store) => store.verify()).lastHash ?? '');
    const { runId, unit, learnedFrom } = recorded(limits);
    expect(learnedFrom).toMatchObject({ units: 3, file: { name: 'good.yaml' } });
    expect(restoredUnit(unit, runId).learnedFile).toEqual(learnedFrom?.file);
    expect((await log('show', runId)).stdout).toMatch(
      new RegExp(`^limits {3}of 3 good units, good\\.yaml, entry ${anchor} of \\d{4}-`, 'm'),
    );
    const told = JSON.parse((await log('show', runId, '--json')).stdout) as Pick<RunRecord, 'learnedFrom'>;
    expect(anchorOf(told.learnedFrom?.entry?.hash ?? '')).toBe(anchor);
    const { stdout } = await log('show', runId, '--html', '-');
    expect(stdout).toContain(`of 3 good units, good.yaml, entry ${anchor}`);
  });

  it('names it also where the file was renamed, for the bytes are the same', () => {
    renameSync(limits, join(folder, 'fans.yaml'));
    const { learnedFrom } = recorded(join(folder, 'fans.yaml'));
    expect(learnedFrom).toMatchObject({ file: { name: 'fans.yaml' }, entry: { at: expect.any(String) } });
  });

  it('says so where no entry tells of these bytes', async () => {
    appendFileSync(limits, '# a wider limit\n');
    const { runId, learnedFrom } = recorded(limits);
    expect(learnedFrom?.entry).toBeUndefined();
    expect((await log('show', runId)).stdout).toMatch(
      /^limits {3}of 3 good units, good\.yaml; no entry of this record tells of that file$/m,
    );
  });

  it('says of an older record that it does not tell from which file', async () => {
    const runId = inStore((store) => {
      const { learnedFile: _, ...unit } = withLearned(loadUnit(PROFILE), limits);
      const startedAt = new Date(2024, 5, 11, 9).toISOString();
      const id = store.beginRun({ tag: 'V-0110', unit, rig: RIG, startedAt });
      store.finishRun(id, { judgement: judgement() });
      return id;
    });
    expect((await log('show', runId)).stdout).toMatch(/does not tell from which file/);
    expect(readFileSync(limits, 'utf8')).toContain('kind: learned');
  });
});
