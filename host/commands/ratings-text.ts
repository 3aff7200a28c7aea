// The ratings of a build in plain lines.

import { oneLine } from '../input/index.js';
import {
  type Bearing,
  type Build,
  type CurrentOrigin,
  neededWords,
  type PlannedCurrents,
  type RatingRow,
  type Ratings,
} from '../plan/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import type { RunRecord } from '../records/index.js';
import { wrapWords } from '../screens/index.js';
import { amount, capitalised, fixed, listed, temperature, VERDICT_WORDS } from '../tell/index.js';
import { tableLines } from './table.js';

const BEARING_WORDS: Record<Bearing, string> = {
  bears: 'bears it',
  'does-not-bear': 'DOES NOT',
  'not-known': 'cannot tell',
};
const ORIGINS: Record<CurrentOrigin, string> = {
  declared: 'declared',
  measured: 'measured',
  profile: 'from the profile',
  family: 'usual for its kind',
};
export const CAUTIONS = [
  'Put each fuse close to the source. It protects the wire, not the motor.',
  'Local codes and licensed practice decide; this is arithmetic, not approval.',
];

/** The run that currents were measured in. */
export type RunTold = Pick<RunRecord, 'runId' | 'tag' | 'profileTitle' | 'verdict'>;

export interface RatingsTold {
  unit: ResolvedUnit;
  currents: PlannedCurrents;
  build: Build;
  motors: number;
  pairs: number;
  run?: RunTold;
  result: Ratings;
}

/** Nothing but the table is wider than `columns`. */
export function ratingsLines(
  { unit, currents, build, motors, pairs, run, result }: RatingsTold,
  columns: number,
): string[] {
  const wrapped = (text: string, indent = ''): string[] =>
    wrapWords(text, columns - indent.length).map((line) => `${indent}${line}`);
  const duty = build.duty === 'continuous' ? 'runs without end' : 'short runs';
  const several = motors > 1 ? `, ${motors} motors side by side` : '';
  const shared =
    pairs > 1 ? `, ${pairs} such pairs on one small switch, each with a feed fuse of its own` : '';
  return [
    unit.unit.title,
    ...wrapped(`${unit.style.title}${several}${shared}; ${duty}; ${temperature(build.ambientC)}`),
    '',
    ...verdictLines(result).flatMap((line) => wrapped(line)),
    '',
    ...wrapped(motorWords({ currents, motors, result })),
    ...(run === undefined ? [] : wrapped(runWords(run))),
    '',
    ...table(result.rows),
    '',
    ...wrapped(
      'Most current in A while the motor runs, starts, is held, brakes after release; of a drop, V.',
    ),
    '',
    ...together(result.rows, ruleWords, (parts, rest) => `${capitalised(parts)}${rest}`).flatMap((line) =>
      wrapped(line),
    ),
    '',
    ...result.rows
      .flatMap(({ title, notes }) => notes.map((note) => `${capitalised(title)}: ${note}`))
      .flatMap((line) => wrapped(line)),
    '',
    ...wrapped(
      `Thrown over without a pause, up to ${amount(result.reversalA, 'A', 1)} flow for a moment: leave a pause.`,
    ),
    ...CAUTIONS.flatMap((line) => wrapped(line)),
  ];
}

/** Below this it is another current. */
const LESS = 0.99;

export function motorWords({
  currents: { running, start, held, usual },
  motors,
  result: { motor },
}: Pick<RatingsTold, 'currents' | 'motors' | 'result'>): string {
  const begins =
    start === undefined
      ? `starts at ${range({ least: motor.least.startA / motors, most: motor.most.startA / motors })} (by this circuit)`
      : `starts at ${range(start)} (${ORIGINS[start.origin]})`;
  const isLess = motor.most.heldA < LESS * motors * held.most;
  const through = { least: motor.least.heldA / motors, most: motor.most.heldA / motors };
  const heldText = isLess
    ? `${range(through)} (all that this supply and wiring let through)`
    : `${range(held)} (${ORIGINS[held.origin]})`;
  const advice = [running, held].some(({ origin }) => origin === 'family')
    ? ' Measure one and give --run, or declare its currents.'
    : '';
  const more =
    usual === undefined
      ? ''
      : ` Motors of its kind usually run at ${range(usual)}${held.origin === 'family' ? ', so what it draws held is a guess: declare --held-a' : ''}.`;
  return `The motor runs at ${range(running)} (${ORIGINS[running.origin]}), ${begins}, is held at ${heldText}.${more}${more.endsWith('--held-a.') ? '' : advice}`;
}

