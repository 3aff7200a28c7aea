// Jobs of the shop: opened, filled from a spreadsheet, listed, shown with where each unit stands, written as a tray.

import { stringify } from 'yaml';
import { InputError, oneLine } from '../input/index.js';
import type { Job, RunQuery, RunSummary, Store } from '../records/index.js';
import { DISPOSITION_WORDS } from '../tell/index.js';
import { type CommandIo, EXIT, jsonText } from './command.js';
import { readUnitList } from './job-list.js';
import { verdictOf, when } from './log-text.js';
import { inStore, writer } from './shop-writing.js';
import { storePlace, withStore } from './stored-runs.js';
import { tableLines } from './table.js';
import { writeNew } from './write-new.js';

/** @throws InputError where it is open already */
export function openJob(
  io: CommandIo,
  job: string,
  { title, by, json }: { title: string | undefined; by: string | undefined; json: boolean },
): number {
  inStore((store) => {
    if (store.listJobs().some((one) => one.job === job))
      throw new InputError({
        file: job,
        what: 'there is such a job already',
        mend: `throwbench job show ${job}`,
      });
    const content = { kind: 'job', ...(title === undefined ? {} : { title }) } as const;
    store.addShopEntry({ job, ...writer(by), content });
  });
  if (json) io.stdout(jsonText({ job }));
  else io.stdout(`job ${oneLine(job)} opened\n`);
  return EXIT.pass;
}

/** Brings a list in: all of it, or none. What stands listed the same already is left as it is. */
export function importList(
  io: CommandIo,
  file: string,
  { job, by, json }: { job: string | undefined; by: string | undefined; json: boolean },
): number {
  const { rows, sha256, notRead } = readUnitList(io.cwd, file, job);
  const told = inStore((store) =>
    store.together(() => {
      const counts = { file, units: rows.length, listed: 0, corrected: 0, asBefore: 0, notRead };
      const standing = new Map(store.standingListings().map((one) => [listingKey(one), one]));
      for (const { tag: typed, job: typedJob, profile, note } of rows) {
        const before = standing.get(listingKey({ tag: typed, job: typedJob }));
        // As it was written first: it is found in any case.
        const { tag = typed, job: of = typedJob } = before ?? {};
        const content = {
          kind: 'listed',
          ...(profile === undefined ? {} : { profile }),
          ...(note === undefined ? {} : { note }),
          sourceSha256: sha256,
        } as const;
        const isSame =
          before?.content.kind === 'listed' &&
          before.content.profile === profile &&
          before.content.note === note;
        if (isSame) counts.asBefore += 1;
        else {
          const corrects = before === undefined ? {} : { corrects: before.id };
          store.addShopEntry({ tag, job: of, ...corrects, ...writer(by), content });
          counts[before === undefined ? 'listed' : 'corrected'] += 1;
        }
      }
      return counts;
    }),
  );
  if (json) io.stdout(jsonText(told));
  else {
    io.stdout(
      `${oneLine(file)}: units listed ${told.listed}, corrected ${told.corrected}, as before ${told.asBefore}\n`,
    );
    if (notRead.length > 0)
      io.stdout(`columns not read: ${notRead.map(oneLine).join(', ')}; read are tag, job, profile, note\n`);
  }
  return EXIT.pass;
}

const listingKey = ({ tag = '', job = '' }: { tag?: string; job?: string }): string =>
  JSON.stringify([tag, job].map((text) => text.toLowerCase()));

/** Where a job's units stand, from all runs read once: a list may hold thousands of units. */
function standing(store: Store, asked: RunQuery = {}) {
  const runsOf = new Map<string, RunSummary[]>();
  for (const run of store.listRuns(asked)) {
    const own = runsOf.get(run.tag);
    if (own) own.push(run);
    else runsOf.set(run.tag, [run]);
  }
  const decisions = store.standingDispositions();
  return ({ units }: Job) =>
    units.map((unit) => {
      const runs = runsOf.get(unit.tag) ?? [];
      const newest = runs[0];
      const decided = newest && decisions.get(newest.runId)?.word;
      return { ...unit, runs: runs.length, newest, decided };
    });
}

