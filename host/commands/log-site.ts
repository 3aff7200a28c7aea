// The records as a folder of plain pages: list, sheets, statistics. Called again it writes what is new or was added to,
// and leaves every other file as it is.

import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { groupedBy } from '../arrays/index.js';
import { displayPath, InputError, oneLine } from '../input/index.js';
import type { RunSummary, Store } from '../records/index.js';
import { type Paper, sheetHtml } from '../reports/sheet/index.js';
import { deskScript, listPage, monthFile, type SiteRun, statsPage } from '../reports/site/index.js';
import { DISPOSITION_WORDS, formsNow, localTime, retold, shownMonth } from '../tell/index.js';
import { sheetCircuit } from './circuit-on-sheet.js';
import { type CommandIo, EXIT, jsonText } from './command.js';
import { statsOf, type Tally } from './log-stats.js';
import { verdictOf, when } from './log-text.js';
import { shopLines } from './run-papers.js';
import { readSettings } from './settings.js';
import { sheetOf } from './sheet-of-run.js';
import { withOpenStore } from './stored-runs.js';
import { storyOf } from './story.js';

/** Another number where the pages are made in another way: then every sheet is written anew. */
const EDITION = 2;
/** What was written, and from which records. */
const MANIFEST = join('data', 'written.json');

interface Manifest {
  edition: number;
  /** Hash of the oldest record: the store that the folder shows. */
  firstHash?: string;
  /** What each sheet was made from, by run. */
  sheets: Record<string, string>;
}

export interface SiteOptions {
  paper: Paper | undefined;
  shop: string | undefined;
  json: boolean;
}

/** @throws InputError for a folder that is not the site's, or cannot be written */
export async function writeSite(
  io: CommandIo,
  target: string,
  { paper, shop, json }: SiteOptions,
): Promise<number> {
  const folder = resolve(io.cwd, target);
  const settled = readSettings();
  const style = { paper: paper ?? settled.paper ?? 'a4', shop: shopLines(shop ?? settled.shop ?? '') };
  try {
    const found =
      (await withOpenStore((store) => new Site(folder, target, style).write(store, io))) ??
      (await new Site(folder, target, style).write(undefined, io));
    if (json) io.stdout(jsonText({ folder, ...found }));
    else
      io.stdout(
        `${displayPath(join(folder, 'index.html'))}: ${found.runs === 1 ? '1 run' : `${found.runs} runs`}, sheets written ${found.sheetsWritten}, as they were ${found.sheetsKept}\n`,
      );
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (error instanceof Error && code !== undefined && /^E[A-Z]+$/.test(code))
      throw new InputError(
        { file: target, what: `cannot be written (${code})`, mend: 'check folder, permissions and space' },
        { cause: error },
      );
    throw error;
  }
  return EXIT.pass;
}

interface Written {
  runs: number;
  sheetsWritten: number;
  sheetsKept: number;
}

class Site {
  constructor(
    private readonly folder: string,
    private readonly target: string,
    private readonly style: { paper: Paper; shop: readonly string[] },
  ) {}

