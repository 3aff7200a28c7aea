// What `log` makes of many runs at once: exports, statistics, two runs compared.

import { InputError } from '../input/index.js';
import type { RunQuery, RunRecord } from '../records/index.js';
import { type CommandIo, EXIT, jsonText, UsageError } from './command.js';
import { comparisonOf, comparisonText } from './log-compare.js';
import { runsCsv, runsJsonl } from './log-export.js';
import { statsOf, statsText } from './log-stats.js';
import { knownRun, knownTag, noRuns, storePlace, withStore } from './stored-runs.js';
import { writeNew } from './write-new.js';

/** The runs asked for, newest first, as files for other programs. @throws InputError where there is none */
export function exportRuns(
  io: CommandIo,
  query: RunQuery,
  { csv, jsonl }: { csv: string | undefined; jsonl: string | undefined },
): number {
  if (csv === '-' && jsonl === '-') throw new UsageError('--csv - and --jsonl - both want standard output');
  const runs: RunRecord[] =
    withStore((store) => {
      const { tag } = query;
      const asked = tag === undefined ? query : { ...query, tag: knownTag(store, tag) };
      return store.listRuns(asked).map(({ runId }) => store.showRun(runId));
    }) ?? [];
  if (runs.length === 0) {
    const mend = 'throwbench log lists what there is';
    throw new InputError({ file: storePlace(), what: 'no such runs to export', mend });
  }
  const told = `${runs.length} ${runs.length === 1 ? 'run' : 'runs'} written`;
  if (csv !== undefined) writeNew(io, csv, runsCsv(runs), told);
  if (jsonl !== undefined) writeNew(io, jsonl, runsJsonl(runs), told);
  return EXIT.pass;
}

export function stats(io: CommandIo, query: RunQuery, json: boolean): number {
  const found = withStore((store) => {
    const { tag } = query;
    const asked = tag === undefined ? query : { ...query, tag: knownTag(store, tag) };
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
