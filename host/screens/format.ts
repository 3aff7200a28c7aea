// Readings and counts as words of steady width, so that live numbers do not dance.

import { CHANNEL, type Channel } from '../capture/index.js';
import { amount } from '../tell/index.js';

/** `+12.3 A`, or `not seen` when there is no sample. */
export function reading(channel: Channel, value: number | undefined): string {
  if (value === undefined) return 'not seen';
  const { unit, decimals, isSigned } = CHANNEL[channel];
  const told = amount(value, unit, decimals);
  return `${isSigned && Number.parseFloat(told) > 0 ? '+' : ''}${told}`.padStart(8);
}

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
