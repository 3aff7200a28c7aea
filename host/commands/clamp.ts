// A unit without any model: `learn --clamp` from captures of one current, `judge --clamp` by what those were like.

import { join, resolve } from 'node:path';
import { stringify } from 'yaml';
import { displayPath, InputError, oneLine } from '../input/index.js';
import {
  type ClampCheck,
  type ClampReading,
  type ClampRun,
  clampChecks,
  clampColumns,
  clampReadings,
  clampVerdict,
  LEAST_UNITS,
  learnClamp,
  lookAlikes,
  mayConclude,
  shapesFound,
  USUAL_STATED,
} from '../learn/index.js';
import { measure } from '../measure/index.js';
import { type ClampOnly, readClampOnly } from '../profile/index.js';
import { programVersion } from '../program/index.js';
import { capitalised, fixed, listed, localTime, significant, VERDICT_WORDS } from '../tell/index.js';
import { type CaptureTold, captureOptions, readCaptureAt } from './capture-told.js';
import { type CommandIo, EXIT, EXIT_OF_VERDICT, jsonText } from './command.js';
import { FileTable } from './file-table.js';
import { csvIn, hashesOf, leftAlone, refuseTypedTwice, tagOf } from './good-runs.js';
import { alikeSentence, shapeSentences } from './learn-text.js';
import { refuseThere, writeAndEnter } from './learned-file.js';
import { tableLines } from './table.js';

const DIGITS = 3;
const NO_MORE =
  'A clamp sees one current: nothing is said of leads, contacts, supply or circuit. With another supply or another instrument than the good ones had, everything moves.';

/** @throws InputError for a capture that cannot be read, or that tells of no throw */
function readingsOf(
  io: CommandIo,
  file: string,
  told: CaptureTold,
): { readings: ClampReading[]; notes: string[] } {
  const options = captureOptions(told);
  const capture = readCaptureAt(io, file, options);
  const result = measure(capture, options.measure);
  const doubts = (result.doubts ?? []).map(({ sentence }) => sentence);
  const readings = doubts.length > 0 ? [] : clampReadings(capture, result);
  return { readings, notes: [...doubts, ...capture.notes, ...result.notes] };
}

export interface ClampAsked extends CaptureTold {
  captures: string;
  title: string | undefined;
  out: string | undefined;
  /** Who learned them; as settled where it is not told. */
  by: string | undefined;
  coverage: number | undefined;
  confidence: number | undefined;
}

/** The exit code: 0 learned, 3 where units are missing. @throws InputError */
export function learnFromClamp(asked: ClampAsked, io: CommandIo): number {
  const out = asked.out === undefined || asked.out === '-' ? undefined : resolve(io.cwd, asked.out);
  if (out !== undefined) refuseThere(out);
  const folder = resolve(io.cwd, asked.captures);
  const names = csvIn(folder);
  if (names.length === 0)
    throw new InputError({
      file: displayPath(folder),
      what: 'has no captures in it',
      mend: 'put one .csv a run there, its name beginning with the tag of the unit',
    });
  const hashes = hashesOf(folder, names);
  refuseTypedTwice(folder, names.map(tagOf));
  const runs = names.map((name): ClampRun => {
    const file = join(folder, name);
    const { readings, notes } = readingsOf(io, file, asked);
    if (!readings.some(({ what }) => what === 'runningCurrentA'))
      throw new InputError({
        file: displayPath(file),
        what: notes[0] ?? 'no motor runs in it',
        mend: 'leave it out: a good unit starts and runs',
      });
    return {
      ...{ unit: tagOf(name), run: name, readings },
      sha256: hashes.get(name) ?? '',
    };
  });
  const units = [...new Set(runs.map(({ unit }) => unit))];
  const stated = {
    coverage: asked.coverage ?? USUAL_STATED.coverage,
    confidence: asked.confidence ?? USUAL_STATED.confidence,
  };
  const lesson = learnClamp(runs, stated);
  const say = (lines: readonly string[]): void =>
    io.stdout(lines.map((line) => `${oneLine(line)}\n`).join(''));
  if ('missingUnits' in lesson) {
    say([
      `${listed(units)}: no limits yet, ${lesson.missingUnits} more to the ${LEAST_UNITS} units that limits take.`,
    ]);
    return EXIT.cannotTell;
  }
  const { quantities, withoutLimits } = lesson;
  if (Object.keys(quantities).length === 0)
    throw new InputError({
      file: displayPath(folder),
      what: 'nothing was read on all of these units',
      mend: 'record the same throws of each',
    });
  const clamp: ClampOnly = {
    ...{ kind: 'clamp', version: 1, title: asked.title ?? 'A motor, by its current alone' },
    ...{ learnedOn: localTime(new Date()).day, tool: programVersion() },
    ...{ units: units.length, starts: runs.length, ...stated },
    runs: runs.map(({ unit, run, sha256 }) => ({ unit, run, sha256 })),
    quantities,
    ...(Object.keys(withoutLimits).length === 0 ? {} : { withoutLimits }),
  };
  const columns = clampColumns(runs);
  say(leftAlone(folder));
  say(lookAlikes(columns).map(alikeSentence));
  say(shapeSentences(shapesFound(columns)));
  say(clampLines(clamp));
  if (asked.out === '-') io.stdout(clampYaml(clamp));
  if (out !== undefined) {
    const { title, units: count, starts, coverage, confidence, runs: from } = clamp;
    const rests = { title, units: count, starts, coverage, confidence, runs: from };
    const anchor = writeAndEnter(out, clampYaml(clamp), rests, asked.by);
    say([`Written to ${displayPath(out)}; use it with judge FILE.csv --clamp ${displayPath(out)}`]);
    say([`The record keeps its hash: entry ${anchor}`]);
  }
  return EXIT.pass;
}

