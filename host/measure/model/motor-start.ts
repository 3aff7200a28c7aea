// A first guess of a motor from the shape of its current, near enough for the fit to find the rest.

import { sampleAt } from '../../arrays/index.js';
import { median } from '../statistics.js';
import type { MotorElectrical } from './motor-parameters.js';
import { CLOSED, type MotorRows } from './motor-rows.js';

/** L/R of small brushed motors lies around this (common practice, no source). */
export const USUAL_ELECTRICAL_S = 1.5e-3;
/** How far L/R strays from that, as a factor's logarithm; wide. */
export const ELECTRICAL_SPREAD = 1.5;

/** By the peak the motor has begun to turn: this part of the voltage is not yet back-EMF (a guess; the fit finds the rest). */
const STANDING_PART = 0.85;
const LEAST_V = 0.1;
/** What keeps this part of the voltage is still driven, and this part of the running current is constant friction (guesses, too). */
const DRIVEN_PART = 0.3;
const COULOMB_PART = 0.5;
/** From here on between peak and end a motor has run up (a guess as well). */
const SETTLED_PART = 0.6;

/** Undefined when no current flows that a motor could be seen in. */
export function firstGuess(rows: MotorRows, brushDropV: number): MotorElectrical | undefined {
  const { count, currentA, voltageV, mode, stepS } = rows;
  let peak = -1;
  for (let k = 0; k < count; k++) {
    if (mode[k] !== CLOSED || sampleAt(currentA, k) * sampleAt(voltageV, k) <= 0) continue;
    if (peak < 0 || Math.abs(sampleAt(currentA, k)) > Math.abs(sampleAt(currentA, peak))) peak = k;
  }
  if (peak < 0 || Math.abs(sampleAt(currentA, peak)) < 5 * rows.currentNoiseA) return undefined;
  const way = Math.sign(sampleAt(currentA, peak));
  const peakA = Math.abs(sampleAt(currentA, peak));
  const resistanceOhm =
    (STANDING_PART * Math.max(LEAST_V, way * sampleAt(voltageV, peak) - brushDropV)) / peakA;
  let end = peak;
  while (
    end + 1 < count &&
    mode[end + 1] === CLOSED &&
    way * sampleAt(voltageV, end + 1) > DRIVEN_PART * way * sampleAt(voltageV, peak)
  )
    end++;
  // The last row may already lie on the release.
  const last = Math.max(peak, end - 3);
  // A dip of the supply may end the stretch, and starve the last rows.
  const settled = Math.floor(peak + SETTLED_PART * (last - peak));
  const runningA = Math.max(0.01, way * median(currentA, Math.min(settled, last), last + 1));
  const emfV = Math.max(0.5, way * sampleAt(voltageV, last) - resistanceOhm * runningA - brushDropV);
  let charge = 0;
  for (let k = peak; k <= last; k++)
    charge += Math.max(0, way * sampleAt(currentA, k) - runningA) * sampleAt(stepS, k);
  const capacitanceF = Math.max(charge / emfV, 0.002 / resistanceOhm);
  return {
    resistanceOhm,
    inductanceH: resistanceOhm * USUAL_ELECTRICAL_S,
    capacitanceF,
    conductanceS: ((1 - COULOMB_PART) * runningA) / emfV,
    coulombA: COULOMB_PART * runningA,
    brushDropV,
  };
}
