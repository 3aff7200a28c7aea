// Energy of one throw, from contact to release: what the motor took, and what the supply gave.

import { sampleAt } from '../arrays/index.js';
import type { Channel } from '../capture/index.js';
import { type Budgets, budgetOf } from './budget.js';
import { type Component, lineOf, type Quantity, quantityOf } from './quantity.js';
import type { Trace } from './trace.js';

/** An integral with more than this part lost is none. Choice of this program, no source. */
const LOST_PART = 0.01;
/** Fewer samples, or a shorter time, hold nothing to integrate. Choice of this program, no source. */
const FEWEST = 10;
const SHORTEST_S = 1e-9;

const exact = (standardUncertainty: number): Component => lineOf(Math.abs(standardUncertainty));

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
  const { timeS } = trace;
  const plus = trace.channels[channels.plus];
  const minus = channels.minus && trace.channels[channels.minus];
  const current = trace.channels[channels.current];
  if (!plus || !current || (channels.minus && !minus) || to - from < FEWEST) return undefined;
  let energyJ = 0;
  let chargeC = 0;
  let fluxVs = 0;
  let plusJ = 0;
  let minusJ = 0;
  let lost = 0;
  for (let i = from; i < to; i++) {
    const stepS = (sampleAt(timeS, Math.min(i + 1, to - 1)) - sampleAt(timeS, Math.max(i - 1, from))) / 2;
    const highV = sampleAt(plus, i);
    const lowV = minus ? sampleAt(minus, i) : 0;
    const amperes = sampleAt(current, i);
    const volts = highV - lowV;
    if (Number.isNaN(volts * amperes)) {
      lost++;
      continue;
    }
    energyJ += volts * amperes * stepS;
    chargeC += amperes * stepS;
    fluxVs += volts * stepS;
    plusJ += highV * amperes * stepS;
    minusJ += lowV * amperes * stepS;
  }
  if (lost > LOST_PART * (to - from)) return undefined;
  const sensor = (channel: Channel, byGainJ: number, byOffset: number): Component[] => {
    const { gain, offset } = budgetOf(budgets, channel);
    return [exact(byGainJ * gain), exact(byOffset * offset)];
  };
  const [fromS, toS] = [sampleAt(timeS, from), sampleAt(timeS, to - 1)];
  const noise = (trace.noise[channels.current] ?? 0) * (fluxVs / Math.sqrt(to - from));
  const ends = trace.stepS * Math.abs(energyJ / Math.max(toS - fromS, SHORTEST_S));
  const components = [
    ...sensor(channels.current, energyJ, fluxVs),
    ...sensor(channels.plus, plusJ, chargeC),
    ...(channels.minus ? sensor(channels.minus, minusJ, chargeC) : []),
    exact(noise),
    exact(ends / Math.sqrt(3)),
  ];
  return quantityOf(energyJ, 'J', components, { fromS, toS });
}
