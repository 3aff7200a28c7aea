// Lists the recorded runs, shows one, writes its capture, proves the chain.

import { type Capture, writeCaptureCsv } from '../capture/index.js';
import { InputError, oneLine } from '../input/index.js';
import type { RunEntry, RunRecord, Store } from '../records/index.js';
import { quantitiesJson } from '../tell/index.js';
import { type CommandIo, EXIT, jsonText, UsageError } from './command.js';
import { entriesText } from './entry-text.js';
import { recordText, runTable } from './log-text.js';
import { pictureOfRun } from './run-papers.js';
import { knownRun, knownTag, noRuns, storePlace, withStore } from './stored-runs.js';
import { writeNew } from './write-new.js';

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

export interface ShowOptions {
  csv: string | undefined;
  svg: string | undefined;
  json: boolean;
}

/** One run with its judgement. @throws InputError for a run that is not there, or a file that cannot be written */
export async function show(io: CommandIo, runId: string, options: ShowOptions): Promise<number> {
  const onStdout = [
    ...(['csv', 'svg'] as const).filter((name) => options[name] === '-').map((name) => `--${name} -`),
    ...(options.json ? ['--json'] : []),
  ];
  const [first, second] = onStdout;
  if (first !== undefined && second !== undefined)
    throw new UsageError(`${first} and ${second} both want standard output`);
  const run = withStore((store) => {
    const record = knownRun(store, runId);
    const { csv, svg } = options;
    if (csv !== undefined) {
      const capture = captureOf(store, record);
      writeNew(io, csv, writeCaptureCsv(capture), `${capture.timeS.length} samples written`);
    }
    if (svg !== undefined)
      writeNew(io, svg, pictureOfRun(record, captureOf(store, record)), 'picture written');
    return { record, entries: store.listEntries(record.runId) };
  });
  if (!run) throw noRuns(runId);
  const { record, entries } = run;
  if (options.json) io.stdout(jsonText(await runJson(record, entries)));
  else if (first === undefined) io.stdout(`${recordText(record)}${entriesText(entries)}`);
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

function captureOf(store: Store, { runId }: RunRecord): Capture {
  const capture = store.readCapture(runId);
  if (capture) return capture;
  throw new InputError({ file: runId, what: 'this run has no samples', mend: 'choose a run that has some' });
}
