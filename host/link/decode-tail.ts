// Saves what is whole of a line that is not.

import { type BoardLine, decodeLine } from '../../firmware-protocol/index.js';

/**
 * A line that lost its end, as by a reset in the middle of a frame, runs into the next one. Neither `~` nor `!` stands
 * inside a line, so the last of them begins what may still be whole.
 */
export function decodeTail(text: string): BoardLine {
  const start = Math.max(text.lastIndexOf('~'), text.lastIndexOf('!'));
  return start > 0 ? decodeLine(text.slice(start)) : { kind: 'rubbish', why: 'form' };
}
