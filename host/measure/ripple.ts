// Commutation ripple of the running current: its frequency and amplitude, when one line stands clear of the noise.

import { countOf, type Measured, quantityOf } from './quantity.js';
import { type RippleLine, rippleLine } from './ripple-line.js';
import { hannWeighed, peakNear, powerOf } from './ripple-spectrum.js';
import { turnOf } from './ripple-turn.js';
import { median } from './statistics.js';

/** A line must stand so far above the median of the spectrum to be called ripple (false alarm under 1e-4 over 1000 bins of white noise). */
const CLEAR_POWER = 25;

/** Commutation swings the current by a per cent or more (common practice, no source); far below stands only rounding. */
const LEAST_PART = 1e-4;

/** Longest stretch looked at: a motor's speed hardly moves in it. */
const LONGEST_S = 0.42;
const LARGEST = 1 << 15;
/** Deviation of the peak under a Hann window over the bound of the whole window. */
const HANN_LOSS = 1.6;
/**
 * A rig's converter takes its channels in turn; on the grid stand straight lines between conversions, which flatten a
 * ripple by up to a (1 - a) (2 pi f T)^2 / 2, mean of a (1 - a) 0.124 and T 1.11 grid steps for the scan list of a motor.
 */
const FLATTENED = 0.124 / 2;
const CONVERSION_STEPS = 1.11;

/** A Hann window spreads a line over so many bins each way; behind them, how many are looked at. */
const WINDOW_BINS = 3;
const BESIDE = 16;

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
}

/**
 * Frequency and amplitude of the ripple at the end of a stretch, and with ripples by the turn the shaft's speed and its
 * uneven ripples; nothing when no line stands clear. Needs 256 unbroken samples.
 */
export function rippleOf(
  stretch: RippleStretch,
  name: string,
  perTurn?: number,
  expectedRpm?: number,
): Measured {
  const { current, timeS, stepS, from, to } = stretch;
  let size = 256;
  while (size * 2 <= to - from && size * 2 * stepS < LONGEST_S && size < LARGEST) size *= 2;
  if (to - from < size) return {};
  const start = to - size;
  let mean = 0;
  for (let i = 0; i < size; i++) {
    const value = current[start + i]!;
    if (Number.isNaN(value)) return {};
    mean += value / size;
  }
  const weighed = hannWeighed(current, start, size, mean);
  const power = powerOf(weighed);
  const half = power.length;
  // Below 20 Hz is load and settling, not commutation.
  const rateHz = 1 / stepS;
  const lowest = Math.max(3, Math.ceil((20 * size) / rateHz));
  const floor = Float64Array.from(power.subarray(lowest)).sort()[(half - lowest) >> 1]!;
  // The highest of many bins of white noise stands ln(count) times above its mean, 1.44 times the median.
  const clear = Math.max(CLEAR_POWER, 2.5 * Math.log(half));
  const binHz = rateHz / size;
  const expectedBin =
    expectedRpm === undefined || perTurn === undefined ? undefined : (expectedRpm * perTurn) / 60 / binHz;
  const line = rippleLine(power, lowest, clear * floor, perTurn, expectedBin);
  if (!line || line.bin * line.times >= half - 3) return {};
  const span = { fromS: timeS[start]!, toS: timeS[to - 1]! };
  const peak = ripplePeak(weighed, line);
  if (peak.amplitudeA < LEAST_PART * Math.abs(mean)) return {};
  const frequencyHz = peak.bins * binHz;
  // Of one sample, from the median bin: a Hann window passes 3/8 of the noise power.
  const noiseA = Math.sqrt(floor / Math.LN2 / (0.375 * size));
  const loss = stretch.betweenConversions
    ? Math.min(0.5, FLATTENED * (2 * Math.PI * frequencyHz * CONVERSION_STEPS * stepS) ** 2)
    : 0;
  const amplitudeA = peak.amplitudeA * (1 + loss);
  const besideA = Math.sqrt(
    besideLine(power, line.times === 1 ? line.bin : Math.round(peak.bins)) / Math.LN2 / (0.375 * size),
  );
  // Cramer and Rao's bound for a tone in white noise, times the loss of the window (Rife and Boorstyn 1974).
  const lineA = line.times === 1 ? amplitudeA : peak.lineA;
  const boundHz = (line.times * Math.sqrt(6) * noiseA) / (Math.PI * lineA * size * stepS * Math.sqrt(size));
  const frequency = quantityOf(
    frequencyHz,
    'Hz',
    [{ standardUncertainty: HANN_LOSS * boundHz, degreesOfFreedom: 50, source: 'noise' }],
    span,
  );
  const measured: Measured = {
    [`${name}RippleHz`]: frequency,
    [`${name}RippleAmplitudeA`]: quantityOf(
      amplitudeA,
      'A',
      [
        { standardUncertainty: besideA * Math.sqrt(3 / size), degreesOfFreedom: 2 * BESIDE, source: 'noise' },
        {
          standardUncertainty: (amplitudeA * loss) / (2 * Math.sqrt(3)),
          degreesOfFreedom: Number.POSITIVE_INFINITY,
          source: 'straight lines between conversions',
        },
        {
          standardUncertainty: amplitudeA * (stretch.gain ?? 0),
          degreesOfFreedom: Number.POSITIVE_INFINITY,
          source: 'gain and reference',
        },
      ],
      span,
    ),
  };
  if (perTurn === undefined) return measured;
  measured[`${name}SpeedRpm`] = quantityOf(
    (60 * frequencyHz) / perTurn,
    'rpm',
    [{ ...frequency, standardUncertainty: (60 * frequency.standardUncertainty) / perTurn }],
    span,
  );
  const turn = turnOf(current.subarray(start, to), frequencyHz * stepS, perTurn, noiseA);
  if (!turn) return measured;
  measured[`${name}RipplesMissingPerTurn`] = countOf(turn.missing, span);
  measured[`${name}RipplesDeepPerTurn`] = countOf(turn.deep, span);
  measured[`${name}RippleUnevenPercent`] = quantityOf(
    turn.unevenPercent,
    '%',
    [{ standardUncertainty: Math.SQRT2 * turn.noisePercent, degreesOfFreedom: 50 }],
    span,
  );
  measured[`${name}ShaftRateAmplitudeA`] = quantityOf(
    turn.shaftRateA,
    'A',
    [{ standardUncertainty: noiseA * Math.sqrt(2 / size), degreesOfFreedom: 50 }],
    span,
  );
  return measured;
}

/** Median power of the bins on both sides of a line, beyond the window's own width: speed that wavers, and noise. */
function besideLine(power: Float64Array, best: number): number {
  const beside: number[] = [];
  for (let away = WINDOW_BINS; away < WINDOW_BINS + BESIDE; away++) {
    for (const k of [best - away, best + away]) if (k > 0 && k < power.length) beside.push(power[k]!);
  }
  return median(beside);
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
