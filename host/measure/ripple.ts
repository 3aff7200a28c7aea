// Commutation ripple of the running current: its frequency and amplitude, when one line stands clear of the noise.

import { sampleAt } from '../arrays/index.js';
import { countOf, lineOf, type Quantity, quantityOf, type Stretch, scaledLines, spanAt } from './quantity.js';
import type { Told } from './reading.js';
import { type RippleLine, rippleLine } from './ripple-line.js';
import { hannWeighed, peakNear, powerOf } from './ripple-spectrum.js';
import { turnOf } from './ripple-turn.js';
import { median } from './statistics.js';

/** A line must stand so far above the median of the spectrum to be called ripple (false alarm under 1e-4 over 1000 bins of white noise). */
const CLEAR_POWER = 25;
/** The highest of many bins of white noise stands ln(count) times above its mean, 1.44 times the median; some more to be clear. */
const CLEAR_OF_MANY = 2.5;

/** Commutation swings the current by a per cent or more (common practice, no source); far below stands only rounding. */
const LEAST_PART = 1e-4;
/** Below this is load and settling, not commutation (common practice, no source). */
const LEAST_HZ = 20;

/** Longest stretch looked at: a motor's speed hardly moves in it. */
const LONGEST_S = 0.42;
const FEWEST = 256;
const LARGEST = 1 << 15;
/** Deviation of the peak under a Hann window over the bound of the whole window. */
const HANN_LOSS = 1.6;
/** Halves of a window that differ by no more than twice their noise show no speed that moves. */
const NOISE_APART = 8;
/** Part of the noise power that a Hann window passes. */
const HANN_POWER = 3 / 8;
/**
 * A rig's converter takes its channels in turn; on the grid stand straight lines between conversions, which flatten a
 * ripple by up to a (1 - a) (2 pi f T)^2 / 2, mean of a (1 - a) 0.124 and T 1.11 grid steps for the scan list of a motor.
 */
const FLATTENED = 0.124 / 2;
const CONVERSION_STEPS = 1.11;
/** The series behind it holds up to here. */
const MOST_FLATTENED = 0.5;

/** A Hann window spreads a line over so many bins each way; behind them, how many are looked at. */
const WINDOW_BINS = 3;
const BESIDE = 16;
/** A turn is cut into its ripples by their frequency: what that is uncertain by may add up to this part of a ripple. Choice of this program, no source. */
const SLIP = 1;
/** Rectified mains, and their strays, swing at these and at small multiples; a speed falls on one by chance once in a few hundred. */
const MAINS_HZ = [50, 60];
const MAINS_TIMES = [1, 2, 3, 4, 6];
const MAINS_WITHIN = 0.0015;
/** Degrees of freedom of a noise that some fifty bins told. */
const NOISE_FREEDOM = 50;

export interface RippleStretch {
  current: Float64Array;
  timeS: Float64Array;
  stepS: number;
  from: number;
  to: number;
  /** The samples were interpolated between a rig's conversions. */
  betweenConversions?: boolean;
  /** Relative standard uncertainty of the current's gain. */
  gain?: number;
  /** Step of one count; 0 or absent where none is known. */
  countA?: number;
}

/** The samples looked at: the end of a stretch, a power of two, none lost. */
interface RippleWindow {
  currentA: Float64Array;
  meanA: number;
  stepS: number;
  betweenConversions: boolean;
  span: Stretch;
}

/** The ripple as the spectrum shows it. */
interface SeenRipple {
  frequencyHz: number;
  amplitudeA: number;
  /** Part by which straight lines between conversions had flattened it. */
  flattened: number;
  /** Frequency of the ripple over that of the line that told it, and that line's amplitude. */
  times: number;
  lineA: number;
  /** Deviation of one sample: over the whole spectrum, and beside the ripple's line. */
  noiseA: number;
  besideA: number;
}

/**
 * Frequency and amplitude of the ripple at the end of a stretch, and with ripples by the turn the shaft's speed and its
 * uneven ripples; nothing when no line stands clear. Needs 256 unbroken samples.
 */
