// Levels of every channel over the last part of a stretch, when whatever moved has come to rest.

import { CHANNELS } from '../capture/index.js';
import type { Budgets } from './budget.js';
import { levelOf } from './level.js';
import type { Measured } from './quantity.js';
import type { Segment } from './segment.js';
import type { CommandedStretch, Trace } from './trace.js';

export interface Tail {
  /** Part of the stretch, and the most of it. */
  part: number;
  mostS: number;
  /** Start of the quantities' names. */
  word: string;
}

/** Named `restLeadAVoltageV` and so on; sets the segment's level stretch, whose first sample is `from`. */
export function tailLevels(
  trace: Trace,
  stretch: CommandedStretch,
  budgets: Budgets,
  segment: Segment,
  { part, mostS, word }: Tail,
): { measured: Measured; from: number } {
  const tailS = Math.min(mostS, part * (segment.toS - segment.fromS));
  const count = Math.max(3, Math.round(tailS / Math.max(trace.stepS, 1e-6)));
  const from = Math.max(stretch.from, stretch.to - count);
  segment.levelsFromS = trace.timeS[from]!;
  segment.levelsToS = trace.timeS[stretch.to - 1]!;
  const measured: Measured = {};
  for (const channel of CHANNELS) {
    const level = levelOf(trace, channel, from, stretch.to, budgets);
    if (level) measured[`${word}${channel[0]!.toUpperCase()}${channel.slice(1)}`] = level;
  }
  return { measured, from };
}
