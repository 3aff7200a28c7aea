// Two circuits for the same motor side by side: what each part carries, and below it what to take, by its title.

import { neededWords, type RatingRow } from '../plan/index.js';
import { wrapWords } from '../screens/index.js';
import { amount, capitalised, listed } from '../tell/index.js';
import { CAUTIONS, motorWords, type RatingsTold } from './ratings-text.js';
import { tableLines } from './table.js';

/** What stands in one line, in the order of the sheet. */
const LINES: readonly { words: string; kinds: readonly RatingRow['kind'][] }[] = [
  { words: 'switch', kinds: ['switch', 'small-switch'] },
  { words: 'contacts 30-87', kinds: ['make'] },
  { words: 'contacts 30-87a', kinds: ['break'] },
  { words: 'fuse of the feed', kinds: ['feed'] },
  { words: 'fuse of the coils', kinds: ['coil-feed'] },
  { words: 'motor wires', kinds: ['wire'] },
  { words: 'drop out and back', kinds: ['wire-drop'] },
];
const GAP = 2;

export function comparedLines(one: RatingsTold, other: RatingsTold, columns: number): string[] {
  const wrapped = (text: string): string[] => wrapWords(text, columns);
  const told = [one, other];
  const rows = LINES.flatMap(({ words, kinds }) => {
    const found = told.map(({ result }) => hardest(result.rows.filter(({ kind }) => kinds.includes(kind))));
    return found.every((row) => row === undefined) ? [] : [{ words, found }];
  });
  return [
    one.unit.unit.title,
    ...told.flatMap(({ unit }, i) => wrapped(`${i + 1}: ${unit.style.title}`)),
    '',
    ...wrapped(motorWords(one)),
    '',
    ...tableLines(
      [
        ['carries', '1: running', 'held', '2: running', 'held'],
        ...rows.map(({ words, found }) => [words, ...found.flatMap(carriedCells)]),
      ],
      (column) => column > 0,
    ),
    '',
    ...takenLines(rows, columns),
    '',
    ...told.flatMap(({ result }, i) =>
      openLines(result.rows).flatMap((line) => wrapped(`${i + 1}: ${line}`)),
    ),
    ...told.flatMap(({ result: { voltages } }, i) =>
      voltages.flatMap(({ sentence }) => wrapped(`${i + 1}: ${capitalised(sentence)}`)),
    ),
    ...CAUTIONS.flatMap(wrapped),
  ];
}

/** What to take for each, in two columns that share what the terminal leaves. */
function takenLines(
  rows: readonly { words: string; found: readonly (RatingRow | undefined)[] }[],
  columns: number,
): string[] {
  const first = Math.max(...rows.map(({ words }) => words.length)) + GAP;
  const width = Math.max(20, Math.floor((columns - first) / 2) - GAP);
  const line = (cells: readonly string[]): string[] => {
    const [words = '', ...taken] = cells;
    const parts = taken.map((text) => wrapWords(text, width));
    const height = Math.max(...parts.map(({ length }) => length));
    return Array.from({ length: height }, (_, i) =>
      [(i === 0 ? words : '').padEnd(first), ...parts.map((lines) => (lines[i] ?? '').padEnd(width + GAP))]
        .join('')
        .trimEnd(),
    );
  };
  return [
    ...line(['take', '1', '2']),
    ...rows.flatMap(({ words, found }) =>
      line([words, ...found.map((row) => (row === undefined ? '-' : takenWords(row)))]),
    ),
  ];
}

/** The parts that bear it by their titles, else what they must exceed. */
const takenWords = (row: RatingRow): string =>
  row.suggested === undefined || row.suggested.length === 0
    ? (neededWords(row) ?? 'none found that bears it')
    : listed(
        row.suggested.map(({ title }) => title),
        'or',
      );

/** What does not bear it, then what nobody can tell: each as one says it. */
function openLines(rows: readonly RatingRow[]): string[] {
  const titles = (bearing: RatingRow['bearing'], isTold: boolean): string[] =>
    rows
      .filter((row) => row.bearing === bearing && (row.rated !== undefined && row.isDeclared) === isTold)
      .map(({ title }) => title);
  const lines = (
    [
      [[...titles('does-not-bear', true), ...titles('does-not-bear', false)], 'not enough: '],
      [titles('not-known', true), 'cannot tell while the currents are known as a range only: '],
      [titles('not-known', false), 'no rating told of '],
    ] as const
  ).flatMap(([parts, lead]) => (parts.length === 0 ? [] : [`${lead}${listed([...parts])}.`]));
  return lines.length === 0 ? ['every part bears it.'] : lines;
}

/** The part of its kind that carries most. */
const hardest = (rows: readonly RatingRow[]): RatingRow | undefined =>
  [...rows].sort((a, b) => b.demand.most.runningA - a.demand.most.runningA)[0];

function carriedCells(row: RatingRow | undefined): string[] {
  if (row === undefined) return ['-', '-'];
  const { kind, demand } = row;
  const unit = kind === 'wire-drop' ? 'V' : 'A';
  const decimals = unit === 'V' || demand.most.runningA < 1 ? 2 : 1;
  return [amount(demand.most.runningA, unit, decimals), amount(demand.most.heldA, unit, decimals)];
}
