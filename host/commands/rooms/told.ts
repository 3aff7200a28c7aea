// What a verb writes, as the lines of a page: nothing of it reaches the terminal that the screen has.

import type { CommandIo } from '../command.js';

export const linesOf = (text: string): string[] => text.replace(/\n$/, '').split('\n');

/** Standard output of `run`, and what it would have said of what went wrong. */
export async function told(
  io: CommandIo,
  run: (io: CommandIo) => number | Promise<number>,
): Promise<string[]> {
  let text = '';
  const { terminal: _, stdin: __, ...rest } = io;
  const keep = (piece: string): void => {
    text += piece;
  };
  // The last column stays empty.
  await run({ ...rest, isTty: true, columns: io.columns - 1, stdout: keep, stderr: keep });
  return linesOf(text);
}