const runWords = ({ runId, tag, profileTitle, verdict }: RunTold): string =>
  oneLine(
    `Measured in run ${runId}: ${tag}, ${profileTitle}, ${verdict === undefined ? 'not judged' : VERDICT_WORDS[verdict]}.`,
  );

/** What is short first, then what nobody can tell; parts of which the same is said, together. */
function verdictLines({ rows, voltages }: Ratings): string[] {
  const short = rows.filter(({ bearing }) => bearing === 'does-not-bear');
  const open = rows.filter(({ bearing }) => bearing === 'not-known');
  if (short.length + open.length + voltages.length === 0) return ['Every part bears it.'];
  const why = ({ rated, isDeclared }: RatingRow): string =>
    rated === undefined || !isDeclared ? ', rating not told' : '';
  return [
    ...voltages.map(({ systemV, sentence }) => `NOT FOR ${amount(systemV, 'V', 0)}: ${sentence}`),
    ...together(
      short,
      (row) => `.${said(' Take ', neededWords(row))}`,
      (parts, rest) => `NOT ENOUGH: ${parts}${rest}`,
    ),
    ...together(
      open,
      (row) => `${why(row)}.${said(' Certain: ', neededWords(row))}`,
      (parts, rest) => `${VERDICT_WORDS['cannot-tell']}: ${parts}${rest}`,
    ),
  ];
}

/** One line for all rows of which `said` is the same. */
function together(
  rows: readonly RatingRow[],
  said: (row: RatingRow) => string,
  line: (parts: string, said: string) => string,
): string[] {
  const titles = new Map<string, string[]>();
  for (const row of rows) titles.set(said(row), [...(titles.get(said(row)) ?? []), row.title]);
  return [...titles].map(([rest, parts]) => line(listed(parts), rest));
}

const range = ({ least, most }: { least: number; most: number }): string =>
  fixed(least, 1) === fixed(most, 1) ? amount(most, 'A', 1) : `${fixed(least, 1)} to ${amount(most, 'A', 1)}`;

function table(rows: readonly RatingRow[]): string[] {
  const head = ['part', 'runs', 'starts', 'held', 'brakes', 'rated', 'margin', ''];
  const body = rows.map(({ kind, title, demand: { most }, rated, isDeclared, marginPercent, bearing }) => {
    const decimals = kind === 'wire-drop' || most.runningA < 1 ? 2 : 1;
    const number = (value: number): string => (value < 0.005 ? '-' : fixed(value, decimals));
    return [
      title,
      number(most.runningA),
      number(most.startA),
      number(most.heldA),
      number(most.brakeA),
      rated === undefined ? '?' : `${isDeclared ? '' : '~'}${Number(rated.toPrecision(3))}`,
      marginPercent === undefined ? '' : margin(marginPercent),
      BEARING_WORDS[bearing],
    ];
  });
  const lines = tableLines([head, ...body], (column) => column > 0 && column < 7);
  return rows.some(({ rated, isDeclared }) => rated !== undefined && !isDeclared)
    ? [...lines, '~ not declared: smallest fuse that bears it, least that relays are rated for']
    : lines;
}

const margin = (percent: number): string =>
  percent > MOST_PERCENT ? `>${MOST_PERCENT} %` : `${percent > 0 ? '+' : ''}${fixed(percent, 0)} %`;
const MOST_PERCENT = 999;

const ruleWords = (row: RatingRow): string =>
  `: ${row.rule} (${row.source}).${said(' Smallest: ', neededWords(row))}${said(' At the ends: ', row.terminal?.title)}`;

const said = (lead: string, words: string | undefined): string =>
  words === undefined ? '' : `${lead}${words}.`;
