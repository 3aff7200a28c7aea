// The motor's own inrush peak: told apart from a capacitor spike (under 2 ms) and from contact bounce.

import { itemAt, sampleAt } from '../arrays/index.js';
import { summarise, windowMeans } from './statistics.js';

/** A suppression capacitor's charging spike is over within this (common practice, no source). */
const SPIKE_S = 0.002;
/** Half width of the quadratic that reads the peak. */
const FIT_HALF_S = 0.0012;
/** What stands so far above the held level, as a part and in deviations of noise, is a spike. Choices of this program, no source. */
const SPIKE_PART = 1.15;
const SPIKE_DEVIATIONS = 5;
/** The fit takes no sample from before the current has come to this part of the held level. Choice of this program, no source. */
const RISEN_PART = 0.7;
/** Variance of a quadratic at its centre, over that of the mean of its points. */
const CENTRE_VARIANCE = 2.25;

export interface Inrush {
  peakA: number;
  /** Index of the peak. */
  at: number;
  /** Standard uncertainty of the fit alone. */
  fitUncertaintyA: number;
  /** Half of the time over which crests of a ripple come as near the peak, s; 0 where one alone does. */
  flatS: number;
  /** Highest reading that was set aside as a spike. */
  spikeA: number | undefined;
}

/**
 * Finds the peak of `current` (sign already taken out) between `contact` and `to`.
 * A grey-scale opening 2 ms wide gives the level that was held at least so long; a quadratic fitted near it,
 * with what stands above it left out, gives the peak. Undefined when samples were lost before the peak.
 */
export function inrushOf(
  current: Float64Array,
  contact: number,
  to: number,
  stepS: number,
  noiseA: number,
): Inrush | undefined {
  const width = Math.max(1, Math.round(SPIKE_S / stepS) + 1);
  if (to - contact < width + 2) return undefined;
  const held = erode(current, contact, to, width);
  let best = 0;
  for (let i = 1; i < held.length; i++) if (sampleAt(held, i) > sampleAt(held, best)) best = i;
  const heldA = sampleAt(held, best);
  if (!(heldA > 0)) return undefined;
  const plateauFrom = contact + best;
  const plateauTo = plateauFrom + width;
  const half = Math.max(1, Math.round(FIT_HALF_S / stepS));
  const isSpike = (i: number): boolean =>
    sampleAt(current, i) > SPIKE_PART * heldA + SPIKE_DEVIATIONS * noiseA;
  let first = contact;
  while (first < plateauFrom && !(sampleAt(current, first) >= RISEN_PART * heldA && !isSpike(first))) first++;
  if (hasLoss(current, contact, Math.min(to, plateauTo + half))) return undefined;
  let spikeA: number | undefined;
  for (let i = contact; i < Math.min(to, plateauTo + half); i++) {
    if (isSpike(i)) spikeA = Math.max(spikeA ?? 0, sampleAt(current, i));
  }
  const fitFrom = Math.max(first, plateauFrom - half);
  const fitTo = Math.min(to, plateauTo + half);
  let peakA = heldA;
  let at = plateauFrom;
  let deviation = noiseA;
  for (let start = fitFrom; start + 2 * half + 1 <= fitTo; start++) {
    const fit = quadratic(current, start, 2 * half + 1, isSpike);
    if (!fit) continue;
    // Only the first window may be read off its centre: the peak may stand right at the contact.
    for (let j = start === fitFrom ? 0 : half; j <= half; j++) {
      const value = fit.at(j);
      if (value > peakA) {
        peakA = value;
        at = start + j;
        deviation = fit.deviation;
      }
    }
  }
  const points = 2 * half + 1;
  // Never below what one count-free reading would show.
  return {
    peakA,
    at,
    flatS: flatOf(current, { contact, to, peakA }, noiseA, stepS),
    fitUncertaintyA: Math.max(deviation, noiseA) * Math.min(1, Math.sqrt(CENTRE_VARIANCE / points)),
    spikeA,
  };
}

