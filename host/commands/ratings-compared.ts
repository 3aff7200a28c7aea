// Two circuits for the same motor side by side: what each part carries and what to take.

import type { RatingRow } from '../plan/index.js';
import { wrapWords } from '../screens/index.js';
import { amount } from '../tell/index.js';
import { BEARING_WORDS, CAUTIONS, motorWords, type RatingsTold } from './ratings-text.js';
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

export function comparedLines(one: RatingsTold, other: RatingsTold, columns: number): string[] {
  const wrapped = (text: string): string[] => wrapWords(text, columns);
  const told = [one, other];
  const rows = LINES.flatMap(({ words, kinds }) => {
    const found = told.map(({ result }) => hardest(result.rows.filter(({ kind }) => kinds.includes(kind))));
    return found.every((row) => row === undefined) ? [] : [[words, ...found.flatMap(cells)]];
  });
  return [
    one.unit.unit.title,
    ...told.flatMap(({ unit }, i) => wrapped(`${i + 1}: ${unit.style.title}`)),
    '',
    ...wrapped(motorWords(one)),
    '',
    ...tableLines([['part', '1: runs', 'held', 'take', '2: runs', 'held', 'take'], ...rows]),
    '',
    ...told.flatMap(({ result: { rows } }, i) => wrapped(`${i + 1}: ${openWords(rows)}.`)),
    ...CAUTIONS.flatMap(wrapped),
  ];
}

const openWords = (rows: readonly RatingRow[]): string => {
  const open = rows.filter(({ bearing }) => bearing !== 'bears');
  return open.length === 0
    ? 'every part bears it'
    : open.map(({ title, bearing }) => `${title}: ${BEARING_WORDS[bearing]}`).join('; ');
};

/** The part of its kind that carries most. */
const hardest = (rows: readonly RatingRow[]): RatingRow | undefined =>
  [...rows].sort((a, b) => b.demand.most.runningA - a.demand.most.runningA)[0];

function cells(row: RatingRow | undefined): string[] {
  if (row === undefined) return ['-', '-', ''];
  const { kind, demand, needs = '' } = row;
  const unit = kind === 'wire-drop' ? 'V' : 'A';
  const decimals = unit === 'V' || demand.most.runningA < 1 ? 2 : 1;
  return [
    amount(demand.most.runningA, unit, decimals),
    amount(demand.most.heldA, unit, decimals),
    needs.replace(' or ', ' / '),
  ];
}
