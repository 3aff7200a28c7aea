// Decay of a dynamic brake's current: an exponential with the motor's mechanical time constant on a shorted armature.

import { sampleAt } from '../arrays/index.js';
import { lineOf, type Quantity, quantityOf } from './quantity.js';
import type { BrakeSeen } from './release.js';
import { RunningLine } from './running-line.js';
import { meanOver } from './statistics.js';
import { HIDDEN, indexAt, type Trace } from './trace.js';

/** The exponential is read between these parts of the peak: above, the winding's own rise bends it; below, friction and noise. */
const FROM_PART = 0.8;
const TO_PART = 0.25;
/** Noise that the low end must stand clear of, and the highest that it may come to lie. Choices of this program, no source. */
const CLEAR_OF_NOISE = 4;
const HIGHEST_LOW_PART = 0.6;
const WITHIN_S = 1;
const SMOOTH_S = 0.001;
/** Fewer independent points draw no line. */
const LEAST_POINTS = 4;
/** What friction and the winding's own time constant leave of an exponential, seen on closed forms (tests). */
const SHAPE_PART = 0.002;

/** Time constant from the brake's peak on; undefined when the fall is too quick, too slow or too noisy to read. */
export function brakeDecay(
  trace: Trace,
  { at: peak, peakA }: BrakeSeen,
  to: number,
  sign: number,
): Quantity | undefined {
  const current = trace.channels.motorCurrentA;
  if (!current) return undefined;
  const noiseA = trace.noise.motorCurrentA ?? 0;
  const lowA = Math.max(TO_PART * peakA, CLEAR_OF_NOISE * noiseA);
  if (!(lowA < HIGHEST_LOW_PART * peakA)) return undefined;
  const end = indexAt(trace, sampleAt(trace.timeS, peak) + WITHIN_S, peak, to);
  const half = Math.max(0, Math.round(SMOOTH_S / Math.max(trace.stepS, 1e-9)) >> 1);
  const line = new RunningLine();
  let isReading = false;
  let ended = false;
  for (let i = peak + half; i + half < end; i++) {
    const value = -sign * meanOver(current, i - half, i + half + 1);
    if (Number.isNaN(value)) return undefined;
    if (!isReading && value < FROM_PART * peakA) isReading = true;
    if (value < lowA) {
      ended = true;
      break;
    }
    if (!isReading || !(-sign * sampleAt(current, i) > 0)) continue;
    // Smoothed, so that the logarithm of noise does not bend the line; its variance is (noise / value) squared.
    line.add(sampleAt(trace.timeS, i) - sampleAt(trace.timeS, peak), Math.log(value), value * value);
  }
  if (!ended || line.n / (2 * half + 1) < LEAST_POINTS || !(line.sxy < 0)) return undefined;
  // Noise alone: ripple swings about the line many times over, and so moves it far less than it scatters.
  const uSlope = (HIDDEN * noiseA) / Math.sqrt(line.sxx);
  const value = -1 / line.slope;
  return quantityOf(
    value,
    's',
    [lineOf(uSlope / line.slope ** 2, 'noise', 50), lineOf(SHAPE_PART * value, 'shape', 50)],
    { fromS: sampleAt(trace.timeS, peak), toS: sampleAt(trace.timeS, peak) + value * Math.log(1 / TO_PART) },
  );
}
