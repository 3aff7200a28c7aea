// `learn --drift`: the recorded runs of the known good unit as charts, and since when something moved.

import { InputError, oneLine } from '../input/index.js';
import { type Drift, driftOf, type MorningRun, restoredMeasured, USUAL_BASE } from '../learn/index.js';
import { stretchWords } from '../measure/index.js';
import { loadUnit } from '../profile/index.js';
import type { RunRecord, Store } from '../records/index.js';
import { shownDay, significant } from '../tell/index.js';
import { type CommandIo, EXIT } from './command.js';
import { storePlace, withStore } from './stored-runs.js';
import { tableLines } from './table.js';

export interface DriftAsked {
  tag: string;
  /** Id of the profile that the runs were judged by, or the path of its file. */
  profile: string;
  /** How many of the first runs tell what the unit was like. */
  base?: number | undefined;
}

const DIGITS = 4;
/** Named of the runs behind a trip; the newest tell most. */
const NAMED = 3;

/** The exit code: 0 nothing moved, 1 something did, 3 too few runs. @throws InputError */
export function driftFrom({ tag, profile, base = USUAL_BASE }: DriftAsked, io: CommandIo): number {
  const { id } = loadUnit(profile).unit;
  const found = withStore((store) => morningRuns(store, tag, id));
  if (found === undefined || found.runs.length === 0)
    throw new InputError({
      file: tag,
      what: `no finished run of it by ${id} is recorded in ${storePlace()}`,
      mend: 'throwbench log lists the runs',
    });
  const { runs, leftOut } = found;
  const say = (lines: readonly string[]): void =>
    io.stdout(lines.map((line) => `${oneLine(line)}\n`).join(''));
  say(leftOut);
  if (runs.length <= base) {
    const missing = base + 1 - runs.length;
    say([
      `${tag} has ${runs.length} runs: ${missing} more ${missing === 1 ? 'is' : 'are'} missing, ${base} to tell what it was like and one to hold against them.`,
    ]);
    return EXIT.cannotTell;
  }
  const drifts = driftOf(runs, base);
  if (drifts.length === 0) {
    say([`${tag}: no quantity was read in all ${runs.length} runs.`]);
    return EXIT.cannotTell;
  }
  say(driftLines(tag, runs, base, drifts));
  return drifts.some(({ trips }) => trips.length > 0) ? EXIT.fail : EXIT.pass;
}

/** Runs on the rig of the newest, oldest first; what is in doubt or broken off shows nothing of the unit. */
function morningRuns(store: Store, name: string, profile: string): { runs: MorningRun[]; leftOut: string[] } {
  const tag = store.tagAsKnown(name);
  const records = store
    .listRuns({ tag, profile })
    .filter(({ status }) => status === 'finished')
    .map(({ runId }) => store.showRun(runId))
    .sort((a, b) => a.startedAt.localeCompare(b.startedAt));
  const newest = records.at(-1);
  const here = records.filter(({ rig }) => rig.rigId === newest?.rig.rigId);
  const sure = here.filter(({ doubt, judgement }) => doubt === undefined && judgement !== undefined);
  const told = (count: number, why: string): string[] =>
    count > 0 ? [`Left out: ${count} ${count === 1 ? 'run' : 'runs'} ${why}.`] : [];
  return {
    runs: sure.map(({ runId, startedAt, judgement }: RunRecord) => ({
      ...{ run: runId, startedAt, measured: restoredMeasured(judgement?.measured ?? {}) },
    })),
    leftOut: [
      ...told(records.length - here.length, 'on another rig than the newest'),
      ...told(here.length - sure.length, 'whose numbers are in doubt'),
    ],
  };
}

const nameOf = ({ column: { of, words } }: Drift): string =>
  of === undefined ? words : `${stretchWords(of)}, ${words}`;

function driftLines(
  tag: string,
  runs: readonly MorningRun[],
  base: number,
  drifts: readonly Drift[],
): string[] {
  const range = (low: number, high: number, unit: string): string =>
    `${significant(low, DIGITS)} to ${significant(high, DIGITS, unit)}`;
  const rows = drifts.map((drift) => {
    const { column, centre, lower, upper, averageLower, averageUpper, last, lastAverage, trips } = drift;
    const { unit } = column;
    return [
      ...[nameOf(drift), significant(centre, DIGITS, unit), range(lower, upper, unit)],
      ...[significant(last, DIGITS, unit), range(averageLower, averageUpper, unit)],
      ...[significant(lastAverage, DIGITS, unit), trips.length > 0 ? 'moved' : ''],
    ];
  });
  const head = ['quantity', 'was', 'one run within', 'last run', 'average within', 'average', ''];
  const moved = drifts.flatMap((drift) => drift.trips.map((trip) => tripSentence(drift, trip)));
  return [
    `${tag}: ${runs.length} runs, ${dayOf(runs[0])} to ${dayOf(runs.at(-1))}; the first ${base} tell what it was like.`,
    ...tableLines([head, ...rows]).map((line) => `  ${line}`),
    ...(moved.length > 0
      ? [...moved, 'The unit, its leads or the rig changed: check the rig against its known load first.']
      : ['Nothing has moved.']),
    ...(base < USUAL_BASE
      ? [`${base} runs tell the spread poorly: a chart may trip by chance, or late.`]
      : []),
  ];
}

const dayOf = (run: { startedAt: string } | undefined): string => shownDay(run?.startedAt.slice(0, 10) ?? '');

function tripSentence(drift: Drift, { rule, since, runs, isUp }: Drift['trips'][number]): string {
  const named = runs.slice(-NAMED).join(', ');
  const behind = runs.length > NAMED ? `${runs.length} runs, the last ${named}` : named;
  const way = isUp ? 'up' : 'down';
  const what = nameOf(drift);
  if (rule === 'beyond-limit') return `${what}: single runs lie too far ${way}, since ${since} (${behind}).`;
  if (rule === 'moving-range')
    return `${what}: jumped ${way} from one run to the next, first at ${since} (${behind}).`;
  return `${what}: has been drifting ${way} since about ${since} (shown by ${behind}).`;
}