/** Crests of a ripple so near the peak may each have been the highest; below twice that they are crests apart. Choices of this program, no source. */
const CREST_PART = 0.015;
const CREST_DEVIATIONS = 3;
/** Means over so long keep a ripple and take most of the noise. */
const CREST_S = 0.001;

/** Half of the span from the first crest to the last that come near the peak; 0 where one alone does. */
function flatOf(
  current: Float64Array,
  { contact, to, peakA }: { contact: number; to: number; peakA: number },
  noiseA: number,
  stepS: number,
): number {
  const width = Math.max(1, Math.round(CREST_S / stepS));
  const means = windowMeans(current, contact, to, width);
  const nearA = Math.max(CREST_PART * peakA, (CREST_DEVIATIONS * noiseA) / Math.sqrt(width));
  let [first, last, crests] = [0, 0, 0];
  let isApart = true;
  means.forEach((mean, i) => {
    if (mean < peakA - 2 * nearA) isApart = true;
    if (!(mean >= peakA - nearA)) return;
    if (crests === 0) first = i;
    if (isApart) crests++;
    isApart = false;
    last = i;
  });
  return crests > 1 ? ((last - first) * stepS) / 2 : 0;
}

/** Running minimum over `width` samples; lost samples count as nothing held. */
function erode(values: Float64Array, from: number, to: number, width: number): Float64Array {
  const held = new Float64Array(to - from - width + 1);
  for (let i = 0; i < held.length; i++) {
    let low = Number.POSITIVE_INFINITY;
    for (let j = from + i; j < from + i + width; j++) {
      const value = sampleAt(values, j);
      if (Number.isNaN(value)) low = Number.NEGATIVE_INFINITY;
      else if (value < low) low = value;
    }
    held[i] = low;
  }
  return held;
}

function hasLoss(values: Float64Array, from: number, to: number): boolean {
  for (let i = from; i < to; i++) if (Number.isNaN(sampleAt(values, i))) return true;
  return false;
}

/** Least-squares quadratic over `count` samples, in sample steps from the first; undefined with under four points kept of a longer window. */
function quadratic(
  values: Float64Array,
  start: number,
  count: number,
  leaveOut: (i: number) => boolean,
): { at: (j: number) => number; deviation: number } | undefined {
  const middle = (count - 1) / 2;
  const s = [0, 0, 0, 0, 0];
  const t = [0, 0, 0];
  let kept = 0;
  for (let j = 0; j < count; j++) {
    if (leaveOut(start + j)) continue;
    const x = j - middle;
    const y = sampleAt(values, start + j);
    kept++;
    let power = 1;
    for (let k = 0; k < 5; k++) {
      s[k] = itemAt(s, k) + power;
      if (k < 3) t[k] = itemAt(t, k) + power * y;
      power *= x;
    }
  }
  if (kept < Math.min(count, 4)) return undefined;
  const [s0, s1, s2, s3, s4] = s as [number, number, number, number, number];
  const [t0, t1, t2] = t as [number, number, number];
  const det = s0 * (s2 * s4 - s3 * s3) - s1 * (s1 * s4 - s2 * s3) + s2 * (s1 * s3 - s2 * s2);
  if (!(Math.abs(det) > 1e-12)) return undefined;
  const c0 = (t0 * (s2 * s4 - s3 * s3) - s1 * (t1 * s4 - s3 * t2) + s2 * (t1 * s3 - s2 * t2)) / det;
  const c1 = (s0 * (t1 * s4 - s3 * t2) - t0 * (s1 * s4 - s2 * s3) + s2 * (s1 * t2 - t1 * s2)) / det;
  const c2 = (s0 * (s2 * t2 - t1 * s3) - s1 * (s1 * t2 - t1 * s2) + t0 * (s1 * s3 - s2 * s2)) / det;
  const at = (j: number): number => c0 + c1 * (j - middle) + c2 * (j - middle) ** 2;
  const residuals: number[] = [];
  for (let j = 0; j < count; j++)
    if (!leaveOut(start + j)) residuals.push(sampleAt(values, start + j) - at(j));
  const { deviation } = summarise(residuals);
  return { at, deviation: kept > 3 ? deviation * Math.sqrt((kept - 1) / (kept - 3)) : 0 };
}
