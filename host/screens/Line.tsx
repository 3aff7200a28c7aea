// Words on the screen: cut off at the edge or wrapped between words, without control characters, coloured by tone.

import { Text } from 'ink';
import { wrapWords } from './format.js';
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