const newestWords = (newest: RunSummary | undefined): string =>
  newest === undefined ? 'not tested' : `${verdictOf(newest)}, ${when(newest.startedAt)}`;

export function listJobs(io: CommandIo, json: boolean): number {
  const jobs =
    withStore((store) => {
      const standOf = standing(store);
      return store.listJobs().map((job) => {
        const stand = standOf(job);
        const passed = stand.filter(({ newest }) => newest?.verdict === 'pass').length;
        const tested = stand.filter(({ newest }) => newest !== undefined).length;
        return { ...job, tested, passed };
      });
    }) ?? [];
  if (json) io.stdout(jsonText(jobs.map(({ units, ...job }) => ({ ...job, units: units.length }))));
  else if (jobs.length === 0)
    io.stdout(`no jobs in ${storePlace()}; throwbench job import FILE brings a list in\n`);
  else {
    const rows = jobs.map(({ job, title = '', openedAt, units, tested, passed }) =>
      [job, when(openedAt), `${units.length}`, `${tested}`, `${passed}`, title].map(oneLine),
    );
    const lines = tableLines([['job', 'since', 'units', 'tested', 'passed', 'title'], ...rows]);
    io.stdout(lines.map((line) => `${line}\n`).join(''));
  }
  return EXIT.pass;
}

/** @throws InputError for a job that is not there */
export function showJob(io: CommandIo, name: string, json: boolean): number {
  const found = withStore((store) => {
    const job = knownJob(store, name);
    return { job, stand: standing(store, { job: job.job })(job) };
  });
  if (!found) throw unknownJob(name);
  const { job, stand } = found;
  if (json) {
    const units = stand.map(({ newest, decided, ...unit }) => ({
      ...unit,
      ...(newest === undefined ? {} : { newestRun: newest.runId, verdict: newest.verdict }),
      ...(decided === undefined ? {} : { disposition: decided }),
    }));
    io.stdout(jsonText({ ...job, units }));
    return EXIT.pass;
  }
  const rows = stand.map(({ tag, profile = '', note = '', runs, newest, decided }) =>
    [
      tag,
      newestWords(newest),
      `${runs}`,
      decided === undefined ? '' : DISPOSITION_WORDS[decided],
      profile,
      note,
    ].map(oneLine),
  );
  const lines = tableLines([['unit', 'newest run', 'runs', 'decided', 'profile', 'note'], ...rows]);
  const head = `job ${oneLine(job.job)}${job.title === undefined ? '' : `, ${oneLine(job.title)}`}, since ${when(job.openedAt)}`;
  io.stdout([head, ...lines].map((line) => `${line}\n`).join(''));
  return EXIT.pass;
}

/** The job's units as a list for `tray`. @throws InputError where a unit has no profile */
export function writeTray(io: CommandIo, name: string, out: string): number {
  const job = withStore((store) => knownJob(store, name));
  if (!job) throw unknownJob(name);
  const units = job.units.map(({ tag, profile, note }) => {
    if (profile === undefined)
      throw new InputError({
        file: tag,
        what: 'no profile is listed for it',
        mend: 'add it to the list and import that again',
      });
    return { tag, profile, ...(note === undefined ? {} : { note }) };
  });
  if (units.length === 0)
    throw new InputError({ file: name, what: 'lists no unit', mend: 'bring a list in with job import FILE' });
  const id = `job-${job.job}`
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/-+$/, '');
  const tray = { id, title: job.title ?? `Job ${job.job}`, kind: 'tray', units };
  const text = `# yaml-language-server: $schema=tray.json\n# Units of job ${oneLine(job.job)}, for throwbench tray.\n${stringify(tray)}`;
  writeNew(io, out, text, `${units.length} units written`);
  return EXIT.pass;
}

/** In any case. */
function knownJob(store: Store, name: string): Job {
  const job = store.listJobs().find((one) => one.job.toLowerCase() === name.toLowerCase());
  if (job === undefined) throw unknownJob(name);
  return job;
}

const unknownJob = (name: string): InputError =>
  new InputError({ file: name, what: 'no such job', mend: 'throwbench job lists them' });
