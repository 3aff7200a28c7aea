// The ripples of one turn, one by one: the running current folded at the shaft's rate shows a segment that is missing
// or strikes too deep, which a spectrum only hints at.

import { median } from './statistics.js';

export interface Turn {
  /** Ripples of less than half the usual amplitude. */
  missing: number;
  /** Ripples of more than twice the usual amplitude. */
  deep: number;
  /** Highest minus lowest ripple of the turn, per cent of the usual one; noise leaves some. */
  unevenPercent: number;
  /** Standard uncertainty of one ripple's amplitude, per cent of the usual one. */
  noisePercent: number;
  /** Amplitude of the line at the shaft's rate. */
  shaftRateA: number;
}

const MISSING_PART = 0.5;
const DEEP_PART = 2;
/** The usual ripple must stand so many of its own uncertainties clear, or an uneven one proves nothing. */
const CLEAR = 6;
/** Fewer turns than this do not average out what is no part of the turn. */
const LEAST_TURNS = 3;

/**
 * @param ripplePerSample frequency of the ripple in periods a sample.
 * @param noiseA deviation of one sample. Undefined when too few turns or too much noise.
 */
export function turnOf(
  current: Float64Array,
  ripplePerSample: number,
  perTurn: number,
  noiseA: number,
): Turn | undefined {
  const count = current.length;
  const turns = (count * ripplePerSample) / perTurn;
  if (!(turns >= LEAST_TURNS)) return undefined;
  // A straight line out first: the motor may still be settling.
  let slope = 0;
  let mean = 0;
  const middle = (count - 1) / 2;
  for (let i = 0; i < count; i++) {
    mean += current[i]! / count;
    slope += ((i - middle) * current[i]! * 12) / (count * (count * count - 1));
  }
  const level = (i: number): number => current[i]! - mean - slope * (i - middle);
  // Phase of the ripple, so that a turn is cut where its ripples are lowest.
  let cosine = 0;
  let sine = 0;
  let shaftCosine = 0;
  let shaftSine = 0;
  for (let i = 0; i < count; i++) {
    const angle = 2 * Math.PI * ripplePerSample * i;
    const value = level(i);
    cosine += value * Math.cos(angle);
    sine += value * Math.sin(angle);
    shaftCosine += value * Math.cos(angle / perTurn);
    shaftSine += value * Math.sin(angle / perTurn);
  }
  const lead = Math.atan2(sine, cosine) / (2 * Math.PI) - 0.5;
  const sums = Array.from({ length: perTurn }, () => ({ c: 0, s: 0, cc: 0, ss: 0, cs: 0 }));
  for (let i = 0; i < count; i++) {
    const phase = ripplePerSample * i - lead;
    const slot = ((Math.floor(phase) % perTurn) + perTurn) % perTurn;
    const sum = sums[slot]!;
    const c = Math.cos(2 * Math.PI * phase);
    const s = Math.sin(2 * Math.PI * phase);
    const value = level(i);
    sum.c += c * value;
    sum.s += s * value;
    sum.cc += c * c;
    sum.ss += s * s;
    sum.cs += c * s;
  }
  const amplitudes = sums.map(({ c, s, cc, ss, cs }) => {
    const det = cc * ss - cs * cs;
    return det > 0 ? Math.hypot(c * ss - s * cs, s * cc - c * cs) / det : Number.NaN;
  });
  if (amplitudes.some(Number.isNaN)) return undefined;
  const usual = median(amplitudes);
  const rippleNoiseA = noiseA * Math.sqrt((2 * perTurn) / count);
  if (!(usual > CLEAR * rippleNoiseA)) return undefined;
  return {
    missing: amplitudes.filter((amplitude) => amplitude < MISSING_PART * usual).length,
    deep: amplitudes.filter((amplitude) => amplitude > DEEP_PART * usual).length,
    unevenPercent: (100 * (Math.max(...amplitudes) - Math.min(...amplitudes))) / usual,
    noisePercent: (100 * rippleNoiseA) / usual,
    shaftRateA: (2 * Math.hypot(shaftCosine, shaftSine)) / count,
  };
}
