// Decay of a dynamic brake's current: an exponential with the motor's mechanical time constant on a shorted armature.

import { type Quantity, quantityOf } from './quantity.js';
import { HIDDEN, indexAt, type Trace } from './trace.js';

/** The exponential is read between these parts of the peak: above, the winding's own rise bends it; below, friction and noise. */
const FROM_PART = 0.8;
const TO_PART = 0.25;
const WITHIN_S = 1;
const SMOOTH_S = 0.001;

/** Time constant from the brake's peak on; undefined when the fall is too quick, too slow or too noisy to read. */
export function brakeDecay(
  trace: Trace,
  peak: number,
  to: number,
  sign: number,
  peakA: number,
): Quantity | undefined {
  const current = trace.channels.motorCurrentA;
  if (!current) return undefined;
  const noiseA = trace.noise.motorCurrentA ?? 0;
  const lowA = Math.max(TO_PART * peakA, 4 * noiseA);
  if (!(lowA < 0.6 * peakA)) return undefined;
  const end = indexAt(trace, trace.timeS[peak]! + WITHIN_S, peak, to);
  const half = Math.max(0, Math.round(SMOOTH_S / Math.max(trace.stepS, 1e-9)) >> 1);
  let isReading = false;
  let n = 0;
  let weights = 0;
  let meanX = 0;
  let meanY = 0;
  let sxx = 0;
  let sxy = 0;
  let ended = false;
  for (let i = peak + half; i + half < end; i++) {
    let sum = 0;
    for (let k = i - half; k <= i + half; k++) sum -= sign * current[k]!;
    const value = sum / (2 * half + 1);
    if (Number.isNaN(value)) return undefined;
    if (!isReading && value < FROM_PART * peakA) isReading = true;
    if (value < lowA) {
      ended = true;
      break;
    }
    if (!isReading) continue;
    const own = -sign * current[i]!;
    if (!(own > 0)) continue;
    // The logarithm's variance is (noise / value) squared.
    const weight = value * value;
    const x = trace.timeS[i]! - trace.timeS[peak]!;
    // Smoothed, so that the logarithm of noise does not bend the line.
    const y = Math.log(value);
    n++;
    weights += weight;
    const dx = x - meanX;
    meanX += (weight * dx) / weights;
    meanY += (weight * (y - meanY)) / weights;
    sxx += weight * dx * (x - meanX);
    sxy += weight * dx * (y - meanY);
  }
  const independent = n / (2 * half + 1);
  if (!ended || independent < 4 || !(sxy < 0)) return undefined;
  const slope = sxy / sxx;
  // Noise alone: ripple swings about the line many times over, and so moves it far less than it scatters.
  const uSlope = (HIDDEN * noiseA) / Math.sqrt(sxx);
  const value = -1 / slope;
  return quantityOf(
    value,
    's',
    [
      { standardUncertainty: uSlope / slope ** 2, degreesOfFreedom: 50, source: 'noise' },
      // What friction and the winding's own time constant leave of an exponential, seen on closed forms.
      { standardUncertainty: 0.002 * value, degreesOfFreedom: 50, source: 'shape' },
    ],
    { fromS: trace.timeS[peak]!, toS: trace.timeS[peak]! + value * Math.log(1 / TO_PART) },
  );
}
