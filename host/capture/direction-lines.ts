// Two columns of a logger's logic inputs that tell which way is thrown: one for forward, one for reverse. Taken where they
// hold together; where they do not, the waveform tells the throws, and that is said.

import type { Position } from './positions.js';

/** Columns that tell a direction each; one alone may leave the other untold. */
export interface DirectionLines {
  forward: number | undefined;
  reverse: number | undefined;
}

const FORWARD = /(?:^|[^a-z])(?:fwd|forwards?)(?:$|[^a-z])/i;
const REVERSE = /(?:^|[^a-z])(?:rev|reverse|bwd|backwards?)(?:$|[^a-z])/i;

/** The columns that are headed so, of those in `free`; undefined where none is, or where several are. */
export function directionLines(
  titles: readonly string[],
  free: Iterable<number>,
): DirectionLines | undefined {
  const open = [...free].sort((a, b) => a - b);
  const headed = (pattern: RegExp, other: RegExp): number[] =>
    open.filter((c) => pattern.test(titles[c] ?? '') && !other.test(titles[c] ?? ''));
  const [forward, reverse] = [headed(FORWARD, REVERSE), headed(REVERSE, FORWARD)];
  if (forward.length > 1 || reverse.length > 1 || forward.length + reverse.length === 0) return undefined;
  return { forward: forward[0], reverse: reverse[0] };
}

const HIGH = new Set(['1', 'high', 'h', 'hi', 'true', 't', 'on', 'yes', 'y']);
const LOW = new Set(['0', 'low', 'l', 'lo', 'false', 'f', 'off', 'no', 'n', '']);

/** Whether a line of logic is high; undefined where the cell is no logic. */
function isHigh(cell: string): boolean | undefined {
  const word = cell.trim().toLowerCase();
  if (/^[-+]?\d+(?:[.,]0*)?$/.test(word)) {
    const value = Number.parseInt(word, 10);
    return value === 1 ? true : value === 0 ? false : undefined;
  }
  return HIGH.has(word) ? true : LOW.has(word) ? false : undefined;
}

/** The positions that both columns tell, high where it is thrown or low where both stand high at rest; or why not. */
export function positionsOfLines(
  forward: readonly string[],
  reverse: readonly string[],
): { position: Position[]; isLowActive: boolean } | { why: string } {
  const [a, b] = [forward.map(isHigh), reverse.map(isHigh)];
  if (a.includes(undefined) || b.includes(undefined)) return { why: 'hold more than high and low' };
  const seen = new Set(a.map((one, i) => `${one} ${b[i]}`));
  const [areHigh, areLow] = [seen.has('true true'), seen.has('false false')];
  if (areHigh === areLow)
    return {
      why: areHigh ? 'tell both directions at once in some rows' : 'tell no rest',
    };
  const position = a.map((one, i): Position => {
    const [isForward, isReverse] = [one === areLow, b[i] === areLow];
    return isForward ? 'forward' : isReverse ? 'reverse' : 'rest';
  });
  return { position, isLowActive: areHigh };
}
