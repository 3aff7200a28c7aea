// How far the zero of a current moved between the rests on either side of a throw: it may have stood anywhere between
// them meanwhile, and that weighs on a small current.

import { sampleAt } from '../arrays/index.js';
import type { Budgets } from './budget.js';
import { budgetOf } from './budget.js';
import { independentCount, median, summarise } from './statistics.js';
import { type CommandedStretch, indexAt, type Trace } from './trace.js';

/** The last part of a rest: whatever brakes or falls has gone by then. */
const TAIL_PART = 0.3;
const TAIL_S = 0.5;
/** A shorter tail tells no zero. Choice of this program, no source. */
const LEAST_S = 0.02;
const LEAST_SAMPLES = 10;
/** What differs by more than this part of the current that ran goes on being driven, and is no zero. Choice of this program, no source. */
const MOST_PART = 0.2;

/** `budgets` with the drift of each current over the throw `at` of `stretches`; as they are where no rest stands on both sides. */
export function withDrift(
  trace: Trace,
  stretches: readonly CommandedStretch[],
  at: number,
  budgets: Budgets,
): Budgets {
  const [before, held, behind] = [stretches[at - 1], stretches[at], stretches[at + 1]];
  if (!before || !held || !behind || before.position !== 'rest' || behind.position !== 'rest') return budgets;
  const told: Budgets = { ...budgets };
  for (const channel of ['motorCurrentA', 'feedCurrentA'] as const) {
    const values = trace.channels[channel];
    if (!values) continue;
    const [zero, later] = [zeroOf(trace, values, before), zeroOf(trace, values, behind)];
    if (!zero || !later) continue;
    const movedA = Math.abs(later.mean - zero.mean);
    const ranA = Math.abs(median(values, (held.from + held.to) >> 1, held.to));
    if (movedA > MOST_PART * ranA) continue;
    // What the scatter of both means makes of a difference is none.
    const driftA = Math.sqrt(Math.max(0, movedA ** 2 - 4 * (zero.variance + later.variance)) / 3);
    const budget = budgetOf(budgets, channel);
    if (driftA > 0) told[channel] = { ...budget, drift: Math.hypot(budget.drift ?? 0, driftA) };
  }
  return told;
}

function zeroOf(
  trace: Trace,
  values: Float64Array,
  { from, to }: CommandedStretch,
): { mean: number; variance: number } | undefined {
  const endS = sampleAt(trace.timeS, to - 1);
  const tailS = Math.min(TAIL_S, TAIL_PART * (endS - sampleAt(trace.timeS, from)));
  if (tailS < LEAST_S) return undefined;
  const first = indexAt(trace, endS - tailS, from, to);
  const window = values.subarray(first, to);
  const summary = summarise(window);
  if (summary.count < LEAST_SAMPLES) return undefined;
  return { mean: summary.mean, variance: summary.deviation ** 2 / independentCount(window, summary) };
}
