// The level that a current has come to at the end of a throw, its ripple averaged. Warm brushes and grease let it creep
// for seconds, and a short throw ends while the run-up still tails off: what settles is fitted, and nothing is taken for
// settled that is not. Several courses are tried; each has a say by how well it fits, so that none is chosen by chance.

import { itemAt, sampleAt } from '../arrays/index.js';
import { type Basis, type Design, designOf, fitTo } from './small-fit.js';
import { DEVIATION_OF_MEDIAN, independentCount, median, summarise } from './statistics.js';

/** Means that the stretch is boiled down to: few, so that each averages its ripple. Choices of this program, no source. */
const MOST_MEANS = 24;
const LEAST_MEANS = 12;
const SAMPLES_EACH = 4;
/** A mean of which more was lost does not count. */
const NEEDED_PART = 0.5;
/** An end of which more is missing is no end to read: nothing is carried on beyond what was seen. */
const MOST_MISSING = 0.15;
/** The level is read so far ahead of the last sample, in lengths of the stretch: midway of its last tenth. */
const BEFORE_END = 0.05;
/**
 * Time constants that are tried, in lengths of the stretch: quick ones are the run-up's tail, slow ones the creep of
 * brushes and grease. A slower one than the slowest cannot be told from a straight line.
 */
const QUICK = [0.08, 0.12, 0.18, 0.27] as const;
const CREEP = [0.4, 0.6, 0.9, 1.4] as const;
/** Of two courses that fit alike the one with fewer numbers is likelier: what each number must bring, in chi-squared. */
const WORTH = 2;
/** Scatter below this part of the level is an ideal curve's: no course is told by less. */
const IDEAL_PART = 1e-4;

export interface EndLevel {
  /** Midway of the last tenth of the stretch. */
  value: number;
  /** Of scatter, and of not knowing the course. */
  standardUncertainty: number;
  degreesOfFreedom: number;
  /** By which the very end and the mean of the last fifth of the stretch stand off, either way. */
  definitionA: number;
  /** Rate of change there, A/s. */
  driftPerS: number;
  driftUncertaintyPerS: number;
}

/** Where the level is read: samples [from, to). */
export interface EndStretch {
  values: Float64Array;
  timeS: Float64Array;
  from: number;
  to: number;
}

interface Course {
  basis: readonly Basis[];
  /** Its say before anything is seen. */
  share: number;
}

const one: Basis = { at: () => 1, slope: () => 0 };
const straight: Basis = { at: (u) => u, slope: () => 1 };
const decay = (part: number): Basis => ({
  at: (u) => Math.exp(-(u + 1) / part),
  slope: (u) => -Math.exp(-(u + 1) / part) / part,
});

const COURSES: readonly Course[] = [
  { basis: [one], share: 1 },
  { basis: [one, straight], share: 1 },
  ...QUICK.map((part) => ({ basis: [one, decay(part)], share: 1 / QUICK.length })),
  ...CREEP.map((part) => ({ basis: [one, decay(part)], share: 1 / CREEP.length })),
  ...QUICK.map((part) => ({ basis: [one, straight, decay(part)], share: 1 / QUICK.length })),
];

interface Tried {
  design: Design;
  share: number;
}

const triedAt = (u: readonly number[]): Tried[] =>
  COURSES.flatMap(({ basis, share }) => {
    const design = designOf(basis, u, -BEFORE_END);
    return design ? [{ design, share }] : [];
  });

/** Of a stretch that was sampled throughout: the places are always the same. */
let throughout: Tried[] | undefined;

/** Undefined where too few samples are there. Times are taken as evenly spaced. */
export function endLevel({ values, timeS, from, to }: EndStretch): EndLevel | undefined {
  const count = Math.min(MOST_MEANS, Math.floor((to - from) / SAMPLES_EACH));
  if (count < LEAST_MEANS) return undefined;
  const u: number[] = [];
  const y: number[] = [];
  for (let k = 0; k < count; k++) {
    const first = from + Math.floor((k * (to - from)) / count);
    const next = from + Math.floor(((k + 1) * (to - from)) / count);
    let sum = 0;
    let seen = 0;
    for (let i = first; i < next; i++) {
      const value = sampleAt(values, i);
      if (Number.isNaN(value)) continue;
      sum += value;
      seen++;
    }
    if (seen < NEEDED_PART * (next - first)) continue;
    u.push((k + 0.5) / count - 1);
    y.push(sum / seen);
  }
  if (y.length < LEAST_MEANS) return undefined;
  leaveDipsOut(u, y);
  if ((u.at(-1) ?? -1) < -MOST_MISSING) return undefined;
  if (y.length === MOST_MEANS) throughout ??= triedAt(u);
  const tried = y.length === MOST_MEANS && throughout ? throughout : triedAt(u);
  return weighed(tried, y, sampleAt(timeS, to - 1) - sampleAt(timeS, from));
}

