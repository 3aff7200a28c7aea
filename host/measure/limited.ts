// A stretch driven through the limited feed: where the leads stand and what flows. No inrush, no running level.

import { CHANNELS } from '../capture/index.js';
import type { Budgets } from './budget.js';
import { differenceOf, levelOf } from './level.js';
import type { Measured } from './quantity.js';
import type { Segment } from './segment.js';
import type { CommandedStretch, Trace } from './trace.js';

/** Levels come from the last part: relay, bounce and the motor's first movement are over. */
const TAIL_PART = 0.3;
const TAIL_S = 0.1;

/** Levels of every channel, named `limitedForwardLeadAVoltageV` and so on; sets the segment's level stretch. */
export function limitedLevels(
  trace: Trace,
  stretch: CommandedStretch,
  budgets: Budgets,
  segment: Segment,
): Measured {
  const tailS = Math.min(TAIL_S, TAIL_PART * (segment.toS - segment.fromS));
  const count = Math.max(3, Math.round(tailS / Math.max(trace.stepS, 1e-6)));
  const from = Math.max(stretch.from, stretch.to - count);
  segment.levelsFromS = trace.timeS[from]!;
  segment.levelsToS = trace.timeS[stretch.to - 1]!;
  const measured: Measured = {};
  for (const channel of CHANNELS) {
    const level = levelOf(trace, channel, from, stretch.to, budgets);
    if (level) measured[`${segment.name}${channel[0]!.toUpperCase()}${channel.slice(1)}`] = level;
  }
  const a = measured[`${segment.name}LeadAVoltageV`];
  const b = measured[`${segment.name}LeadBVoltageV`];
  if (a && b && stretch.position !== 'rest') measured[`${segment.name}MotorVoltageV`] = differenceOf(a, b);
  return measured;
}
