// The armature's mark in the coil current: while it moves, the growing inductance holds the current down. Proves
// movement without touching a contact. On release the mark is a rise, seen only where the current goes on by itself
// through a diode or resistor that the current sensor lies inside of.

import { itemAt, sampleAt } from '../../arrays/index.js';
import type { Capture } from '../../capture/index.js';
import { type Budgets, budgetOf } from '../budget.js';
import { countOf, lineOf, quantityOf } from '../quantity.js';
import type { Told } from '../reading.js';
import { noiseOf, summarise } from '../statistics.js';
import { armatureOf } from './armature.js';
import { edgeTime } from './edges.js';
import type { CoilCycle } from './stretches.js';

/** An armature has landed by then (longest published operate time 10 ms, with room for a slow one). */
const WINDOW_S = 0.05;
/** Counts, or deviations of the averaged noise, that a mark must be deep. */
const COUNTS = 1.5;
const DEVIATIONS = 7;

/** Each sample with its two neighbours: a dip lasts a millisecond, noise one sample. */
const smoothed = (values: Float64Array): Float64Array =>
  values.map(
    (value, j) =>
      (sampleAt(values, Math.max(0, j - 1)) + value + sampleAt(values, Math.min(values.length - 1, j + 1))) /
      3,
  );

/** All cycles laid over one another from their own coil edge; NaN where none has a sample. */
function laidOver(
  coil: Float64Array,
  starts: readonly number[],
  ends: readonly number[],
  stepS: number,
): { mean: Float64Array; noise: number } {
  const length = Math.round(WINDOW_S / stepS);
  const sum = new Float64Array(length);
  const count = new Float64Array(length);
  let noise = 0;
  starts.forEach((start, k) => {
    noise += noiseOf(coil, start, Math.min(itemAt(ends, k), start + length));
    for (let j = 0; j < length && start + j < itemAt(ends, k); j++) {
      const value = sampleAt(coil, start + j);
      if (Number.isNaN(value)) continue;
      sum[j] = sampleAt(sum, j) + value;
      count[j] = sampleAt(count, j) + 1;
    }
  });
  return {
    mean: smoothed(sum.map((value, j) => value / sampleAt(count, j))),
    noise: starts.length > 0 ? noise / starts.length / Math.sqrt(3 * starts.length) : 0,
  };
}

export function dipsOf(
  capture: Capture,
  cycles: readonly CoilCycle[],
  stepS: number,
  budgets: Budgets,
): Told {
  const { timeS } = capture;
  const coil = capture.channels.coilCurrentA;
  if (!coil || cycles.length === 0) return {};
  const { resolution } = budgetOf(budgets, 'coilCurrentA');
  const told: Told = {};
  const supply = capture.channels.supplyVoltageV;
  const look = (
    timeAt: 'dipS' | 'releaseRiseS',
    depthAt: 'dipDepthA' | 'releaseRiseDepthA',
    sign: 1 | -1,
  ): void => {
    const starts = cycles.map(({ on, off }) => (sign === 1 ? on : off));
    const ends = cycles.map(({ off, to }) => (sign === 1 ? off : to));
    const { mean, noise } = laidOver(coil, starts, ends, stepS);
    const supplied = supply && laidOver(supply, starts, ends, stepS).mean;
    const usualV = supplied ? summarise(supplied).mean : Number.NaN;
    const seen = armatureOf({
      values: sign === 1 ? mean : mean.map((value) => -value),
      stepS,
      leastDepth: Math.max(COUNTS * resolution, DEVIATIONS * noise),
      noise,
      ...(supplied && usualV > 0 ? { supplyPart: supplied.map((value) => value / usualV) } : {}),
    });
    if (sign === 1 && seen.kind !== 'unknown') told.armatureMoves = countOf(seen.kind === 'moved' ? 1 : 0);
    if (seen.kind !== 'moved') return;
    const { depth, at } = seen;
    const lagS = starts.reduce((sum, i) => sum + sampleAt(timeS, i) - edgeTime(timeS, i), 0) / starts.length;
    // The bottom is flat within the noise for about a sample either way.
    told[timeAt] = quantityOf(at * stepS + lagS, 's', [lineOf(stepS, 'flat bottom')]);
    const depthU = Math.hypot(noise, resolution / Math.sqrt(12)) * Math.SQRT2;
    told[depthAt] = quantityOf(depth, 'A', [lineOf(depthU, 'noise and rounding', 10)]);
  };
  look('dipS', 'dipDepthA', 1);
  look('releaseRiseS', 'releaseRiseDepthA', -1);
  return told;
}
