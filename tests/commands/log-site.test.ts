// `log site`: the folder of pages, written once and added to.

import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { sheetCircuit } from '../../host/commands/circuit-on-sheet.js';
import { command as logCommand } from '../../host/commands/verbs/log.js';
import { type JudgementRecord, openStore, type Store } from '../../host/records/index.js';
import { begin, capture, judgement } from '../records/example-run.js';
import { call } from './call.js';

let folder: string;
const before = process.env.THROWBENCH_LOGS;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-log-site-'));
  process.env.THROWBENCH_LOGS = join(folder, 'records');
});
afterAll(() => {
  if (before === undefined) delete process.env.THROWBENCH_LOGS;
  else process.env.THROWBENCH_LOGS = before;
  rmSync(folder, { recursive: true, force: true });
});

function inStore<T>(work: (store: Store) => T): T {
  const store = openStore();
  try {
    return work(store);
  } finally {
    store.close();
  }
}
const record = (tag: string, day: number): string =>
  inStore((store) => {
    const runId = store.beginRun(begin(tag, new Date(2024, 5, day, 9).toISOString()));
    store.finishRun(runId, { capture: capture(20), judgement: judgement('fail') });
    return runId;
  });
const found = (verdict: 'pass' | 'fail', cause: string): JudgementRecord => ({
  ...judgement(verdict),
  findings: [{ id: cause, likelihood: 0.9, sentence: 'Found.', nextProbe: 'None.' }],
});
const site = (...args: string[]) => call(logCommand, ['site', ...args], folder);
const fault = (...args: string[]) =>
  site(...args).then(
    () => 'nothing',
    (error: Error) => error.message,
  );
const counts = async (): Promise<object> => JSON.parse((await site('pages', '--json')).stdout);

describe('log site', () => {
  it('writes list, sheets and statistics, and afterwards only what is new or was added to', async () => {
    const [first, second] = [record('V-0101', 1), record('V-0102', 2)];
    expect(await counts()).toMatchObject({ runs: 2, sheetsWritten: 2, sheetsKept: 0 });
    const at = (name: string): string => join(folder, 'pages', name);
    const sheet = readFileSync(at(`sheets/2024-06/${first}.html`), 'utf8');
    expect(sheet).toContain('<a href="../../index.html">All runs</a>');
    expect(readFileSync(at('index.html'), 'utf8')).toContain('<script src="data/2024-06.js">');
    expect(readFileSync(at('statistics.html'), 'utf8')).toContain('2 judged runs of 2 units');
    const { mtimeMs } = statSync(at('data/2024-06.js'));
    expect(await counts()).toMatchObject({ runs: 2, sheetsWritten: 0, sheetsKept: 2 });
    expect(statSync(at('data/2024-06.js')).mtimeMs).toBe(mtimeMs);

    // A decision belongs on its sheet; an earlier run of the same unit on that of the later one.
    inStore((store) => store.addDisposition({ tag: 'V-0102', runId: second, word: 'rework' }));
    const third = record('V-0101', 3);
    expect(await counts()).toMatchObject({ runs: 3, sheetsWritten: 2, sheetsKept: 1 });
    expect(readFileSync(at(`sheets/2024-06/${second}.html`), 'utf8')).toContain('to be reworked');
    expect(readFileSync(at(`sheets/2024-06/${third}.html`), 'utf8')).toContain('Story of this unit');
    expect(readFileSync(at('data/2024-06.js'), 'utf8')).toContain('to be reworked');
    expect(existsSync(at(`data/2024-06.js.part`))).toBe(false);

    rmSync(at(`sheets/2024-06/${first}.html`));
    expect(await counts()).toMatchObject({ sheetsWritten: 1 });
  });

  it('carries the circuit with the faulty place on the sheet of a failed run, as log show --html does', async () => {
    const at = (day: number): string => new Date(2024, 7, day, 9).toISOString();
    const [bad, good] = inStore((store) =>
      (['fail', 'pass'] as const).map((verdict, i) => {
        const runId = store.beginRun(begin('V-0120', at(i + 1)));
        store.finishRun(runId, { capture: capture(20), judgement: found(verdict, 'feed-open') });
        return runId;
      }),
    );
    await site('pages');
    const sheet = (runId = ''): string =>
      readFileSync(join(folder, 'pages', 'sheets', '2024-08', `${runId}.html`), 'utf8');
    const { stdout } = await call(logCommand, ['show', bad ?? '', '--html', '-'], folder);
    const circuit = /<div class="circuit">.*?<\/div>/s.exec(stdout)?.[0];
    expect(circuit).toMatch(/! the faulty place; in brackets a good unit/);
    expect(sheet(bad)).toContain(circuit);
    expect(sheet(good)).not.toContain('<div class="circuit">');
  });

  it('draws a circuit once for all runs with the same cause, whatever the rig has proven of itself', async () => {
    const { unit } = begin();
    const shown = async (cause: string, more: Partial<typeof unit> = {}) => {
      const runId = inStore((store) => {
        const id = store.beginRun({ ...begin('V-0121'), unit: { ...unit, ...more } });
        store.finishRun(id, { judgement: found('fail', cause) });
        return id;
      });
      return sheetCircuit(inStore((store) => store.showRun(runId)));
    };
    const first = await shown('feed-open');
    expect(first?.svg).toContain('<svg');
    expect(await shown('feed-open', { rig: { ...unit.rig, proven: ['F4'] } })).toBe(first);
    expect(await shown('motor-open')).not.toBe(first);
    const hot = { ...unit.unit, temperatureC: { nominal: 45, plusMinus: 3 } };
    expect(await shown('feed-open', { unit: hot })).not.toBe(first);
  });

  it("keeps out of other people's folders and of another store's pages", async () => {
    mkdirSync(join(folder, 'photos'));
    writeFileSync(join(folder, 'photos', 'a.jpg'), '');
    expect(await fault('photos')).toBe(
      'photos: holds other files, and no pages of this program; name a new folder',
    );
    const here = process.env.THROWBENCH_LOGS!;
    process.env.THROWBENCH_LOGS = join(folder, 'other');
    record('V-0101', 1);
    expect(await fault('pages')).toMatch(/^pages: holds the pages of another store;/);
    process.env.THROWBENCH_LOGS = here;
  });

  it('wants a folder', async () => {
    expect(await fault()).toBe('log site needs a FOLDER to write to, such as records-site');
    expect(await fault('x', '--html', 'y')).toBe('--html does not go with log site');
  });
});