/** Means that lie so many deviations, and this part of the level, below the course of the others stand in a dip of the supply. Choices of this program, no source. */
const DIP_DEVIATIONS = 6;
const DIP_PART = 0.03;
/** More of the stretch is no dip. */
const MOST_DIPPED_PART = 0.4;

/** Takes the means of a dip, and of the surge behind it, out of both: the course of the rest by Theil and Sen's line. */
function leaveDipsOut(u: number[], y: number[]): void {
  if (Math.min(...y) > (1 - DIP_PART) * median(y)) return;
  const slopes: number[] = [];
  for (let i = 0; i < y.length; i++) {
    for (let j = i + 1; j < y.length; j++)
      slopes.push((itemAt(y, j) - itemAt(y, i)) / (itemAt(u, j) - itemAt(u, i)));
  }
  const slope = median(slopes);
  const level = median(y.map((value, i) => value - slope * itemAt(u, i)));
  const off = y.map((value, i) => value - slope * itemAt(u, i) - level);
  const deviation = DEVIATION_OF_MEDIAN * median(off.map(Math.abs));
  const far = Math.max(DIP_DEVIATIONS * deviation, DIP_PART * Math.abs(level));
  if (!off.some((value) => value < -far)) return;
  const isOut = off.map((value) => value < -far);
  // Its edges share a mean with what is not dipped, and a motor that speeds up again surges.
  off.forEach((value, i) => {
    if (!isOut[i] && (isOut[i - 1] || off.slice(i + 1, i + 2).some((next) => next < -far)))
      isOut[i] = Math.abs(value) > 2 * deviation;
  });
  const kept = isOut.filter((out) => !out).length;
  if (kept < LEAST_MEANS || kept < (1 - MOST_DIPPED_PART) * y.length) return;
  for (let i = y.length - 1; i >= 0; i--) {
    if (!isOut[i]) continue;
    u.splice(i, 1);
    y.splice(i, 1);
  }
}

function weighed(tried: readonly Tried[], y: readonly number[], lengthS: number): EndLevel {
  const n = y.length;
  const floor = n * (IDEAL_PART * summarise(y).mean) ** 2;
  const fits = tried.map(({ design, share }) => {
    const free = n - design.columns.length;
    const { squares, ...fit } = fitTo(design, y);
    return { ...fit, design, share, squares: squares + floor, free };
  });
  const best = fits.reduce((a, b) => (b.squares / b.free < a.squares / a.free ? b : a));
  const residuals = Float64Array.from(best.residuals);
  const independent = Math.max(n - best.free + 2, independentCount(residuals, summarise(residuals)));
  const variance = ((best.squares / best.free) * n) / independent;
  const weights = fits.map(({ squares, share, free }) => {
    // Student's likelihood: the noise is known from these residuals only.
    const chi = independent * Math.log(squares / best.squares);
    return share * Math.exp(-0.5 * (chi + WORTH * (n - free)));
  });
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const weighedMean = (pick: (fit: (typeof fits)[number]) => number): number =>
    fits.reduce((sum, fit, k) => sum + (itemAt(weights, k) / total) * pick(fit), 0);
  const value = weighedMean((fit) => fit.value);
  const slope = weighedMean((fit) => fit.slope);
  const spreadOf = (of: 'value' | 'slope', mean: number): number =>
    Math.sqrt(weighedMean((fit) => variance * fit.design[of].variance + (fit[of] - mean) ** 2));
  return {
    value,
    standardUncertainty: spreadOf('value', value),
    degreesOfFreedom: independent - 2,
    definitionA: Math.abs(slope) * BEFORE_END,
    driftPerS: slope / lengthS,
    driftUncertaintyPerS: spreadOf('slope', slope) / lengthS,
  };
}