export function rippleOf(stretch: RippleStretch, perTurn?: number, expectedRpm?: number): Told {
  const window = windowOf(stretch);
  const ripple = window && seenIn(window, perTurn, expectedRpm);
  if (!window || !ripple) return {};
  const frequency = frequencyOf(window, ripple);
  const told: Told = {
    rippleHz: frequency,
    rippleAmplitudeA: amplitudeOf(window, ripple, stretch.gain ?? 0),
  };
  if (perTurn === undefined) return told;
  const rpm = 60 / perTurn;
  const lines = scaledLines(frequency, rpm);
  const speedRpm = quantityOf(rpm * frequency.value, 'rpm', lines, window.span);
  return {
    ...told,
    speedRpm,
    ...turnQuantities(window, ripple, perTurn, {
      slipHz: frequency.standardUncertainty,
      countA: stretch.countA ?? 0,
    }),
  };
}

/** The line of the mains in a running current; undefined where none is its strongest. */
export function mainsOf(stretch: RippleStretch): { frequencyHz: number; amplitudeA: number } | undefined {
  const window = windowOf(stretch);
  const line = window && seenIn(window, undefined, undefined);
  return line && isOfMains(line) ? { frequencyHz: line.frequencyHz, amplitudeA: line.amplitudeA } : undefined;
}

/** Whether a line stands where the mains put one. */
const isOfMains = ({ frequencyHz }: { frequencyHz: number }): boolean =>
  MAINS_HZ.some((hz) => MAINS_TIMES.some((times) => Math.abs(frequencyHz / (times * hz) - 1) < MAINS_WITHIN));

function windowOf(stretch: RippleStretch): RippleWindow | undefined {
  const { current, timeS, stepS, from, to, betweenConversions = false } = stretch;
  let size = FEWEST;
  while (size * 2 <= to - from && size * 2 * stepS < LONGEST_S && size < LARGEST) size *= 2;
  if (to - from < size) return undefined;
  const start = to - size;
  const currentA = current.subarray(start, to);
  const meanA = currentA.reduce((sum, value) => sum + value / size, 0);
  if (Number.isNaN(meanA)) return undefined;
  const span = spanAt(timeS, start, to);
  return { currentA, meanA, stepS, betweenConversions, span };
}

/** Undefined when no line stands clear of the noise. */
function seenIn(
  { currentA, meanA, stepS, betweenConversions }: RippleWindow,
  perTurn: number | undefined,
  expectedRpm: number | undefined,
): SeenRipple | undefined {
  const weighed = hannWeighed(currentA, meanA);
  const power = powerOf(weighed);
  const half = power.length;
  const size = currentA.length;
  const rateHz = 1 / stepS;
  const binHz = rateHz / size;
  const lowest = Math.max(WINDOW_BINS, Math.ceil((LEAST_HZ * size) / rateHz));
  if (lowest >= half) return undefined;
  const floor = sampleAt(power.slice(lowest).sort(), (half - lowest) >> 1);
  const clear = Math.max(CLEAR_POWER, CLEAR_OF_MANY * Math.log(half));
  const expectedBin =
    expectedRpm === undefined || perTurn === undefined ? undefined : (expectedRpm * perTurn) / 60 / binHz;
  const line = rippleLine(power, { lowest, clear: clear * floor, perTurn, expectedBin });
  if (!line || line.bin * line.times >= half - WINDOW_BINS) return undefined;
  const peak = ripplePeak(weighed, line);
  if (peak.amplitudeA < LEAST_PART * Math.abs(meanA)) return undefined;
  // From the median of a spectrum: that of noise alone lies ln 2 below its mean.
  const noiseOf = (medianPower: number): number => Math.sqrt(medianPower / Math.LN2 / (HANN_POWER * size));
  const frequencyHz = peak.bins * binHz;
  const flattened = betweenConversions
    ? Math.min(MOST_FLATTENED, FLATTENED * (2 * Math.PI * frequencyHz * CONVERSION_STEPS * stepS) ** 2)
    : 0;
  const amplitudeA = peak.amplitudeA * (1 + flattened);
  return {
    frequencyHz,
    amplitudeA,
    flattened,
    times: line.times,
    lineA: line.times === 1 ? amplitudeA : peak.lineA,
    noiseA: noiseOf(floor),
    besideA: noiseOf(besideLine(power, line.times === 1 ? line.bin : Math.round(peak.bins))),
  };
}

/**
 * By how much the choice of the window moves the frequency: half of what its two halves stand apart, beyond what noise
 * makes of that (each half's bound is 2^1.5 times the whole's, their difference four times).
 */
