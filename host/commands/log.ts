// `throwbench log`: the records. Lists runs, shows one with its judgement, writes its capture as CSV, proves the chain.

import { existsSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { writeCaptureCsv } from '../capture/index.js';
import { judgementJson } from '../judge/index.js';
import { displayPath, InputError, oneLine } from '../profile/index.js';
import type { RunRecord, Store } from '../records/index.js';
import { type Command, type CommandIo, EXIT, parseCommandArgs, UsageError } from './command.js';
import { recordText, runTable } from './log-text.js';
import { knownRun, noRuns, storePlace, withStore } from './stored-runs.js';

const DEFAULT_LIMIT = 20;

export const logCommand: Command = {
  name: 'log',
  summary: 'list recorded runs, show one, prove that none was changed',
  usage: `usage: throwbench log [--unit TAG] [--limit N] [--json]
       throwbench log show RUN [--csv FILE] [--json]
       throwbench log verify [--json]

  --unit TAG   only runs of this unit
  --limit N    at most N runs, newest first (${DEFAULT_LIMIT})
  show RUN     one run with verdict, checks and findings; RUN is its id, or last
  --csv FILE   write the run's capture to a new file; - is standard output
  verify       compute the hash chain again over every closed run; exit 1 when a record was changed
  --json       for programs

Records lie in logs/throwbench.sqlite, or in the folder that THROWBENCH_LOGS names.`,
  async run(args, io) {
    const { values, positionals } = parseCommandArgs(args, {
      unit: { type: 'string' },
      limit: { type: 'string' },
      csv: { type: 'string' },
      json: { type: 'boolean', default: false },
    });
    const [verb = 'list', ...rest] = positionals;
    const only = (...options: (keyof typeof values)[]): void => {
      for (const name of ['unit', 'limit', 'csv'] as const) {
        if (values[name] !== undefined && !options.includes(name))
          throw new UsageError(`--${name} does not go with log ${verb}`);
      }
    };
    switch (verb) {
      case 'list':
        only('unit', 'limit');
        refuseMore(rest);
        return list(io, { tag: values.unit, limit: limitOf(values.limit), json: values.json });
      case 'show': {
        only('csv');
        const [runId, ...more] = rest;
        if (runId === undefined)
          throw new UsageError('log show needs a RUN: an id from throwbench log, or last');
        refuseMore(more);
        return show(io, runId, { csv: values.csv, json: values.json });
      }
      case 'verify':
        only();
        refuseMore(rest);
        return verify(io, values.json);
      default:
        throw new UsageError(`unknown word ${JSON.stringify(verb)} after log`, {
          word: verb,
          known: ['list', 'show', 'verify'],
        });
    }
  },
};

function list(io: CommandIo, query: { tag: string | undefined; limit: number; json: boolean }): number {
  const { tag, limit, json } = query;
  // One more than asked for tells whether there are more.
  const runs =
    withStore((store) => store.listRuns({ ...(tag === undefined ? {} : { tag }), limit: limit + 1 })) ?? [];
  const shown = runs.slice(0, limit);
  if (json) io.stdout(`${JSON.stringify(shown, undefined, 2)}\n`);
  else if (shown.length === 0)
    io.stdout(`no runs${tag === undefined ? '' : ` of ${oneLine(tag)}`} recorded in ${storePlace()}\n`);
  else {
    io.stdout(runTable(shown, io.isTty ? io.columns : undefined));
    if (runs.length > limit) io.stdout(`more than these ${limit}; --limit N shows more\n`);
  }
  return EXIT.pass;
}

function show(io: CommandIo, runId: string, options: { csv: string | undefined; json: boolean }): number {
  if (options.csv === '-' && options.json)
    throw new UsageError('--csv - and --json both want standard output');
  const run = withStore((store) => {
    const record = knownRun(store, runId);
    if (options.csv !== undefined) writeCsv(io, store, record, options.csv);
    return record;
  });
  if (!run) throw noRuns(runId);
  if (options.json) io.stdout(`${JSON.stringify(runJson(run), undefined, 2)}\n`);
  else if (options.csv !== '-') io.stdout(recordText(run));
  return EXIT.pass;
}

function verify(io: CommandIo, json: boolean): number {
  const result = withStore((store) => store.verify()) ?? { runs: 0, faults: [] };
  if (json) io.stdout(`${JSON.stringify(result, undefined, 2)}\n`);
  else if (result.runs === 0 && result.faults.length === 0) io.stdout(`no closed runs in ${storePlace()}\n`);
  else if (result.faults.length === 0) {
    io.stdout(
      `closed runs: ${result.runs}, each as it was when it was closed\nlast hash ${result.lastHash}\n`,
    );
  } else {
    for (const { runId, sentence } of result.faults) io.stdout(`${runId}: ${sentence}\n`);
    io.stdout(`faults: ${result.faults.length}, in ${result.runs} closed runs\n`);
  }
  return result.faults.length === 0 ? EXIT.pass : EXIT.fail;
}

/** Shape of a run for programs: the judgement's part is that of `judge --json`; keys are only ever added. */
function runJson(run: RunRecord): object {
  const { judgement, unit, ...record } = run;
  return { ...record, ...(judgement === undefined ? {} : judgementJson(judgement)), profile: unit };
}

function writeCsv(io: CommandIo, store: Store, { runId }: RunRecord, csv: string): void {
  const capture = store.readCapture(runId);
  if (!capture)
    throw new InputError({
      file: runId,
      what: 'this run has no samples',
      mend: 'choose a run that has some',
    });
  const text = writeCaptureCsv(capture);
  if (csv === '-') {
    io.stdout(text);
    return;
  }
  const path = resolve(io.cwd, csv);
  if (existsSync(path))
    throw new InputError({ file: csv, what: 'exists already', mend: 'choose a new name' });
  // Whole or not at all.
  const part = `${path}.part`;
  try {
    writeFileSync(part, text);
    renameSync(part, path);
  } catch (error) {
    rmSync(part, { force: true });
    const what = `cannot be written (${(error as NodeJS.ErrnoException).code})`;
    throw new InputError({ file: csv, what, mend: 'check folder, permissions and space' }, { cause: error });
  }
  io.stderr(`${displayPath(path)}: ${capture.timeS.length} samples written\n`);
}

function limitOf(text: string | undefined): number {
  if (text === undefined) return DEFAULT_LIMIT;
  const limit = Number(text);
  if (!/^\d+$/.test(text) || limit < 1 || limit > 1_000_000) {
    throw new UsageError(`--limit ${JSON.stringify(text)} is no number of runs, such as 50`);
  }
  return limit;
}

function refuseMore(words: string[]): void {
  if (words.length > 0) throw new UsageError(`${JSON.stringify(words[0])} is one word too many`);
}
