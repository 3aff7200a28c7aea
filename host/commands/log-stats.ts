// What the recorded runs come to: how many passed, what was found how often, by profile and by month.

import { oneLine } from '../input/index.js';
import type { FirstCause, RunSummary } from '../records/index.js';
import { localTime, share, shownMonth, VERDICT_WORDS } from '../tell/index.js';
import { tableLines } from './table.js';

export interface Tally {
  runs: number;
  pass: number;
  fail: number;
  cannotTell: number;
}

export interface RunStats extends Tally {
  units: number;
  /** Units whose first run that was judged passed, and those whose newest one did. */
  unitsPassedFirst: number;
  unitsPassedLast: number;
  byProfile: Record<string, Tally>;
  byMonth: Record<string, Tally>;
  /** By id of the rig. */
  byBench: Record<string, Tally>;
  /** Likeliest causes of runs that did not pass, the most frequent first. */
  causes: { id: string; sentence: string; runs: number }[];
}

/** @param runs newest first; those still going on or broken off are left out. */
export function statsOf(runs: readonly RunSummary[], causes: ReadonlyMap<string, FirstCause>): RunStats {
  const judged = runs.filter(({ status }) => status === 'finished');
  const oldestFirst = judged.toReversed();
  const tags = [...new Set(judged.map(({ tag }) => tag))];
  const passed = (of: readonly RunSummary[]): number =>
    tags.filter((tag) => of.find((run) => run.tag === tag)?.verdict === 'pass').length;
  const found = new Map<string, RunStats['causes'][number]>();
  for (const { runId, verdict } of judged) {
    const cause = causes.get(runId);
    if (cause === undefined || verdict === 'pass') continue;
    const present = found.get(cause.id);
    if (present) present.runs += 1;
    else found.set(cause.id, { ...cause, runs: 1 });
  }
  return {
    ...tally(judged),
    units: tags.length,
    unitsPassedFirst: passed(oldestFirst),
    unitsPassedLast: passed(judged),
    byProfile: tallies(oldestFirst, ({ profileId }) => profileId),
    byMonth: tallies(oldestFirst, ({ startedAt }) => localTime(new Date(startedAt)).day.slice(0, 7)),
    byBench: tallies(oldestFirst, ({ rigId }) => rigId ?? 'not told'),
    causes: [...found.values()].sort((a, b) => b.runs - a.runs),
  };
}

const tally = (runs: readonly RunSummary[]): Tally => {
  const of = (verdict: RunSummary['verdict']): number => runs.filter((run) => run.verdict === verdict).length;
  return { runs: runs.length, pass: of('pass'), fail: of('fail'), cannotTell: of('cannot-tell') };
};

function tallies(runs: readonly RunSummary[], key: (run: RunSummary) => string): Record<string, Tally> {
  const keys = [...new Set(runs.map(key))].sort();
  return Object.fromEntries(keys.map((each) => [each, tally(runs.filter((run) => key(run) === each))]));
}

/** Ends with a line break. */
export function statsText(stats: RunStats): string {
  const { units, unitsPassedFirst, unitsPassedLast, byProfile, byMonth, byBench, causes } = stats;
  const table = (head: string, of: Record<string, Tally>, shown = oneLine): string[] => [
    '',
    ...tableLines(
      [
        [head, 'runs', VERDICT_WORDS.pass, VERDICT_WORDS.fail, VERDICT_WORDS['cannot-tell'], 'yield'],
        ...Object.entries(of).map(([name, each]) => [
          shown(name),
          ...[each.runs, each.pass, each.fail, each.cannotTell].map(String),
          share(each.pass, each.runs),
        ]),
      ],
      (column) => column > 0,
    ),
  ];
  return [
    `units: ${units}; passed at the first run ${unitsPassedFirst} (${share(unitsPassedFirst, units)}), at the newest ${unitsPassedLast} (${share(unitsPassedLast, units)})`,
    ...table('profile', byProfile),
    ...table('month', byMonth, shownMonth),
    ...table('bench', byBench),
    ...(causes.length === 0 ? [] : ['', 'Likeliest cause of runs that did not pass:']),
    ...causes.map(({ sentence, runs }) => `  ${String(runs).padStart(4)}  ${oneLine(sentence)}`),
    '',
  ].join('\n');
}
