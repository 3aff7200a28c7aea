// Source resistance: how far the supply falls with the current it gives, from rest through inrush to running.

import { sampleAt } from '../arrays/index.js';
import { type Budgets, budgetOf } from './budget.js';
import { lineOf, type Quantity, quantityOf, spanAt } from './quantity.js';
import { roundingUncertainty } from './rounding.js';
import { RunningLine } from './running-line.js';
import { summarise } from './statistics.js';
import { indexAt, type Trace } from './trace.js';

/** Of the rest before the throw, and of the run after its peak. */
const BEFORE_S = 0.1;
/** Slow channels lag by up to a millisecond: the rise is left out, the fall from the peak is slow enough. */
const AFTER_PEAK_S = 0.002;
/** While the current falls, supply and current were not converted at the same instant; size seen where the truth is known (tests). */
const LAG_PART = 0.008;
/** Blocks of samples that count as one reading: neighbours share interpolation and ripple. */
const BLOCK_S = 0.002;
/** A current that changed: by so much, and so many deviations of a block's noise. Choices of this program, no source. */
const LEAST_SPREAD_A = 0.05;
const CLEAR_OF_NOISE = 5;

/**
 * Slope of supply voltage over current through rest before `contact` and the run from `peak` to `to`. Offsets cancel,
 * the gains do not. Undefined without supply or current, or when the current hardly changed.
 */
export function sourceResistance(
  trace: Trace,
  { contact, peak, to }: { contact: number; peak: number; to: number },
  budgets: Budgets,
): Quantity | undefined {
  const supply = trace.channels.supplyVoltageV;
  const channel = trace.channels.feedCurrentA ? 'feedCurrentA' : 'motorCurrentA';
  const current = trace.channels[channel];
  // A rig feeds coils from the supply ahead of its feed shunt.
  const coil = trace.channels.feedCurrentA ? trace.channels.coilCurrentA : undefined;
  if (!supply || !current || contact < 5) return undefined;
  const before = indexAt(trace, sampleAt(trace.timeS, contact) - BEFORE_S, 0, contact);
  const after = indexAt(trace, sampleAt(trace.timeS, peak) + AFTER_PEAK_S, peak, to);
  const block = Math.max(1, Math.round(BLOCK_S / Math.max(trace.stepS, 1e-9)));
  const points: { i: number; v: number; weight: number }[] = [];
  const gather = (from: number, end: number): void => {
    for (let start = from; start < end; start += block) {
      let i = 0;
      let v = 0;
      let count = 0;
      for (let k = start; k < Math.min(end, start + block); k++) {
        if (Number.isNaN(sampleAt(current, k) + sampleAt(supply, k))) continue;
        i +=
          Math.abs(sampleAt(current, k)) + (coil && !Number.isNaN(sampleAt(coil, k)) ? sampleAt(coil, k) : 0);
        v += sampleAt(supply, k);
        count++;
      }
      if (count > 0) points.push({ i: i / count, v: v / count, weight: count });
    }
  };
  gather(before, Math.max(before, contact - 2));
  const rests = points.length;
  gather(after, to);
  if (rests < 2 || points.length - rests < 3) return undefined;
  const line = new RunningLine();
  for (const { i, v, weight } of points) line.add(i, v, weight);
  const noiseA = trace.noise[channel] ?? 0;
  // Noise of the current itself flattens a slope; its share of the spread is known and taken out.
  const clean = line.sxx - points.length * noiseA ** 2;
  const spreadA = Math.sqrt(Math.max(0, clean) / line.weights);
  if (!(spreadA > Math.max(LEAST_SPREAD_A, (CLEAR_OF_NOISE * noiseA) / Math.sqrt(block)))) return undefined;
  const slope = line.sxy / clean;
  let squares = 0;
  for (const { i, v, weight } of points) squares += weight * (v - line.meanY - slope * (i - line.meanX)) ** 2;
  const dof = points.length - 2;
  const budgetV = budgetOf(budgets, 'supplyVoltageV');
  const budgetA = budgetOf(budgets, channel);
  const rounding = roundingUncertainty(budgetV.resolution, summarise(supply, before, contact).deviation);
  const found = quantityOf(
    -slope,
    'Ohm',
    [
      lineOf(Math.sqrt(squares / dof / clean), 'scatter', dof),
      lineOf(Math.abs(slope) * Math.hypot(budgetV.gain, budgetA.gain), 'gains'),
      lineOf(LAG_PART * Math.abs(slope), 'lag between the slow channels'),
      lineOf(rounding / Math.max(2 * spreadA, 1e-9), 'rounding of the supply'),
    ],
    spanAt(trace.timeS, before, to),
  );
  // No source gives more the more is drawn: that supply went up and down by itself.
  return found.value + found.expandedUncertainty < 0 ? undefined : found;
}
