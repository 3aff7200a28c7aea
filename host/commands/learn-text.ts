// What learning tells a person: each unit beside the others, doubts, limits.

import {
  LEAST_UNITS,
  type LeftOut,
  type LookAlike,
  mayConclude,
  type ShapeFound,
  shapeWords,
} from '../learn/index.js';
import type { Learned, LearnedQuantity, LearnedTogether } from '../profile/index.js';
import { fixed, listed, retold, significant } from '../tell/index.js';
import { tableLines } from './table.js';

const DIGITS = 3;
const wordsOf = ({ column: { of, words } }: LeftOut): string =>
  retold(of === undefined ? words : `${of.position}, ${words}`);
const told = (value: number, unit: string): string => significant(value, DIGITS, unit);
const range = ({ least, most, column: { unit } }: LeftOut): string =>
  `${significant(least, DIGITS)} to ${told(most, unit)}`;

/** How many sets of as many good units have one that stands so far apart, all quantities together. */
const chanceWords = (chance: number): string =>
  chance > 0.5
    ? 'most'
    : `1 in ${Math.min(1000, Math.round(1 / chance))}${chance < 0.001 ? ' or fewer' : ''}`;

/** Each good unit by the reading in which it stands furthest from the others. */
export function leftOutLines(left: readonly LeftOut[]): string[] {
  if (left.length === 0) return [];
  const rows = left.map((one) => [
    one.unit,
    wordsOf(one),
    told(one.value, one.column.unit),
    range(one),
    chanceWords(one.chance),
    one.isOdd ? 'stands apart' : '',
  ]);
  const head = ['unit', 'furthest off in', 'reads', 'the others', 'of good sets so many', ''];
  return ['Each unit by the others:', ...tableLines([head, ...rows]).map((line) => `  ${line}`)];
}

export const oddSentence = (one: LeftOut): string =>
  `${one.unit} stands apart from the other units: ${wordsOf(one)} ${told(one.value, one.column.unit)}, theirs ${range(one)}.`;

/** What the batch is made of, where it is no single population: first what it is, then what to do. */
export function shapeSentences(found: readonly ShapeFound[]): string[] {
  const grouped = new Map<string, ShapeFound[]>();
  for (const each of found) {
    const key =
      each.shape === 'skewed' ? `skewed ${each.towards}` : each.groups.map(({ units }) => units).join('|');
    grouped.set(key, [...(grouped.get(key) ?? []), each]);
  }
  return [...grouped.values()].map((same) => {
    const [first] = same;
    if (first === undefined) return '';
    const readings = listed(same.map(({ words }) => retold(words)));
    if (first.shape === 'skewed')
      return `The units trail off towards ${first.towards} readings in ${readings}: a limit on that side rests on few of them.`;
    const group = ({ units, least, most }: ShapeFound['groups'][number]): string =>
      `${listed(units)} at ${significant(least, DIGITS)} to ${told(most, first.unit)}`;
    const [low, high] = first.groups;
    if (low === undefined || high === undefined) return '';
    const others = same.length > 1 ? ` (${retold(first.words)})` : '';
    return `The units stand in two groups in ${readings}: ${group(low)}, ${group(high)}${others}. Two makes, two windings or two days? Learn each by itself.`;
  });
}

export const alikeSentence = ({ units: [a, b], readings }: LookAlike): string =>
  `${a} and ${b} read alike in all ${readings} readings, closer than two units do: is it one unit, counted twice?`;

const limitCells = (
  key: string,
  { words, unit, centre, lower, upper, betweenUnits, withinUnit, spread }: LearnedQuantity,
) => {
  const part = (value: number | undefined): string =>
    value === undefined ? '-' : spread === 'plain' ? told(value, unit) : `${fixed(100 * value, 1)} %`;
  const ends =
    lower === undefined || upper === undefined
      ? `at most ${told(upper ?? 0, unit)}`
      : `${significant(lower, DIGITS)} to ${told(upper, unit)}`;
  return [retold(words) || key, told(centre, unit), part(betweenUnits), part(withinUnit), ends];
};

export function limitLines({
  quantities,
  withoutLimits,
  units,
  starts,
  coverage,
  confidence,
  together,
}: Learned): string[] {
  const rows = Object.entries(quantities).map(([key, quantity]) => limitCells(key, quantity));
  const head = ['quantity', 'centre', 'between units', 'within one', 'limits'];
  return [
    `Limits from ${units} good units, ${starts} starts:`,
    ...tableLines([head, ...rows]).map((line) => `  ${line}`),
    ...Object.entries(withoutLimits ?? {}).map(([key, why]) => `  no limit for ${key}: ${why}`),
    ...(together ? togetherLines(together) : []),
    `All ${rows.length} limits ${together ? 'and that of the readings taken together' : 'together'} hold ${fixed(100 * coverage, 1)} % of good units, with ${fixed(100 * confidence, 0)} % confidence.`,
    mayConclude(units),
    shapeWords(units),
  ];
}

const togetherLines = ({ readings, upper, shrunk }: LearnedTogether): string[] => [
  `${readings.length} readings taken together: at most ${fixed(upper, 1)} spreads from the good units, and as they hang together there.`,
  `How they hang together was drawn ${fixed(100 * shrunk, 0)} % of the way to not at all, for so few units.`,
];

/** Of one unit or two: what they read, and no limits. */
export function comparisonLines(
  columns: readonly { words: string; unit: string; values: readonly number[] }[],
  units: number,
  missing: number,
): string[] {
  const rows = columns.map(({ words, unit, values }) => {
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
    return [
      retold(words),
      told(mean, unit),
      `${significant(Math.min(...values), DIGITS)} to ${told(Math.max(...values), unit)}`,
    ];
  });
  const who = units === 1 ? 'One good unit tells' : `${units} good units tell`;
  const more = missing === 1 ? '1 more is missing' : `${missing} more are missing`;
  return [
    ...tableLines([['quantity', 'mean', 'least to most'], ...rows]).map((line) => `  ${line}`),
    `${who} a comparison and no limits: ${more} to the ${LEAST_UNITS} that limits take.`,
  ];
}
