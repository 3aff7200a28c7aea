// What 2,000 judged units say of the judging, as a table with the mark that each line is held to.

import type { JudgedUnit } from './judged-unit.js';
import type { Limits } from './random-unit.js';

export interface Mark {
  line: string;
  value: number;
  count: number;
  holds: boolean;
}

const part = (count: number, of: number): number => (of === 0 ? 0 : count / of);

/** Marks of the accuracy asked for; `count` is out of how many. */
export function marksOf(units: readonly JudgedUnit[], limits: Limits): Mark[] {
  const healthy = units.filter(({ truth }) => truth === 'healthy');
  const faulty = units.filter(({ truth, isShown }) => truth !== 'healthy' && isShown);
  const named = faulty.filter(({ verdict }) => verdict !== 'pass');
  const share: Share = (line, list, is, holds) => {
    const value = part(list.filter(is).length, list.length);
    return { line, value, count: list.length, holds: holds(value) };
  };
  const fails = share(
    'healthy units that fail (none)',
    healthy,
    ({ verdict }) => verdict === 'fail',
    (v) => v === 0,
  );
  const first = share(
    'true fault first, or in the first group (at least 95 %)',
    named,
    ({ rank }) => rank === 0,
    (v) => v >= 0.95,
  );
  if (limits === 'generic') return [fails, ...genericMarks({ healthy, faulty, named }, share), first];
  return [
    fails,
    share(
      'healthy units that cannot be told (at most 0.5 %)',
      healthy,
      ({ verdict }) => verdict === 'cannot-tell',
      (v) => v <= 0.005,
    ),
    share(
      'faulty units that pass (at most 0.5 %)',
      faulty,
      ({ verdict }) => verdict === 'pass',
      (v) => v <= 0.005,
    ),
    first,
    share(
      'true fault among the first three (at least 99 %)',
      named,
      ({ rank }) => rank >= 0 && rank < 3,
      (v) => v >= 0.99,
    ),
    sayingMark(units),
  ];
}

type Share = (
  line: string,
  list: readonly JudgedUnit[],
  is: (unit: JudgedUnit) => boolean,
  holds: (value: number) => boolean,
) => Mark;

/** Of motors anywhere in their family: what a motor may be is no fault, and a condition that stays within it is not seen. */
function genericMarks(
  { healthy, faulty, named }: Record<'healthy' | 'faulty' | 'named', readonly JudgedUnit[]>,
  share: Share,
): Mark[] {
  const isAccused = ({ truth, findings: [first], accuses }: JudgedUnit, from: number): boolean =>
    accuses && first !== undefined && !(first.isRight && truth !== 'healthy') && first.likelihood >= from;
  return [
    share(
      'healthy units of the family that pass (at least 95 %)',
      healthy,
      ({ verdict }) => verdict === 'pass',
      (v) => v >= 0.95,
    ),
    share(
      'healthy units accused of a fault at 50 % or more (none)',
      healthy,
      (unit) => isAccused(unit, 0.5),
      (v) => v === 0,
    ),
    share(
      'faulty units that pass (another motor may read so)',
      faulty,
      ({ verdict }) => verdict === 'pass',
      () => true,
    ),
    share(
      'wrong cause above 90 % (none)',
      named,
      (unit) => isAccused(unit, 0.9),
      (v) => v === 0,
    ),
  ];
}

/** Of findings given so much, that part is right: as far as so few of them can tell. */
const SAID = [0.8, 0.9] as const;
const RIGHT = [0.75, 0.95] as const;

function sayingMark(units: readonly JudgedUnit[]): Mark {
  const { right, count } = calibrationOf(units).find(({ from }) => Math.abs(from - SAID[0]) < 0.01)!;
  const [low, high] = wilson(right, count);
  return {
    line: `findings given 80 to 90 % that are right (75 to 95 %; 95 % interval ${percent(low, 0)} to ${percent(high, 0)})`,
    value: right,
    count,
    holds: count === 0 || (low <= RIGHT[1] && high >= RIGHT[0]),
  };
}

/** 95 % interval of a part seen in `count` (Wilson's score interval, NIST/SEMATECH e-Handbook 7.2.4.1). */
export function wilson(part: number, count: number): readonly [number, number] {
  if (count === 0) return [0, 1];
  const z = 1.96;
  const middle = (part + (z * z) / (2 * count)) / (1 + (z * z) / count);
  const reach =
    (z / (1 + (z * z) / count)) * Math.sqrt((part * (1 - part)) / count + (z * z) / (4 * count * count));
  return [middle - reach, middle + reach];
}

export interface Band {
  from: number;
  to: number;
  count: number;
  /** Mean likelihood said, and part that was right. */
  said: number;
  right: number;
}

/** Findings by what was said of them, in tenths. */
export function calibrationOf(units: readonly JudgedUnit[]): Band[] {
  const findings = units
    .filter(({ truth, isShown }) => truth === 'healthy' || isShown)
    .flatMap(({ findings: list }) => list);
  return Array.from({ length: 10 }, (_, tenth) => {
    const from = tenth / 10;
    const within = findings.filter(
      ({ likelihood }) => likelihood >= from && (likelihood < from + 0.1 || (tenth === 9 && likelihood <= 1)),
    );
    return {
      from,
      to: from + 0.1,
      count: within.length,
      said: part(
        within.reduce((sum, { likelihood }) => sum + likelihood, 0),
        within.length,
      ),
      right: part(within.filter(({ isRight }) => isRight).length, within.length),
    };
  });
}

export const percent = (value: number, digits = 2): string => `${(100 * value).toFixed(digits)} %`;

export function tableOf(units: readonly JudgedUnit[], limits: Limits): string {
  const lines = marksOf(units, limits).map(({ line, value, count, holds }) => {
    const [low, high] = wilson(value, count);
    return `${holds ? 'holds ' : 'MISSES'}  ${line.padEnd(84)} ${percent(value).padStart(9)} (${percent(low, 1)} to ${percent(high, 1)}) of ${count}`;
  });
  lines.push('', 'Findings by the likelihood that was said of them:');
  for (const { from, to, count, said, right } of calibrationOf(units)) {
    if (count === 0) continue;
    lines.push(
      `  ${percent(from, 0).padStart(5)} to ${percent(to, 0).padStart(5)}: ${String(count).padStart(5)} findings, said ${percent(said, 0).padStart(5)}, right ${percent(right, 0).padStart(5)}`,
    );
  }
  const hidden = [
    ...new Set(units.filter(({ isShown }) => !isShown).map(({ profile, truth }) => `${profile}: ${truth}`)),
  ];
  lines.push('', `Not shown by the plan, or of no consequence (${hidden.length} drawn, not counted):`);
  for (const line of hidden.sort()) lines.push(`  ${line}`);
  lines.push('', 'Units to look into:');
  for (const { profile, truth, verdict, rank, isShown, detail } of units) {
    const isMissed = verdict === 'pass' && limits === 'known';
    const isMisnamed = verdict !== 'pass' && rank !== 0;
    const isWrong = truth === 'healthy' ? verdict !== 'pass' : isShown && (isMissed || isMisnamed);
    if (isWrong)
      lines.push(`  ${profile}, ${truth}: ${verdict}${rank > 0 ? `, place ${rank + 1}` : ''} | ${detail}`);
  }
  return lines.join('\n');
}
