// Learns limits from known good units and writes them, whole or not at all.

import { resolve } from 'node:path';
import { displayPath, InputError, oneLine } from '../input/index.js';
import {
  columnsOf,
  type GoodRun,
  learn,
  learnedYaml,
  leftOut,
  lookAlikes,
  type Stated,
  shapesFound,
  USUAL_STATED,
  unitsOf,
} from '../learn/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { programVersion } from '../program/index.js';
import { localTime } from '../tell/index.js';
import { type CommandIo, EXIT } from './command.js';
import { goodRuns, type RunsAsked } from './good-runs.js';
import {
  alikeSentence,
  comparisonLines,
  leftOutLines,
  limitLines,
  oddSentence,
  shapeSentences,
} from './learn-text.js';
import { refuseThere, writeAndEnter } from './learned-file.js';

export interface LearnAsked extends RunsAsked {
  units?: number | undefined;
  out?: string | undefined;
  /** Who wrote it; as settled where it is not told. */
  by?: string | undefined;
  coverage?: number | undefined;
  confidence?: number | undefined;
  keepOdd: boolean;
}

/** The exit code: 0 learned, 3 where units are missing or one stands apart. @throws InputError */
export function learnFrom(asked: LearnAsked, io: CommandIo): number {
  const path = asked.out === undefined ? undefined : resolve(io.cwd, asked.out);
  if (path !== undefined) refuseThere(path);
  const { unit, runs, notes } = goodRuns(asked, io);
  refuseOtherCount(runs, asked.units);
  let isFirst = true;
  const say = (lines: readonly string[]): void => {
    isFirst &&= lines.length === 0;
    io.stdout(lines.map((line) => `${oneLine(line)}\n`).join(''));
  };
  const columns = columnsOf(runs);
  say([...repeatLines(runs), ...notes]);
  const lesson = learn(headOf(unit, runs), runs, statedBy(asked));
  if ('why' in lesson)
    throw new InputError({ file: asked.profile, what: `nothing can be learned: ${lesson.why}` });
  if ('missingUnits' in lesson) {
    const compared = columns.map(({ words, of, unit: symbol, starts }) => ({
      words: of === undefined ? words : `${of.position}: ${words}`,
      unit: symbol,
      values: starts.map(({ value }) => value),
    }));
    say(comparisonLines(compared, unitsOf(runs).length, lesson.missingUnits));
    return EXIT.cannotTell;
  }
  const left = leftOut(columns);
  say(leftOutLines(left));
  say(lookAlikes(columns).map(alikeSentence));
  say(shapeSentences(shapesFound(columns)));
  const odd = left.filter(({ isOdd }) => isOdd);
  say(odd.map(oddSentence));
  if (odd.length > 0 && !asked.keepOdd) {
    say(['Nothing was written: look at it and leave it out, or say --keep-odd.']);
    return EXIT.cannotTell;
  }
  say([...(isFirst ? [] : ['']), ...limitLines(lesson.learned)]);
  if (path !== undefined) {
    const { profile, units, starts, coverage, confidence, runs: from } = lesson.learned;
    const rests = { profile, units, starts, coverage, confidence, runs: from };
    const anchor = writeAndEnter(path, learnedYaml(lesson.learned), rests, asked.by);
    say([`Written to ${displayPath(path)}; use it with --learned ${displayPath(path)}`]);
    say([`The record keeps its hash: entry ${anchor}`]);
  }
  return EXIT.pass;
}

const statedBy = ({ coverage, confidence }: LearnAsked): Stated => ({
  coverage: coverage ?? USUAL_STATED.coverage,
  confidence: confidence ?? USUAL_STATED.confidence,
});

const headOf = ({ unit, style, motor, plan, rig }: ResolvedUnit, runs: readonly GoodRun[]) => {
  const count = unitsOf(runs).length;
  return {
    title: `${unit.title}, as ${count} good units ran`,
    ...{ profile: unit.id, circuit: style.id, motor: motor.id, plan: plan.id, rig: rig.id },
    learnedOn: localTime(new Date()).day,
    tool: programVersion(),
  };
};

function refuseOtherCount(runs: readonly GoodRun[], wanted: number | undefined): void {
  const tags = unitsOf(runs);
  if (wanted === undefined || tags.length === wanted) return;
  const what = `the tags are of ${tags.length} (${tags.join(', ')})`;
  throw new InputError({
    file: `--units ${wanted}`,
    what,
    mend: 'name the files by the tags of their units',
  });
}

/** Runs of one tag are starts of one unit, which nobody should have to find out. */
const repeatLines = (runs: readonly GoodRun[]): string[] =>
  unitsOf(runs).flatMap((tag) => {
    const count = runs.filter(({ unit }) => unit === tag).length;
    return count > 1 ? [`${tag}: ${count} runs, counted as ${count} starts of one unit.`] : [];
  });
