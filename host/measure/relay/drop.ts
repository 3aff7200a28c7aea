// Contact drop under load: lead B on 30, lead A on the far side of whichever contact carries, both near ground. The same
// difference without load, at the same two places, is taken off: offsets cancel, and dividers that differ in gain matter
// only for the few millivolts by which the levels moved.

import { itemAt, lastOf, sampleAt } from '../../arrays/index.js';
import type { Capture } from '../../capture/index.js';
import { milli } from '../../tell/index.js';
import { type Budgets, budgetOf } from '../budget.js';
import { type Component, lineOf, type Quantity, quantityOf, scaledLines, spanAt } from '../quantity.js';
import type { Told } from '../reading.js';
import { roundingUncertainty } from '../rounding.js';
import { type PooledMean, pooledMean } from './levels.js';
import type { Span } from './stretches.js';

/** Differential non-linearity of the converter, counts (data sheet of the ATmega328P, table of ADC characteristics, typical). */
const DIFFERENTIAL_NONLINEARITY = 0.25;
/** Noise under this part of a count does not carry a mean below the count. */
export const QUIET_PART = 0.3;

const NAMES = {
  make: {
    currentA: 'makeTestCurrentA',
    dropV: 'makeDropV',
    ohm: 'makeResistanceOhm',
    at10AV: 'makeDropAt10AV',
  },
  break: {
    currentA: 'breakTestCurrentA',
    dropV: 'breakDropV',
    ohm: 'breakResistanceOhm',
    at10AV: 'breakDropAt10AV',
  },
} as const;

export interface DropSeen {
  measured: Told;
  notes: string[];
}

/**
 * Drop (V), test current (A), resistance (Ohm) and drop at 10 A (V) of one contact.
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
  const across = leadBVoltageV.map((value, i) => value - sampleAt(leadAVoltageV, i));
  const under = pooledMean(across, loaded);
  const idle = pooledMean(across, zero);
  const channel = feedCurrentA ? 'feedCurrentA' : 'motorCurrentA';
  const current = currentOf(feedCurrentA ?? motorCurrentA, loaded, zero, budgetOf(budgets, channel).gain);
  if (!under || !idle || !current) return none;
  const leads = [
    ['leadAVoltageV', leadAVoltageV],
    ['leadBVoltageV', leadBVoltageV],
  ] as const;
  const components: Component[] = [scatter(under), scatter(idle)];
  const notes: string[] = [];
  for (const [name, values] of leads) {
    const { gain, resolution } = budgetOf(budgets, name);
    const [loadedAt, zeroAt] = [pooledMean(values, loaded), pooledMean(values, zero)];
    if (!loadedAt || !zeroAt) return none;
    const moved = Math.abs(loadedAt.mean - zeroAt.mean);
    components.push(
      lineOf(gain * moved, 'gain'),
      // Within one count the steps of the converter act as a gain of their own.
      lineOf(
        (DIFFERENTIAL_NONLINEARITY / Math.sqrt(3)) * Math.min(moved, resolution),
        'steps of the converter',
      ),
      lineOf(roundingUncertainty(resolution, loadedAt.deviation), 'rounding under load'),
      lineOf(roundingUncertainty(resolution, zeroAt.deviation), 'rounding without load'),
    );
    if (resolution > 0 && Math.min(loadedAt.deviation, zeroAt.deviation) < QUIET_PART * resolution) {
      notes.push(
        `The leads' noise is too small to average below one count of ${milli(resolution, 'V')}; the ${contact} contact's drop is known no better.`,
      );
    }
  }
  const stretch = spanAt(capture.timeS, itemAt(loaded, 0).from, lastOf(loaded).to);
  const drop = quantityOf(under.mean - idle.mean, 'V', components, stretch);
  const names = NAMES[contact];
  const measured: Told = { [names.currentA]: current, [names.dropV]: drop };
  if (current.value > 10 * current.standardUncertainty) {
    const value = drop.value / current.value;
    const resistance = quantityOf(value, 'Ohm', perAmpere(drop, current), stretch);
    measured[names.ohm] = resistance;
    measured[names.at10AV] = quantityOf(10 * value, 'V', scaledLines(resistance, 10), stretch);
  }
  return { measured, notes: [...new Set(notes)] };
}

const scatter = ({ meanU, degreesOfFreedom }: PooledMean): Component =>
  lineOf(meanU, 'scatter', degreesOfFreedom);

const perAmpere = (drop: Quantity, current: Quantity): Component[] => [
  ...scaledLines(drop, 1 / current.value, 'the drop'),
  ...scaledLines(current, drop.value / current.value ** 2, 'the current'),
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
  return quantityOf(value, 'A', [scatter(under), scatter(idle), lineOf(gain * value, 'gain')]);
}
