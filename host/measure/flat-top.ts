// The flat top of a current-limited supply: the current stands at the limit while the voltage comes up, then breaks away.

import { type Budgets, budgetOf, systematic } from './budget.js';
import { type Quantity, quantityOf } from './quantity.js';
import { quantile, summarise } from './statistics.js';
import { indexAt, type Trace } from './trace.js';

/** A start's own rounded peak stays within the tolerance for less than this (common practice, no source). */
const SHORTEST_S = 0.008;
const TOLERANCE_PART = 0.01;
/** While the limit holds, the starved voltage rises by at least this part of the supply as the motor speeds up. */
const VOLTAGE_RISE_PART = 0.05;
/** Without a voltage: what the current must fall in as long again. */
const FALL_PART = 0.15;
const SMOOTH_S = 0.001;
const WITHIN_S = 1;

export interface FlatTop {
  currentA: Quantity;
  lastedS: Quantity;
}

/** Flat top of `current` (sign taken out) after `contact`; undefined when there is none. */
export function flatTopOf(
  trace: Trace,
  current: Float64Array,
  channel: 'motorCurrentA' | 'feedCurrentA',
  contact: number,
  to: number,
  supplyV: number,
  budgets: Budgets,
): FlatTop | undefined {
  const end = indexAt(trace, trace.timeS[contact]! + WITHIN_S, contact, to);
  const width = Math.max(1, Math.round(SMOOTH_S / Math.max(trace.stepS, 1e-9)));
  if (end - contact < 5 * width) return undefined;
  const smooth = new Float64Array(end - contact - width + 1);
  let sum = 0;
  for (let i = contact; i < end; i++) {
    sum += current[i]!;
    if (i - contact >= width) sum -= current[i - width]!;
    if (i - contact >= width - 1) smooth[i - contact - width + 1] = sum / width;
    if (Number.isNaN(sum)) return undefined;
  }
  const noiseA = (trace.noise[channel] ?? 0) / Math.sqrt(width);
  // A spike shorter than the top must not stand for it.
  const needed = Math.round(SHORTEST_S / Math.max(trace.stepS, 1e-9));
  if (smooth.length < needed) return undefined;
  const topA = quantile(smooth, 1 - Math.min(0.5, (0.5 * needed) / smooth.length));
  const toleranceA = TOLERANCE_PART * topA + 2.5 * noiseA;
  let best: [number, number] = [0, 0];
  for (let i = 0, from = -1; i <= smooth.length; i++) {
    const isFlat = i < smooth.length && Math.abs(smooth[i]! - topA) <= toleranceA;
    if (isFlat && from < 0) from = i;
    if (!isFlat && from >= 0) {
      if (i - from > best[1] - best[0]) best = [from, i];
      from = -1;
    }
  }
  const [from, until] = best;
  if (until - from < needed || until >= smooth.length) return undefined;
  const first = contact + from;
  const last = contact + until + width - 1;
  if (!breaksAway(trace, smooth, [from, until], [first, last], topA, supplyV)) return undefined;
  const { mean, deviation, count } = summarise(current, first + width, last - width);
  if (count < 3) return undefined;
  const fromS = trace.timeS[first]!;
  const toS = trace.timeS[last]!;
  return {
    currentA: quantityOf(
      mean,
      'A',
      [
        { standardUncertainty: deviation / Math.sqrt(count), degreesOfFreedom: count - 1 },
        ...systematic(budgetOf(budgets, channel), mean, deviation),
      ],
      { fromS, toS },
    ),
    lastedS: quantityOf(
      toS - fromS - width * trace.stepS,
      's',
      [{ standardUncertainty: width * trace.stepS, degreesOfFreedom: 50 }],
      { fromS, toS },
    ),
  };
}

function breaksAway(
  trace: Trace,
  smooth: Float64Array,
  [from, until]: [number, number],
  [first, last]: [number, number],
  topA: number,
  supplyV: number,
): boolean {
  const voltage = trace.motorVoltageV ?? trace.channels.supplyVoltageV;
  if (voltage) {
    const fifth = Math.max(2, Math.floor((last - first) / 5));
    const rise =
      Math.abs(summarise(voltage, last - fifth, last).mean) -
      Math.abs(summarise(voltage, first + 2, first + 2 + fifth).mean);
    return rise > VOLTAGE_RISE_PART * supplyV;
  }
  const next = until + (until - from);
  return next < smooth.length && smooth[next]! < (1 - FALL_PART) * topA;
}
