// Readings and counts as words of steady width, so that live numbers do not dance.

import type { PlannedStep } from '../bench/index.js';
import { CHANNEL, type Channel } from '../capture/index.js';

/** `+12.3 A`, or `not seen` when there is no sample. */
export function reading(channel: Channel, value: number | undefined): string {
  if (value === undefined) return 'not seen';
  const { unit, decimals, isSigned } = CHANNEL[channel];
  const digits = value.toFixed(decimals);
  // -0.0 would look like a reading of its own.
  const plain = Number(digits) === 0 ? digits.replace('-', '') : digits;
  return `${isSigned && Number(digits) > 0 ? '+' : ''}${plain} ${unit}`.padStart(8);
}

export function edgeLabel(low: number, high: number, unit: string): string {
  const short = (value: number): string => String(Number(value.toPrecision(3)));
  return `${short(low)} to ${short(high)} ${unit}`;
}

export const FEED_WORDS: Record<PlannedStep['feed'], string> = {
  off: 'feed off',
  limited: 'feed limited',
  full: 'full feed',
};

/** Nothing is certain from readings alone, so never 100 %. */
export const percent = (likelihood: number): string =>
  likelihood > 0.99 ? '>99 %' : `${Math.round(likelihood * 100)} %`;

/** Lines of `columns` at most, broken between words; a longer word is broken where it must. */
export function wrapWords(text: string, columns: number): string[] {
  const lines: string[] = [];
  let line = '';
  for (let word of text.split(' ')) {
    while (word.length > columns) {
      if (line !== '') lines.push(line);
      line = '';
      lines.push(word.slice(0, columns));
      word = word.slice(columns);
    }
    if (line === '') line = word;
    else if (line.length + 1 + word.length <= columns) line += ` ${word}`;
    else {
      lines.push(line);
      line = word;
    }
  }
  return [...lines, line];
}