const limitWords = ({ lower, upper, unit }: Pick<ClampCheck, 'lower' | 'upper' | 'unit'>): string =>
  lower === undefined || upper === undefined
    ? `at most ${significant(upper ?? 0, DIGITS, unit)}`
    : `${significant(lower, DIGITS)} to ${significant(upper, DIGITS, unit)}`;

function clampLines({
  quantities,
  withoutLimits = {},
  units,
  starts,
  coverage,
  confidence,
}: ClampOnly): string[] {
  const rows = Object.values(quantities).map(({ words, unit, centre, lower, upper }) => [
    words,
    significant(centre, DIGITS, unit),
    limitWords({ lower, upper, unit }),
  ]);
  const without = new Map<string, number>();
  for (const why of Object.values(withoutLimits)) without.set(why, (without.get(why) ?? 0) + 1);
  return [
    `Limits from ${units} good units, ${starts} starts, by their current alone:`,
    ...tableLines([['quantity', 'centre', 'limits'], ...rows]).map((line) => `  ${line}`),
    ...[...without].map(([why, count]) => `  ${count} more without a limit: ${why}`),
    `All ${rows.length} limits together hold ${fixed(100 * coverage, 1)} % of good units, with ${fixed(100 * confidence, 0)} % confidence.`,
    mayConclude(units),
    NO_MORE,
  ];
}

const clampYaml = (clamp: ClampOnly): string =>
  [
    '# What a clamp showed of known good units, made by throwbench learn --clamp. No circuit and no motor model stands',
    '# behind it. Never written over: learn again into a new file.',
    stringify(clamp, { lineWidth: 0 }),
  ].join('\n');

export interface ClampJudged extends CaptureTold {
  clamp: string;
  json: boolean;
}

/** The exit code: 0 like the good ones, 3 other or not to be told. @throws InputError */
export function judgeByClamp(files: readonly string[], asked: ClampJudged, io: CommandIo): number {
  const clamp = readClampOnly(resolve(io.cwd, asked.clamp));
  const judged = (file: string) => {
    const { readings, notes } = readingsOf(io, file, asked);
    const checks = clampChecks(clamp, readings);
    const verdict = clampVerdict(checks);
    return { verdict, sentence: sentenceOf(clamp, checks), checks, notes };
  };
  type Judged = ReturnType<typeof judged>;
  const [only, ...more] = files;
  if (only !== undefined && more.length === 0) {
    const told = judged(only);
    if (asked.json) io.stdout(jsonText({ clamp: clamp.title, units: clamp.units, ...told }));
    else io.stdout(`${judgedLines(told).map(oneLine).join('\n')}\n`);
    return EXIT_OF_VERDICT[told.verdict];
  }
  const table = new FileTable<Judged>(files, judged);
  if (asked.json) io.stdout(table.jsonLines((told) => told));
  else
    io.stdout(
      table.lines(['file', 'verdict', ''], ({ verdict, sentence }) => [VERDICT_WORDS[verdict], sentence]),
    );
  return table.exitOf(({ verdict }) => EXIT_OF_VERDICT[verdict]);
}

/** By how much, and what it may be: as far as one current can say. */
function otherWords({ words, percent, value = Number.NaN, unit, may = '' }: ClampCheck): string {
  const by =
    percent === undefined
      ? `at ${significant(value, DIGITS, unit)}`
      : `${percent < 0 ? 'low' : 'high'} by ${fixed(Math.abs(percent), 0)} %`;
  return `${words} ${by}: ${may}`;
}

function sentenceOf({ units }: ClampOnly, checks: readonly ClampCheck[]): string {
  const others = checks.filter(({ outcome }) => outcome === 'other');
  const [furthest] = others.toSorted((a, b) => Math.abs(b.percent ?? 0) - Math.abs(a.percent ?? 0));
  if (furthest !== undefined)
    return `Other than the ${units} good units. ${capitalised(otherWords(furthest))}.`;
  const open = checks.filter(({ outcome }) => outcome !== 'like the good ones');
  const wide = checks.find(({ isWide }) => isWide);
  if (open.length === 0 && wide !== undefined)
    return `Nothing differs, but limits of ${units} units are too wide to pass anything (${wide.words} ${limitWords(wide)}): learn from ten or more.`;
  return open.length === 0
    ? `Reads like the ${units} good units in all ${checks.length} limits.`
    : `Not to be told: ${listed(open.map(({ words, outcome }) => `${words} ${outcome}`))}.`;
}

const OUTCOMES: Record<ClampCheck['outcome'], string> = {
  'like the good ones': 'like them',
  'too close to tell': 'too close to tell',
  other: 'OTHER',
  'not read': 'not read',
};

function judgedLines({
  verdict,
  sentence,
  checks,
  notes,
}: {
  verdict: 'pass' | 'cannot-tell';
  sentence: string;
  checks: readonly ClampCheck[];
  notes: readonly string[];
}): string[] {
  const others = checks.filter(({ outcome }) => outcome === 'other');
  return [
    `${VERDICT_WORDS[verdict]}  ${sentence}`,
    '',
    ...others.map((check) => `  ${capitalised(otherWords(check))}.`),
    ...(others.length === 0
      ? []
      : ['  Next: run a known good unit on the same supply and clamp; if it reads so too, look there.', '']),
    ...tableLines(
      checks.map((check) => [
        `  ${OUTCOMES[check.outcome]}`,
        check.words,
        check.value === undefined ? '-' : significant(check.value, DIGITS, check.unit),
        `(good ones ${limitWords(check)})`,
      ]),
    ),
    '',
    NO_MORE,
    ...notes,
  ];
}
