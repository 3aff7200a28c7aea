// Energy of one throw, from contact to release: what the motor took, and what the supply gave.

import type { Channel } from '../capture/index.js';
import { type Budgets, budgetOf } from './budget.js';
import { type Quantity, quantityOf } from './quantity.js';
import type { Trace } from './trace.js';

/** An integral with more than this part lost is none. */
const LOST_PART = 0.01;
const EXACT = Number.POSITIVE_INFINITY;

/**
 * Integral of voltage times current over samples [from, to), J; `plus` minus `minus` is the voltage. Undefined when a
 * channel is absent or samples were lost. Gain and offset of both sensors make its uncertainty; noise averages out.
 */
export function energyOf(
  trace: Trace,
  channels: { plus: Channel; minus?: Channel; current: Channel },
  from: number,
  to: number,
  budgets: Budgets,
): Quantity | undefined {
  const plus = trace.channels[channels.plus];
  const minus = channels.minus === undefined ? undefined : trace.channels[channels.minus];
  const current = trace.channels[channels.current];
  if (!plus || !current || (channels.minus !== undefined && !minus) || to - from < 10) return undefined;
  let energyJ = 0;
  let chargeC = 0;
  let fluxVs = 0;
  let plusJ = 0;
  let minusJ = 0;
  let lost = 0;
  for (let i = from; i < to; i++) {
    const stepS = (trace.timeS[Math.min(i + 1, to - 1)]! - trace.timeS[Math.max(i - 1, from)]!) / 2;
    const low = minus?.[i] ?? 0;
    const volts = plus[i]! - low;
    const amperes = current[i]!;
    if (Number.isNaN(volts * amperes)) {
      lost++;
      continue;
    }
    energyJ += volts * amperes * stepS;
    chargeC += amperes * stepS;
    fluxVs += volts * stepS;
    plusJ += plus[i]! * amperes * stepS;
    minusJ += low * amperes * stepS;
  }
  if (lost > LOST_PART * (to - from)) return undefined;
  const currentBudget = budgetOf(budgets, channels.current);
  const part = (standardUncertainty: number) => ({
    standardUncertainty: Math.abs(standardUncertainty),
    degreesOfFreedom: EXACT,
  });
  const components = [part(energyJ * currentBudget.gain), part(fluxVs * currentBudget.offset)];
  for (const [channel, joules] of [
    [channels.plus, plusJ],
    [channels.minus, minusJ],
  ] as const) {
    if (channel === undefined) continue;
    const budget = budgetOf(budgets, channel);
    components.push(part(joules * budget.gain), part(chargeC * budget.offset));
  }
  const noise = (trace.noise[channels.current] ?? 0) * (fluxVs / Math.sqrt(to - from));
  const ends = trace.stepS * Math.abs(energyJ / Math.max(trace.timeS[to - 1]! - trace.timeS[from]!, 1e-9));
  components.push(part(noise), part(ends / Math.sqrt(3)));
  return quantityOf(energyJ, 'J', components, { fromS: trace.timeS[from]!, toS: trace.timeS[to - 1]! });
}
