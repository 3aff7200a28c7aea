// The ripples of one turn, one by one: the running current folded at the shaft's rate shows a segment that is missing
// or strikes too deep, which a spectrum only hints at.

import { itemAt } from '../arrays/index.js';
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

/** Of the usual amplitude: below the first a ripple is missing, above the second deep. Choice of this program, no source. */
const MISSING_PART = 0.5;
const DEEP_PART = 2;
/** The usual ripple must stand so many of its own uncertainties clear, or an uneven one proves nothing. Choice of this program, no source. */
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
  const level = withoutTrend(current);
  // Phase of the ripple, so that a turn is cut where its ripples are lowest.
  const ripple = toneOf(level, (i) => 2 * Math.PI * ripplePerSample * i);
  const shaft = toneOf(level, (i) => (2 * Math.PI * ripplePerSample * i) / perTurn);
  const lead = Math.atan2(ripple.sine, ripple.cosine) / (2 * Math.PI) - 0.5;
  const sums = Array.from({ length: perTurn }, () => ({ c: 0, s: 0, cc: 0, ss: 0, cs: 0 }));
  level.forEach((value, i) => {
    const phase = ripplePerSample * i - lead;
    const sum = itemAt(sums, ((Math.floor(phase) % perTurn) + perTurn) % perTurn);
    const c = Math.cos(2 * Math.PI * phase);
    const s = Math.sin(2 * Math.PI * phase);
    sum.c += c * value;
    sum.s += s * value;
    sum.cc += c * c;
    sum.ss += s * s;
    sum.cs += c * s;
  });
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
    shaftRateA: (2 * Math.hypot(shaft.cosine, shaft.sine)) / count,
  };
}

/** Less its straight line: the motor may still be settling. */
function withoutTrend(values: Float64Array): Float64Array {
  const count = values.length;
  const middle = (count - 1) / 2;
  let mean = 0;
  let slope = 0;
  values.forEach((value, i) => {
    mean += value / count;
    slope += ((i - middle) * value * 12) / (count * (count * count - 1));
  });
  return values.map((value, i) => value - mean - slope * (i - middle));
}

/** Sums of the samples times cosine and sine of their angles. */
function toneOf(values: Float64Array, angleAt: (i: number) => number): { cosine: number; sine: number } {
  let [cosine, sine] = [0, 0];
  values.forEach((value, i) => {
    cosine += value * Math.cos(angleAt(i));
    sine += value * Math.sin(angleAt(i));
  });
  return { cosine, sine };
}
