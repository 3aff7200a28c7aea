// Lists the recorded runs, shows one, writes its capture, proves the chain.

import { writeCaptureCsv } from '../capture/index.js';
import { InputError, oneLine } from '../input/index.js';
import type { RunEntry, RunQuery, RunRecord } from '../records/index.js';
import type { Paper } from '../reports/sheet/index.js';
import { quantitiesJson } from '../tell/index.js';
import { type CommandIo, EXIT, jsonText, UsageError } from './command.js';
import { entriesText } from './entry-text.js';
import { rawText, recordText, runTable, technicalText } from './log-text.js';
import { knownRun, noRuns, samplesGone, storePlace, withStore } from './stored-runs.js';
import { storyOf } from './story.js';
import { writeNew } from './write-new.js';

/**
 * Runs, newest first.
 * @param asked the query as it was typed, told where it finds nothing
 */
export function list(
  io: CommandIo,
  { limit, ...query }: RunQuery & { limit: number },
  { json, asked }: { json: boolean; asked: string },
): number {
  // One more than asked for tells whether there are more.
  const runs =
    withStore((store) => {
      const tag = query.tag === undefined ? {} : { tag: store.tagAsKnown(query.tag) };
      return store.listRuns({ ...query, ...tag, limit: limit + 1 });
    }) ?? [];
  const shown = runs.slice(0, limit);
  if (json) io.stdout(jsonText(shown));
  else if (shown.length === 0)
    io.stdout(`no runs${asked === '' ? '' : ` with ${oneLine(asked)}`} recorded in ${storePlace()}\n`);
  else {
    io.stdout(runTable(shown, io.isTty ? io.columns : undefined));
    if (runs.length > limit) io.stdout(`more than these ${limit}; --limit N shows more\n`);
  }
  return EXIT.pass;
}

export interface ShowOptions {
  /** Files to write. */
  csv?: string | undefined;
  /** Of the CSV. */
  hasDecimalComma?: boolean;
  parquet?: string | undefined;
  svg?: string | undefined;
  html?: string | undefined;
  pdf?: string | undefined;
  paper?: Paper | undefined;
  /** Name and address of the shop for the sheet, lines apart by a semicolon; as settled where it is not given. */
  shop?: string | undefined;
  /** Good units behind the traces of the picture. */
  draws?: number | undefined;
  /** The lines of the link too. */
  raw?: boolean;
  json: boolean;
}

async function withDecimalComma(table: Buffer): Promise<string> {
  const { DECIMAL_COMMA, inForm } = await import('./log-export.js');
  return inForm(table.toString('utf8'), DECIMAL_COMMA);
}

const FILES = ['csv', 'svg', 'html', 'pdf'] as const;

/** One run with its judgement. @throws InputError for a run that is not there, or a file that cannot be written */
export async function show(io: CommandIo, runId: string, options: ShowOptions): Promise<number> {
  const { csv, parquet, svg, html, pdf, paper, shop, draws, raw = false, json } = options;
  const onStdout = [
    ...FILES.filter((name) => options[name] === '-').map((name) => `--${name} -`),
    ...(json ? ['--json'] : []),
  ];
  const [first, second] = onStdout;
  if (first !== undefined && second !== undefined)
    throw new UsageError(`${first} and ${second} both want standard output`);
  const found = withStore((store) => {
    const run = knownRun(store, runId);
    const capture = store.readCapture(run.runId);
    const calibrations = store.listCalibrations(run.rig.rigId);
    const entries = store.listEntries(run.runId);
    const rawLines = raw ? store.readRawLines(run.runId) : [];
    const story = storyOf(store, run.tag);
    return { run, capture, calibrations, entries, story, rawLines };
  });
  if (!found) throw noRuns(runId);
  const { run, capture, entries } = found;
  if (capture === undefined && (csv ?? parquet ?? svg) !== undefined) {
    throw (
      samplesGone(run) ??
      new InputError({ file: run.runId, what: 'this run has no samples', mend: 'choose a run that has some' })
    );
  }
  if (csv !== undefined && capture !== undefined) {
    const table = writeCaptureCsv(capture);
    const written = options.hasDecimalComma ? await withDecimalComma(table) : table;
    writeNew(io, csv, written, `${capture.timeS.length} samples written`);
  }
  if (parquet !== undefined && capture !== undefined)
    (await import('./log-parquet.js')).writeCapture(io, parquet, run, capture);
  if ((svg ?? html ?? pdf) !== undefined)
    await (await import('./run-papers.js')).writePapers(io, { svg, html, pdf, paper, shop, draws }, found);
  if (json) io.stdout(jsonText(await runJson(run, entries)));
  else if (first === undefined)
    io.stdout(
      `${recordText(run)}${entriesText(entries)}${technicalText(run)}${rawText(found.rawLines, raw)}`,
    );
  return EXIT.pass;
}

/** Shape of a run for programs: the judgement's part is that of `judge --json`; keys are only ever added. */
async function runJson(run: RunRecord, entries: readonly RunEntry[]): Promise<object> {
  const { judgement, unit, ...record } = run;
  const told = judgement && { ...judgement, measured: quantitiesJson(judgement.measured) };
  const added = entries.map((entry) =>
    'value' in entry && entry.value === Number.POSITIVE_INFINITY ? { ...entry, value: 'open' } : entry,
  );
  return { ...record, ...told, profile: unit, ...(added.length === 0 ? {} : { entries: added }) };
}
