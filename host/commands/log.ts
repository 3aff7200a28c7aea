// Lists the recorded runs, shows one, writes its capture, proves the chain.

import { existsSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { writeCaptureCsv } from '../capture/index.js';
import { displayPath, InputError, oneLine } from '../input/index.js';
import type { RunEntry, RunRecord, Store } from '../records/index.js';
import { quantitiesJson } from '../tell/index.js';
import { type CommandIo, EXIT, jsonText, UsageError } from './command.js';
import { entriesText } from './entry-text.js';
import { recordText, runTable } from './log-text.js';
import { knownRun, knownTag, noRuns, storePlace, withStore } from './stored-runs.js';

/** Runs, newest first. */
export function list(
  io: CommandIo,
  query: { tag: string | undefined; limit: number; json: boolean },
): number {
  const { tag, limit, json } = query;
  // One more than asked for tells whether there are more.
  const runs =
    withStore((store) =>
      store.listRuns({ ...(tag === undefined ? {} : { tag: knownTag(store, tag) }), limit: limit + 1 }),
    ) ?? [];
  const shown = runs.slice(0, limit);
  if (json) io.stdout(jsonText(shown));
  else if (shown.length === 0)
    io.stdout(`no runs${tag === undefined ? '' : ` of ${oneLine(tag)}`} recorded in ${storePlace()}\n`);
  else {
    io.stdout(runTable(shown, io.isTty ? io.columns : undefined));
    if (runs.length > limit) io.stdout(`more than these ${limit}; --limit N shows more\n`);
  }
  return EXIT.pass;
}

/** One run with its judgement. @throws InputError for a run that is not there */
export async function show(
  io: CommandIo,
  runId: string,
  options: { csv: string | undefined; json: boolean },
): Promise<number> {
  if (options.csv === '-' && options.json)
    throw new UsageError('--csv - and --json both want standard output');
  const run = withStore((store) => {
    const record = knownRun(store, runId);
    if (options.csv !== undefined) writeCsv(io, store, record, options.csv);
    return { record, entries: store.listEntries(record.runId) };
  });
  if (!run) throw noRuns(runId);
  const { record, entries } = run;
  if (options.json) io.stdout(jsonText(await runJson(record, entries)));
  else if (options.csv !== '-') io.stdout(`${recordText(record)}${entriesText(entries)}`);
  return EXIT.pass;
}

/** Every closed run against the hash chain. */
export function verify(io: CommandIo, json: boolean): number {
  const result = withStore((store) => store.verify()) ?? { runs: 0, entries: 0, faults: [] };
  if (json) io.stdout(jsonText(result));
  else if (result.runs === 0 && result.faults.length === 0) io.stdout(`no closed runs in ${storePlace()}\n`);
  else if (result.faults.length === 0) {
    io.stdout(
      `closed runs: ${result.runs}, each as it was when it was closed\n${addedLine(result.entries)}last hash ${result.lastHash}\n`,
    );
  } else {
    for (const { runId, sentence } of result.faults) io.stdout(`${runId}: ${sentence}\n`);
    io.stdout(`faults: ${result.faults.length}, in ${result.runs} closed runs\n`);
  }
  return result.faults.length === 0 ? EXIT.pass : EXIT.fail;
}

/** Empty while nothing was added to any run. */
const addedLine = (entries: number): string =>
  entries === 0 ? '' : `entries added to them: ${entries}, each as it was written\n`;

/** Shape of a run for programs: the judgement's part is that of `judge --json`; keys are only ever added. */
async function runJson(run: RunRecord, entries: readonly RunEntry[]): Promise<object> {
  const { judgement, unit, ...record } = run;
  const told = judgement && { ...judgement, measured: quantitiesJson(judgement.measured) };
  const added = entries.map((entry) =>
    'value' in entry && entry.value === Number.POSITIVE_INFINITY ? { ...entry, value: 'open' } : entry,
  );
  return { ...record, ...told, profile: unit, ...(added.length === 0 ? {} : { entries: added }) };
}

function writeCsv(io: CommandIo, store: Store, { runId }: RunRecord, csv: string): void {
  const capture = store.readCapture(runId);
  if (!capture)
    throw new InputError({
      file: runId,
      what: 'this run has no samples',
      mend: 'choose a run that has some',
    });
  const bytes = writeCaptureCsv(capture);
  if (csv === '-') {
    io.stdout(bytes.toString());
    return;
  }
  const path = resolve(io.cwd, csv);
  if (existsSync(path))
    throw new InputError({ file: csv, what: 'exists already', mend: 'choose a new name' });
  // Whole or not at all.
  const part = `${path}.part`;
  try {
    writeFileSync(part, bytes);
    renameSync(part, path);
  } catch (error) {
    rmSync(part, { force: true });
    const what = `cannot be written (${(error as NodeJS.ErrnoException).code})`;
    throw new InputError({ file: csv, what, mend: 'check folder, permissions and space' }, { cause: error });
  }
  io.stderr(`${displayPath(path)}: ${capture.timeS.length} samples written\n`);
}
