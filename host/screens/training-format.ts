// Words of a training run for screen and plain lines alike: readings, tables, and what is told at the end.

import type { AskedProbe, ProbeReading, ReadingsRow, Reveal } from '../bench/training/index.js';
import { amount, fixed, VERDICT_WORDS } from '../tell/index.js';

const COLUMNS = ['rest', 'forward', 'reverse'] as const;

export const TRAINING_NOTICE = 'TRAINING on the virtual bench: no real unit, nothing is recorded.';

/** `12.65 V`, `76.6 Ω`, `open`; a reading that was lost is `-`. */
export function meterText(value: number, unit: string): string {
  if (Number.isNaN(value)) return '-';
  if (unit !== 'Ohm') return amount(value, unit, 2);
  if (!Number.isFinite(value)) return 'open';
  if (value >= 1000) return amount(value / 1000, 'kΩ', 1);
  return amount(value, unit, value < 10 ? 2 : 1);
}

export const readingText = ({ label, value, unit }: ProbeReading): string =>
  `${label}: ${meterText(value, unit)}`;

/** A measurement and what it read. */
export const askedLines = ({ question, answer: { readings, note } }: AskedProbe): string[] => [
  question,
  ...readings.map((reading) => `  ${readingText(reading)}`),
  ...(note === undefined ? [] : [`  ${note}`]),
];

const LABEL_COLUMNS = 15;
const CELL_COLUMNS = 20;

/** Head and rows; what the nominal unit reads stands in brackets. */
export function readingsLines(rows: readonly ReadingsRow[]): string[] {
  const row = (label: string, cells: readonly string[]): string =>
    `${label.padEnd(LABEL_COLUMNS)}${cells.map((cell) => cell.padEnd(CELL_COLUMNS)).join('')}`.trimEnd();
  const isLimited = rows.some(({ cells }) => Object.values(cells).some((cell) => cell.limited));
  return [
    row('(usual)', COLUMNS),
    ...rows.map(({ label, cells }) =>
      row(
        label,
        COLUMNS.map((column) => {
          const cell = cells[column];
          if (!cell) return '-';
          const usual = cell.usual === undefined ? '' : ` (${fixed(cell.usual, 2)})`;
          return `${meterText(cell.value, cell.unit)}${usual}${cell.limited ? ' l' : ''}`;
        }),
      ),
    ),
    ...(isLimited ? ['l: through the limited feed only'] : []),
  ];
}

/** Everything that is told when the training ends. */
export function revealLines(reveal: Reveal): string[] {
  const { hidden, named, right, inseparable, proofs, probesAsked, seed } = reveal;
  const head = named === undefined ? 'NOT NAMED' : right ? 'RIGHT' : 'WRONG';
  const count = `${probesAsked} ${probesAsked === 1 ? 'measurement' : 'measurements'}`;
  return [
    `${head} after ${count}. It was: ${hidden.sentence}`,
    ...(inseparable
      ? ['You named another one of the same path, which the readings of a run cannot tell from it.']
      : named !== undefined && !right
        ? [`You named: ${named.sentence}`]
        : []),
    ...(proofs.length === 0
      ? ['Every measurement reads as a good unit does; that is the proof.']
      : ['Two readings prove it:']),
    ...proofs.map(
      ({ question, reading, goodValue, note, asked }) =>
        `  ${readingText(reading)} where a good one has ${meterText(goodValue, reading.unit)}` +
        ` (${question}${asked ? '; you asked this' : ''})${note === undefined ? '' : ` ${note}`}`,
    ),
    ...(reveal.sentence === undefined
      ? []
      : [
          `The run itself would have been judged: ${VERDICT_WORDS[reveal.verdict ?? 'cannot-tell']}. ${reveal.sentence}`,
        ]),
    ...(reveal.firstFinding === undefined ? [] : [`Likely cause by its readings: ${reveal.firstFinding}`]),
    `The same again: --seed ${seed}`,
  ];
}