  async write(store: Store | undefined, io: CommandIo): Promise<Written> {
    const manifest = this.#manifest(store?.firstHash());
    const runs = store?.listRuns() ?? [];
    const written = store === undefined ? 0 : await this.#sheets(store, runs, manifest, io);
    const months = this.#months(store, runs);
    const shop = this.style.shop[0] ?? '';
    this.#put(join('data', 'desk.js'), deskScript());
    const stats = statsOf(runs, store?.firstCauses() ?? new Map());
    this.#put(
      'statistics.html',
      statsPage({
        ...{ ...stats, shop },
        byMonth: rows(stats.byMonth).map((row) => ({ ...row, name: shownMonth(row.name) })),
        ...{ byProfile: rows(stats.byProfile), byBench: rows(stats.byBench) },
      }),
    );
    const profiles = [...new Set(runs.map(({ profileTitle }) => profileTitle))].sort();
    const newest = runs[0] === undefined ? '' : when(runs[0].startedAt);
    // Last, so that the list never names what is not there yet.
    this.#put('index.html', listPage({ shop, runs: runs.length, newest, profiles, months }));
    return { runs: runs.length, sheetsWritten: written, sheetsKept: runs.length - written };
  }

  /** @throws InputError for a folder with other things in it, or with another store's pages */
  #manifest(firstHash: string | undefined): Manifest {
    const path = join(this.folder, MANIFEST);
    if (!existsSync(path)) {
      if (existsSync(this.folder) && readdirSync(this.folder).length > 0)
        throw new InputError({
          file: this.target,
          what: 'holds other files, and no pages of this program',
          mend: 'name a new folder',
        });
      return { edition: EDITION, ...(firstHash === undefined ? {} : { firstHash }), sheets: {} };
    }
    const kept = JSON.parse(readFileSync(path, 'utf8')) as Manifest;
    if (kept.firstHash !== undefined && kept.firstHash !== firstHash)
      throw new InputError({
        file: this.target,
        what: 'holds the pages of another store',
        mend: 'name another folder, or set THROWBENCH_LOGS to that store',
      });
    return {
      edition: EDITION,
      ...(firstHash === undefined ? {} : { firstHash }),
      sheets: kept.edition === EDITION ? kept.sheets : {},
    };
  }

  /** Returns how many were written. */
  async #sheets(
    store: Store,
    runs: readonly RunSummary[],
    manifest: Manifest,
    io: CommandIo,
  ): Promise<number> {
    const hashes = store.newestHashes();
    const decided = new Map(store.listDispositions().map(({ tag, id }) => [tag, id]));
    const written = new Map(store.listShopEntries().map(({ tag, id }) => [tag, id]));
    const ofTag = groupedBy(runs, ({ tag }) => tag);
    const due = runs.flatMap((run) => {
      const { runId, tag } = run;
      const earlier = (ofTag.get(tag) ?? []).filter(({ startedAt }) => startedAt <= run.startedAt);
      const made = digest([
        ...[
          this.style,
          formsNow(),
          hashes.get(runId),
          run.status,
          run.doubt,
          decided.get(tag),
          written.get(tag),
        ],
        ...earlier.map((one) => [one.runId, one.doubt, one.verdict]),
      ]);
      const isThere = manifest.sheets[runId] === made && existsSync(join(this.folder, sheetPath(run)));
      return isThere ? [] : [{ run, made }];
    });
    let tellAt = Date.now() + TELL_EVERY_MS;
    for (const [i, { run, made }] of due.entries()) {
      this.#put(sheetPath(run), await this.#sheet(store, run));
      manifest.sheets[run.runId] = made;
      if (Date.now() < tellAt) continue;
      tellAt = Date.now() + TELL_EVERY_MS;
      io.stderr(`sheets: ${i + 1} of ${due.length}\n`);
      // What is done is not done again after a stop.
      this.#put(MANIFEST, JSON.stringify(manifest));
    }
    this.#put(MANIFEST, JSON.stringify(manifest));
    return due.length;
  }

  async #sheet(store: Store, { runId }: RunSummary): Promise<string> {
    const run = store.showRun(runId);
    const sheet = sheetOf({
      ...{ run, shop: this.style.shop, circuit: await sheetCircuit(run) },
      story: storyOf(store, run.tag),
      capture: store.readCapture(runId),
      calibrations: store.listCalibrations(run.rig.rigId),
      entries: store.listEntries(runId),
    });
    return sheetHtml(sheet, this.style.paper, '../../index.html');
  }

  /** Writes the months that changed; returns the paths of all, newest first. */
  #months(store: Store | undefined, runs: readonly RunSummary[]): string[] {
    if (store === undefined) return [];
    const causes = store.firstCauses();
    const standing = standingWords(store);
    const row = (run: RunSummary): SiteRun => ({
      run: run.runId,
      unit: oneLine(run.tag),
      profile: oneLine(run.profileTitle),
      day: localTime(new Date(run.startedAt)).day,
      when: when(run.startedAt),
      verdict: run.verdict ?? '',
      told: verdictOf(run),
      reason: oneLine(retold(run.sentence ?? '')),
      cause: oneLine(causes.get(run.runId)?.sentence ?? ''),
      decided: standing.get(run.runId) ?? '',
      operator: oneLine(run.operator ?? ''),
      job: oneLine(run.job ?? ''),
      sheet: sheetPath(run),
    });
    return [...groupedBy(runs, monthOf)].map(([month, of]) => {
      const path = `data/${month}.js`;
      this.#put(path, monthFile(of.map(row)));
      return path;
    });
  }

  /** Whole or not at all; a file that says the same already stays untouched. */
  #put(name: string, text: string): void {
    const path = join(this.folder, name);
    if (existsSync(path) && readFileSync(path, 'utf8') === text) return;
    mkdirSync(dirname(path), { recursive: true });
    writeFileSync(`${path}.part`, text);
    renameSync(`${path}.part`, path);
  }
}

const TELL_EVERY_MS = 5000;

const monthOf = ({ startedAt }: RunSummary): string => localTime(new Date(startedAt)).day.slice(0, 7);

const sheetPath = (run: RunSummary): string => `sheets/${monthOf(run)}/${run.runId}.html`;

const digest = (of: readonly unknown[]): string =>
  createHash('sha256').update(JSON.stringify(of)).digest('hex').slice(0, 32);

/** What stands decided, in words, by run. */
function standingWords(store: Store): Map<string, string> {
  const entries = store.listDispositions();
  const back = new Set(entries.flatMap(({ takesBack }) => takesBack ?? []));
  return new Map(
    entries.flatMap(({ id, runId, word }) =>
      word === undefined || back.has(id) ? [] : [[runId, DISPOSITION_WORDS[word]] as const],
    ),
  );
}

const rows = (of: Record<string, Tally>) => Object.entries(of).map(([name, tally]) => ({ name, ...tally }));
