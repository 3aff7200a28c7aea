// What 2,000 judged units say of the judging, as a table with the mark that each line is held to.

import type { JudgedUnit } from './judged-unit.js';

export interface Mark {
  line: string;
  value: number;
  count: number;
  holds: boolean;
}

const part = (count: number, of: number): number => (of === 0 ? 0 : count / of);

/** Marks of the accuracy asked for; `count` is out of how many. */
export function marksOf(units: readonly JudgedUnit[]): Mark[] {
  const healthy = units.filter(({ truth }) => truth === 'healthy');
  const faulty = units.filter(({ truth, isShown }) => truth !== 'healthy' && isShown);
  const named = faulty.filter(({ verdict }) => verdict !== 'pass');
  const share = (
    line: string,
    list: readonly JudgedUnit[],
    is: (unit: JudgedUnit) => boolean,
    holds: (value: number) => boolean,
  ): Mark => {
    const value = part(list.filter(is).length, list.length);
    return { line, value, count: list.length, holds: holds(value) };
  };
  return [
    share(
      'healthy units that fail (none)',
      healthy,
      ({ verdict }) => verdict === 'fail',
      (v) => v === 0,
    ),
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
    share(
      'true fault first, or in the first group (at least 95 %)',
      named,
      ({ rank }) => rank === 0,
      (v) => v >= 0.95,
    ),
    share(
      'true fault among the first three (at least 99 %)',
      named,
      ({ rank }) => rank >= 0 && rank < 3,
      (v) => v >= 0.99,
    ),
  ];
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

const percent = (value: number, digits = 2): string => `${(100 * value).toFixed(digits)} %`;

export function tableOf(units: readonly JudgedUnit[]): string {
  const lines = marksOf(units).map(
    ({ line, value, count, holds }) =>
      `${holds ? 'holds ' : 'MISSES'}  ${line.padEnd(58)} ${percent(value).padStart(9)} of ${count}`,
  );
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
    const isWrong = truth === 'healthy' ? verdict !== 'pass' : isShown && (verdict === 'pass' || rank !== 0);
    if (isWrong)
      lines.push(`  ${profile}, ${truth}: ${verdict}${rank > 0 ? `, place ${rank + 1}` : ''} | ${detail}`);
  }
  return lines.join('\n');
}
