// A batch of units beside limits: how it sits within them, and its dots. Nothing is learned of it.

import { InputError, oneLine } from '../input/index.js';
import { type BatchRow, batchRows, columnsOf, type GoodRun, type Interval, unitsOf } from '../learn/index.js';
import { summarise } from '../measure/index.js';
import { type Learned, readLearned, withLearned } from '../profile/index.js';
import { type DotStrip, dotLines, dotsSvg } from '../reports/index.js';
import { briefUnit, fixed, listed, retold, significant, wrapWords } from '../tell/index.js';
import { type CommandIo, EXIT, jsonText } from './command.js';
import { goodRuns, type RunsAsked } from './good-runs.js';
import { tableLines } from './table.js';
import { writeNew } from './write-new.js';

export interface BatchAsked extends RunsAsked {
  /** File of the limits. */
  against: string;
  /** Tag of the unit under test: drawn, and counted to no batch. */
  test?: string | undefined;
  svg?: string | undefined;
  json: boolean;
}

const DIGITS = 3;
const MOST_COLUMNS = 100;
/** Ten make useful limits, as learn says. */
const USEFUL_UNITS = 10;
const LEGEND =
  'Each circle a unit, each stroke a start, the filled diamond the unit under test; limits thick.';

/** What was done to come to these runs. */
export interface BatchOf {
  /** Runs that may not stand among the others are told and left out, in place of refusing all. */
  leavesOut?: boolean;
  /** A sentence on which runs these are. */
  of?: string;
}

/** The exit code: 0 all within the limits, 1 a unit lies outside. @throws InputError */
export function batchAgainst(
  asked: BatchAsked,
  io: CommandIo,
  { leavesOut = false, of }: BatchOf = {},
): number {
  const { unit, runs, notes } = goodRuns(asked, io, { takesFailed: true, leavesOut });
  const learned = readLearned(asked.against);
  // Limits of another profile, circuit or rig are refused in one line.
  withLearned(unit, asked.against);
  refuseUnknown(runs, asked.test);
  const batch = runs.filter(({ unit: tag }) => tag !== asked.test);
  const rows = batchRows(columnsOf(batch), learned);
  const tested =
    asked.test === undefined
      ? []
      : batchRows(columnsOf(runs.filter(({ unit: tag }) => tag === asked.test)), learned);
  if (rows.length === 0)
    throw new InputError({
      file: asked.against,
      what: 'none of its limits is of a reading of these runs',
      mend: 'learn limits of the same profile',
    });
  const strips = rows.map((row): DotStrip => stripOf(row, tested));
  if (asked.svg !== undefined)
    writeNew(
      io,
      asked.svg,
      dotsSvg(titleOf(batch, learned, unit.unit.title), strips, LEGEND),
      'picture written',
    );
  const all = [...rows, ...tested];
  const outside = [
    ...new Set(all.flatMap(({ units }) => units.filter((each) => each.isOutside)).map((each) => each.unit)),
  ];
  if (asked.json)
    io.stdout(
      jsonText({
        ...{ units: unitsOf(batch).length, starts: batch.length, outside, quantities: rows, tested },
        notes,
      }),
    );
  else {
    const columns = Math.min(io.columns, MOST_COLUMNS);
    const lines = [
      ...(of === undefined ? [] : [of]),
      ...notes,
      ...batchLines(rows, strips, { batch, learned, outside, columns, tested }),
    ];
    io.stdout(lines.map((line) => `${oneLine(line)}\n`).join(''));
  }
  return outside.length > 0 ? EXIT.fail : EXIT.pass;
}

function refuseUnknown(runs: readonly GoodRun[], tag: string | undefined): void {
  const tags = unitsOf(runs);
  if (tag !== undefined && !tags.includes(tag))
    throw new InputError({
      file: `--test ${tag}`,
      what: 'no run of this tag is among them',
      mend: `name one of ${listed(tags)}`,
    });
  if (tag !== undefined && tags.length === 1)
    throw new InputError({
      file: `--test ${tag}`,
      what: 'no other unit is there to be a batch',
      mend: 'add runs of others',
    });
}

