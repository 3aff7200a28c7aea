// A table whose positions come later than what they set off: a logger that reads its inputs in turn, or columns that were put
// together by hand. No switch is thrown after its motor starts, so the waveform then tells the throws.

import { sampleAt } from '../arrays/index.js';
import { median } from './statistics.js';
import type { CommandedStretch, Trace } from './trace.js';

/** Less lies within a sample or two and the start of a current; later than this it is another throw. Choices of this program, no source. */
const LEAST_S = 0.003;
const MOST_S = 0.3;
/** One delay for all: it differs from throw to throw by no more. Choice of this program, no source. */
const ALIKE_S = 0.03;

/**
 * By how much the told positions lag, s; undefined where they do not, or where not every told throw lags alike at its
 * start and at its end: then it is the unit that does what was not asked of it.
 */
export function toldLateS(
  { timeS }: Pick<Trace, 'timeS'>,
  told: readonly CommandedStretch[],
  seen: readonly CommandedStretch[],
): number | undefined {
  const late: number[] = [];
  const atS = (index: number): number => sampleAt(timeS, Math.min(index, timeS.length - 1));
  for (const { position, from, to } of told) {
    if (position === 'rest') continue;
    const own = seen.find((one) => one.position === position && one.from < to && one.to > from);
    if (!own || own.startUnseen || from === 0) return undefined;
    late.push(atS(from) - atS(own.from));
    if (to < timeS.length) late.push(atS(to) - atS(own.to));
  }
  if (late.length < 2 || Math.min(...late) < LEAST_S || Math.max(...late) > MOST_S) return undefined;
  return Math.max(...late) - Math.min(...late) > ALIKE_S ? undefined : median(late);
}
