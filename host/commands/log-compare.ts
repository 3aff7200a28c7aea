// Two recorded runs beside each other: the readings that differ by more than the ± of the difference.

import { fedStretchWords, keyRead, QUANTITIES } from '../measure/index.js';
import type { RunRecord } from '../records/index.js';
import { capitalised, quantityText, retold, VERDICT_WORDS } from '../tell/index.js';
import { when } from './log-text.js';
import { tableLines } from './table.js';

export interface Difference {
  key: string;
  unit: string;
  first: number;
  second: number;
  /** Expanded, of each by itself. */
  firstUncertainty: number;
  secondUncertainty: number;
  /** Second minus first, and its expanded uncertainty: both runs' ± by the root of their squares (GUM 5.1.2). */
  difference: number;
  expandedUncertainty: number;
}

export interface RunComparison {
  differences: Difference[];
  /** Readings that both have. */
  compared: number;
  onlyInFirst: string[];
  onlyInSecond: string[];
}

/** The largest against its ± first. Errors that both runs share, such as the rig's gain, make the ± rather large. */
export function comparisonOf(first: RunRecord, second: RunRecord): RunComparison {
  const [a, b] = [first.judgement?.measured ?? {}, second.judgement?.measured ?? {}];
  const both = Object.entries(a).flatMap(([key, one]) => {
    const other = b[key];
    if (other === undefined || other.unit !== one.unit) return [];
    const difference = other.value - one.value;
    const expandedUncertainty = Math.hypot(one.expandedUncertainty, other.expandedUncertainty);
    const each = {
      ...{ key, unit: one.unit, first: one.value, second: other.value },
      firstUncertainty: one.expandedUncertainty,
      secondUncertainty: other.expandedUncertainty,
    };
    return [{ ...each, difference, expandedUncertainty }];
  });
  const weight = (each: Difference): number => Math.abs(each.difference) / each.expandedUncertainty;
  return {
    differences: both
      .filter(({ difference, expandedUncertainty }) => Math.abs(difference) > expandedUncertainty)
      .sort((x, y) => Math.sign(weight(y) - weight(x)) || 0),
    compared: both.length,
    onlyInFirst: Object.keys(a).filter((key) => !(key in b)),
    onlyInSecond: Object.keys(b).filter((key) => !(key in a)),
  };
}

/** Ends with a line break. */
export function comparisonText(first: RunRecord, second: RunRecord): string {
  const { differences, compared, onlyInFirst, onlyInSecond } = comparisonOf(first, second);
  const told = differences.flatMap((each) => {
    const words = wordsOf(each.key);
    return words === undefined ? [] : [[words, ...numbers(each)]];
  });
  const unnamed = differences.length - told.length;
  const lines = [
    ...[first, second].map((run, i) => `${i === 0 ? 'first ' : 'second'}  ${headOf(run)}`),
    ...(first.profileId === second.profileId
      ? []
      : ['The runs are of different profiles; their readings need not be alike.']),
    '',
    differences.length === 0
      ? `No reading of ${compared} differs by more than its ±.`
      : `${differences.length} of ${compared} readings differ by more than their ±:`,
    ...(told.length === 0
      ? []
      : tableLines([['reading', 'first', 'second', 'difference'], ...told]).map((line) => `  ${line}`)),
    ...(unnamed === 0 ? [] : [`  and ${unnamed} that this program has no words for; --json has them`]),
    ...onlyLine('first', onlyInFirst),
    ...onlyLine('second', onlyInSecond),
  ];
  return `${lines.join('\n')}\n`;
}

function onlyLine(which: string, keys: readonly string[]): string[] {
  const named = keys.map(wordsOf).filter((words) => words !== undefined);
  return named.length === 0 ? [] : [`Only in the ${which}: ${named.join('; ')}.`];
}

function headOf({ runId, tag, startedAt, verdict, unit }: RunRecord): string {
  const word = verdict === undefined ? '' : VERDICT_WORDS[verdict];
  return `${runId}  ${when(startedAt)}  ${tag}, ${unit.unit.title}  ${word}`.trimEnd();
}

function numbers({ first, second, difference, unit, ...each }: Difference): string[] {
  const sign = difference > 0 ? '+' : '';
  return [
    quantityText({ value: first, unit, expandedUncertainty: each.firstUncertainty }),
    quantityText({ value: second, unit, expandedUncertainty: each.secondUncertainty }),
    `${sign}${quantityText({ value: difference, unit, expandedUncertainty: each.expandedUncertainty })}`,
  ];
}

/** `Forward: inrush`; undefined for a reading that this program does not know. */
function wordsOf(key: string): string | undefined {
  const read = keyRead(key);
  if (read === undefined) return undefined;
  const { words } = QUANTITIES[read.what];
  return capitalised(retold(read.of === undefined ? words : `${fedStretchWords(read.of)}: ${words}`));
}
