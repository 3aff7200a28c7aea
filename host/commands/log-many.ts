// What `log` makes of many runs at once: exports, statistics, two runs compared.

import { InputError } from '../input/index.js';
import type { RunQuery, RunRecord } from '../records/index.js';
import { type CommandIo, EXIT, jsonText, UsageError } from './command.js';
import { comparisonOf, comparisonText } from './log-compare.js';
import { DECIMAL_COMMA, RFC_4180, runsCsv, runsJsonl } from './log-export.js';
import { statsOf, statsText } from './log-stats.js';
import { knownRun, noRuns, storePlace, withOpenStore, withStore } from './stored-runs.js';
import { writeNew } from './write-new.js';

/** Files to write. */
export interface ExportAsked {
  csv: string | undefined;
  jsonl: string | undefined;
  parquet: string | undefined;
  /** The samples of the runs, as Parquet. */
  captures: string | undefined;
  /** In the CSV. */
  hasDecimalComma: boolean;
}

/** The runs asked for, newest first, as files for other programs. @throws InputError where there is none */
export async function exportRuns(
  io: CommandIo,
  query: RunQuery,
  { csv, jsonl, parquet, captures, hasDecimalComma }: ExportAsked,
): Promise<number> {
  if (csv === '-' && jsonl === '-') throw new UsageError('--csv - and --jsonl - both want standard output');
  for (const [name, file] of Object.entries({ parquet, captures }))
    if (file === '-') throw new UsageError(`--${name} - cannot go to standard output; name a file`);
  const found = await withOpenStore(async (store) => {
    const { tag } = query;
    const asked = tag === undefined ? query : { ...query, tag: store.tagAsKnown(tag) };
    const runs = store.listRuns(asked).map(({ runId }) => store.showRun(runId));
    if (captures !== undefined && runs.length > 0) {
      const { writeCaptures } = await import('./log-parquet.js');
      writeCaptures(io, captures, store, runs);
    }
    return runs;
  });
  const runs: RunRecord[] = found ?? [];
  if (runs.length === 0) {
    const mend = 'throwbench log lists what there is';
    throw new InputError({ file: storePlace(), what: 'no such runs to export', mend });
  }
  const told = `${runs.length} ${runs.length === 1 ? 'run' : 'runs'} written`;
  if (csv !== undefined) writeNew(io, csv, runsCsv(runs, hasDecimalComma ? DECIMAL_COMMA : RFC_4180), told);
  if (jsonl !== undefined) writeNew(io, jsonl, runsJsonl(runs), told);
  if (parquet !== undefined)
    writeNew(io, parquet, (await import('./log-parquet.js')).runsParquet(runs), told);
  return EXIT.pass;
}

export function stats(io: CommandIo, query: RunQuery, json: boolean): number {
  const found = withStore((store) => {
    const { tag } = query;
    const asked = tag === undefined ? query : { ...query, tag: store.tagAsKnown(tag) };
    return statsOf(store.listRuns(asked), store.firstCauses());
  });
  const told = found ?? statsOf([], new Map());
  if (json) io.stdout(jsonText(told));
  else if (told.runs === 0) io.stdout(`no such judged runs in ${storePlace()}\n`);
  else io.stdout(statsText(told));
  return EXIT.pass;
}

/** @throws InputError for a run that is not there or was never judged */
export function compare(io: CommandIo, [first, second]: readonly [string, string], json: boolean): number {
  const found = withStore((store) => ({ first: knownRun(store, first), second: knownRun(store, second) }));
  if (!found) throw noRuns(first);
  for (const run of [found.first, found.second])
    if (!run.judgement) {
      const mend = 'choose a run that was judged';
      throw new InputError({ file: run.runId, what: 'this run has no readings', mend });
    }
  if (json) {
    const { runId } = found.first;
    const comparison = comparisonOf(found.first, found.second);
    io.stdout(jsonText({ first: runId, second: found.second.runId, ...comparison }));
  } else io.stdout(comparisonText(found.first, found.second));
  return EXIT.pass;
}
