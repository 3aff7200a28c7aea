// Words on the screen: cut off at the edge or wrapped between words, without control characters, coloured by tone.

import { Text } from 'ink';
import { colourOf, printable, type Theme, type Tone } from './theme.js';

export interface LineProps {
  theme: Theme;
  tone?: Tone;
  bold?: boolean;
  /** Wraps at this many columns instead of being cut off at the edge. */
  wrapAt?: number;
  children: string;
}

export function Line({ theme, tone = 'plain', bold = false, wrapAt, children }: LineProps) {
  const text = printable(theme, children);
  return (
    <Text {...colourOf(theme, tone)} bold={bold} wrap="truncate-end">
      {wrapAt === undefined ? text : wrapWords(text, wrapAt).join('\n')}
    </Text>
  );
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