function windowChoiceHz(
  { currentA, meanA, stepS }: RippleWindow,
  ripple: SeenRipple,
  boundHz: number,
): number {
  const half = currentA.length >> 1;
  const bins = (ripple.frequencyHz / ripple.times) * half * stepS;
  if (bins < WINDOW_BINS || bins > half / 2 - WINDOW_BINS) return 0;
  const [early, late] = [currentA.subarray(0, half), currentA.subarray(half)].map(
    (part) => (ripple.times * peakNear(hannWeighed(part, meanA), Math.round(bins)).bins) / (half * stepS),
  );
  const apartHz = Math.abs((early ?? 0) - (late ?? 0));
  return Math.sqrt(Math.max(0, apartHz ** 2 - (NOISE_APART * boundHz) ** 2)) / 2;
}

/** Cramer and Rao's bound for a tone in white noise, times the loss of the window (Rife and Boorstyn 1974). */
function frequencyOf(window: RippleWindow, ripple: SeenRipple): Quantity {
  const { currentA, stepS, span } = window;
  const size = currentA.length;
  const boundHz =
    (ripple.times * Math.sqrt(6) * ripple.noiseA) / (Math.PI * ripple.lineA * size * stepS * Math.sqrt(size));
  const noiseHz = HANN_LOSS * boundHz;
  const lines = [
    lineOf(noiseHz, 'noise', NOISE_FREEDOM),
    lineOf(windowChoiceHz(window, ripple, noiseHz) / Math.sqrt(3), 'choice of the window'),
  ];
  return quantityOf(ripple.frequencyHz, 'Hz', lines, span);
}

function amplitudeOf(
  { currentA, span }: RippleWindow,
  { amplitudeA, flattened, besideA }: SeenRipple,
  gain: number,
): Quantity {
  return quantityOf(
    amplitudeA,
    'A',
    [
      lineOf(besideA * Math.sqrt(3 / currentA.length), 'noise', 2 * BESIDE),
      lineOf((amplitudeA * flattened) / (2 * Math.sqrt(3)), 'straight lines between conversions'),
      lineOf(amplitudeA * gain, 'gain and reference'),
    ],
    span,
  );
}

/** What the single ripples of a turn show. */
function turnQuantities(
  { currentA, stepS, span }: RippleWindow,
  { frequencyHz, amplitudeA, noiseA }: SeenRipple,
  perTurn: number,
  { slipHz, countA }: { slipHz: number; countA: number },
): Told {
  // A speed that wanders smears one ripple into the next; single counts are no ripples unless noise lifts them.
  if (slipHz * currentA.length * stepS > SLIP) return {};
  if (amplitudeA < countA && noiseA < countA / 2) return {};
  const turn = turnOf(currentA, frequencyHz * stepS, perTurn, noiseA);
  if (!turn) return {};
  const byNoise = (value: number, unit: string, standardUncertainty: number): Quantity =>
    quantityOf(value, unit, [lineOf(standardUncertainty, 'noise', NOISE_FREEDOM)], span);
  return {
    ripplesMissingPerTurn: countOf(turn.missing, span),
    ripplesDeepPerTurn: countOf(turn.deep, span),
    rippleUnevenPercent: byNoise(turn.unevenPercent, '%', Math.SQRT2 * turn.noisePercent),
    shaftRateAmplitudeA: byNoise(turn.shaftRateA, 'A', noiseA * Math.sqrt(2 / currentA.length)),
  };
}

/** Median power of the bins on both sides of a line, beyond the window's own width: speed that wavers, and noise. */
function besideLine(power: Float64Array, best: number): number {
  const near = power.subarray(
    Math.max(1, best - WINDOW_BINS - BESIDE + 1),
    Math.max(1, best - WINDOW_BINS + 1),
  );
  const far = power.subarray(best + WINDOW_BINS, best + WINDOW_BINS + BESIDE);
  return median([...near, ...far]);
}

/** The ripple's own peak; where another line tells the turn, the ripple stands at so many times its rate. */
function ripplePeak(
  weighed: Float64Array,
  { bin, times }: RippleLine,
): { bins: number; amplitudeA: number; lineA: number } {
  const found = peakNear(weighed, bin);
  const lineA = found.amplitudeA;
  if (times === 1) return { ...found, lineA };
  const bins = times * found.bins;
  return { bins, amplitudeA: peakNear(weighed, bins, 0).amplitudeA, lineA };
}
