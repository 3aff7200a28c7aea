// Levels of a stretch that holds still: every channel over its last part.

import { sampleAt } from '../arrays/index.js';
import { CHANNELS } from '../capture/index.js';
import type { Budgets } from './budget.js';
import { levelOf } from './level.js';
import { type Measured, puttingInto } from './reading.js';
import type { Segment } from './segment.js';
import type { CommandedStretch, Trace } from './trace.js';

export interface Tail {
  /** Part of the stretch, and the most of it. */
  part: number;
  mostS: number;
}

/** Puts a level of each channel into `measured` and sets the segment's level stretch; gives its first sample. */
export function tailLevels(
  trace: Trace,
  stretch: CommandedStretch,
  segment: Segment,
  { part, mostS }: Tail,
  { budgets, measured }: { budgets: Budgets; measured: Measured },
): number {
  const tailS = Math.min(mostS, part * (segment.toS - segment.fromS));
  const count = Math.max(3, Math.round(tailS / Math.max(trace.stepS, 1e-6)));
  const from = Math.max(stretch.from, stretch.to - count);
  segment.levelsFromS = sampleAt(trace.timeS, from);
  segment.levelsToS = sampleAt(trace.timeS, stretch.to - 1);
  const put = puttingInto(measured, segment.of);
  for (const channel of CHANNELS) put(channel, levelOf(trace, channel, [from, stretch.to], budgets));
  return from;
}
