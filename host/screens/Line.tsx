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
  /** Of several lines, each as it is. */
  isWhole?: boolean;
  children: string;
}

export function Line({ theme, tone = 'plain', bold = false, wrapAt, isWhole, children }: LineProps) {
  const text = isWhole
    ? children
        .split('\n')
        .map((line) => printable(theme, line))
        .join('\n')
    : printable(theme, children);
  return (
    <Text {...colourOf(theme, tone)} bold={bold} wrap="truncate-end">
      {wrapAt === undefined ? text : wrapWords(text, wrapAt).join('\n')}
    </Text>
  );
}
