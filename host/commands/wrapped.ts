// A line as a terminal bears it, for what talks in lines; in a pipe a line is a line.

import { wrapWords } from '../tell/index.js';
import type { CommandIo } from './command.js';

/** In a terminal broken between words, under the line's own indent. */
export function wrapped(line: string, { isTty, columns }: Pick<CommandIo, 'isTty' | 'columns'>): string[] {
  if (!isTty || line.length < columns) return [line];
  const indent = line.length - line.trimStart().length;
  return wrapWords(line.trimStart(), columns - 1 - indent).map((part) => `${' '.repeat(indent)}${part}`);
}
