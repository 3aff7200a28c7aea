// Contact drop under load: lead B on 30, lead A on the far side of whichever contact carries, both near ground. The same
// difference without load, at the same two places, is taken off: offsets cancel, and dividers that differ in gain matter
// only for the few millivolts by which the levels moved.

import type { Capture } from '../../capture/index.js';
import { type Budgets, budgetOf } from '../budget.js';
import { type Component, type Measured, type Quantity, quantityOf } from '../quantity.js';
import { roundingUncertainty } from '../rounding.js';
import { type PooledMean, pooledMean } from './levels.js';
import type { Span } from './stretches.js';

/** Differential non-linearity of the converter, counts (data sheet of the ATmega328P, table of ADC characteristics, typical). */
const DIFFERENTIAL_NONLINEARITY = 0.25;
const EXACT = Number.POSITIVE_INFINITY;
/** Noise under this part of a count does not carry a mean below the count. */
export const QUIET_PART = 0.3;

export interface DropSeen {
  measured: Measured;
  notes: string[];
}

/**
 * `contact` names the quantities: drop (V), test current (A), resistance (Ohm) and drop at 10 A (V).
 * Nothing is measured without both leads, a current, and a zero.
 */
export function dropOf(
  capture: Capture,
  contact: 'make' | 'break',
  loaded: readonly Span[],
  zero: readonly Span[],
  budgets: Budgets,
): DropSeen {
  const { leadAVoltageV, leadBVoltageV, feedCurrentA, motorCurrentA } = capture.channels;
  const none = { measured: {}, notes: [] };
  if (!leadAVoltageV || !leadBVoltageV || loaded.length === 0) return none;
  if (zero.length === 0)
    return { measured: {}, notes: [`No stretch without load: the ${contact} contact's drop has no zero.`] };
  const across = leadBVoltageV.map((value, i) => value - leadAVoltageV[i]!);
  const under = pooledMean(across, loaded);
  const idle = pooledMean(across, zero);
  const channel = feedCurrentA ? 'feedCurrentA' : 'motorCurrentA';
  const current = currentOf(feedCurrentA ?? motorCurrentA, loaded, zero, budgetOf(budgets, channel).gain);
  if (!under || !idle || !current) return none;
  const leads = (['leadAVoltageV', 'leadBVoltageV'] as const).map((name) => {
    const values = capture.channels[name]!;
    const { gain, resolution } = budgetOf(budgets, name);
    const [loadedAt, zeroAt] = [pooledMean(values, loaded), pooledMean(values, zero)];
    return { gain, resolution, loadedAt, zeroAt };
  });
  const components: Component[] = [scatter(under), scatter(idle)];
  const notes: string[] = [];
  for (const { gain, resolution, loadedAt, zeroAt } of leads) {
    if (!loadedAt || !zeroAt) return none;
    const moved = Math.abs(loadedAt.mean - zeroAt.mean);
    components.push(
      exact(gain * moved),
      // Within one count the steps of the converter act as a gain of their own.
      exact((DIFFERENTIAL_NONLINEARITY / Math.sqrt(3)) * Math.min(moved, resolution)),
      exact(roundingUncertainty(resolution, loadedAt.deviation)),
      exact(roundingUncertainty(resolution, zeroAt.deviation)),
    );
    if (resolution > 0 && Math.min(loadedAt.deviation, zeroAt.deviation) < QUIET_PART * resolution) {
      notes.push(
        `The leads' noise is too small to average below one count of ${(1000 * resolution).toFixed(0)} mV; the ${contact} contact's drop is known no better.`,
      );
    }
  }
  const stretch = {
    fromS: capture.timeS[loaded[0]!.from]!,
    toS: capture.timeS[loaded.at(-1)!.to - 1]!,
  };
  const drop = quantityOf(under.mean - idle.mean, 'V', components, stretch);
  const measured: Measured = {
    [`${contact}TestCurrentA`]: current,
    [`${contact}DropV`]: drop,
  };
  if (current.value > 10 * current.standardUncertainty) {
    const value = drop.value / current.value;
    const resistance = quantityOf(value, 'Ohm', perAmpere(drop, current), stretch);
    measured[`${contact}ResistanceOhm`] = resistance;
    measured[`${contact}DropAt10AV`] = quantityOf(
      10 * value,
      'V',
      [{ ...resistance, standardUncertainty: 10 * resistance.standardUncertainty }],
      stretch,
    );
  }
  return { measured, notes: [...new Set(notes)] };
}

const exact = (standardUncertainty: number): Component => ({ standardUncertainty, degreesOfFreedom: EXACT });

const scatter = ({ meanU, degreesOfFreedom }: PooledMean): Component => ({
  standardUncertainty: meanU,
  degreesOfFreedom,
});

const perAmpere = (drop: Quantity, current: Quantity): Component[] => [
  { ...drop, standardUncertainty: drop.standardUncertainty / Math.abs(current.value) },
  {
    ...current,
    standardUncertainty: Math.abs((drop.value * current.standardUncertainty) / current.value ** 2),
  },
];

function currentOf(
  values: Float64Array | undefined,
  loaded: readonly Span[],
  zero: readonly Span[],
  gain: number,
): Quantity | undefined {
  const under = pooledMean(values, loaded);
  const idle = pooledMean(values, zero);
  if (!under || !idle) return undefined;
  const value = Math.abs(under.mean - idle.mean);
  return quantityOf(value, 'A', [scatter(under), scatter(idle), exact(gain * value)]);
}