const titleOf = (batch: readonly GoodRun[], { units }: Learned, title: string): string =>
  `${title}: ${unitsOf(batch).length} units, ${batch.length} starts, beside limits of ${units} good units`;

function stripOf(row: BatchRow, tested: readonly BatchRow[]): DotStrip {
  const { key, words, unit, lower, upper, units, capability, why } = row;
  const one = tested.find((each) => each.key === key)?.units ?? [];
  const said = capability === undefined ? (why ?? '') : `Cpk ${interval(capability.cpk)}`;
  return {
    ...{ title: retold(words), unit: briefUnit(unit), lower, upper, said },
    units: [
      ...units.map(({ unit: tag, starts, mean }) => ({ tag, starts, mean })),
      ...one.map(({ unit: tag, starts, mean }) => ({ tag, starts, mean, isUnderTest: true })),
    ],
  };
}

/** The unit under test: in which reading it lies furthest from the batch, by the spread of that. */
function testedSentences(rows: readonly BatchRow[], tested: readonly BatchRow[]): string[] {
  const far = rows.flatMap(({ key, words, unit, units }) => {
    const one = tested.find((row) => row.key === key)?.units[0];
    const means = units.map(({ mean }) => mean);
    const { mean, deviation } = summarise(means);
    if (one === undefined || means.length < 2 || !(deviation > 0)) return [];
    const ends = `${significant(Math.min(...means), DIGITS)} to ${significant(Math.max(...means), DIGITS, unit)}`;
    const sentence = `${one.unit}, the unit under test, lies furthest from the others in ${retold(words)}: ${significant(one.mean, DIGITS, unit)}, theirs ${ends}.`;
    return [{ apart: Math.abs(one.mean - mean) / deviation, sentence }];
  });
  return far
    .sort((a, b) => b.apart - a.apart)
    .slice(0, 1)
    .map(({ sentence }) => sentence);
}

const interval = ({ value, least, most }: Interval): string =>
  `${fixed(value, 2)} (${fixed(least, 2)} to ${fixed(most, 2)})`;

function batchLines(
  rows: readonly BatchRow[],
  strips: readonly DotStrip[],
  {
    batch,
    learned,
    outside,
    columns,
    tested,
  }: {
    batch: readonly GoodRun[];
    learned: Learned;
    outside: readonly string[];
    columns: number;
    tested: readonly BatchRow[];
  },
): string[] {
  const head = ['quantity', 'limits', 'outside', 'Cp', 'Cpk'];
  const body = rows.map(({ words, unit, lower, upper, units, capability, why }) => [
    retold(words),
    lower === undefined || upper === undefined
      ? `at most ${significant(upper ?? 0, DIGITS, unit)}`
      : `${significant(lower, DIGITS)} to ${significant(upper, DIGITS, unit)}`,
    `${units.filter(({ isOutside }) => isOutside).length} of ${units.length}`,
    capability?.cp === undefined ? '-' : fixed(capability.cp.value, 2),
    capability === undefined ? `none: ${why ?? ''}` : interval(capability.cpk),
  ]);
  const wrapped = (text: string): string[] => wrapWords(text, columns);
  return [
    outside.length === 0
      ? `All ${unitsOf(batch).length} units lie within the limits.`
      : `Outside the limits: ${listed(outside)}.`,
    ...testedSentences(rows, tested).flatMap(wrapped),
    `${unitsOf(batch).length} units, ${batch.length} starts, beside limits of ${learned.units} good units:`,
    ...tableLines([head, ...body]).map((line) => `  ${line}`),
    ...wrapped(
      'Cpk is the way from the centre to the nearer limit over three spreads of the batch (NIST/SEMATECH e-Handbook 6.1.6), in brackets what so few units leave of it with 95 % confidence; some fifty make it worth a promise.',
    ),
    ...(learned.units < USEFUL_UNITS
      ? wrapped(`Limits of ${learned.units} good units are wide: a large Cpk within them says little.`)
      : []),
    '',
    'Units o, starts ., a digit so many in one place, the unit under test #, limits |:',
    ...strips.flatMap((strip) => [
      `  ${strip.title}, ${strip.unit}`,
      ...dotLines(strip, columns - 4).map((line) => `    ${line}`),
    ]),
  ];
}
