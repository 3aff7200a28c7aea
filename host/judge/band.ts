// Lowest and highest of the draws, channel by channel, on a coarse grid: the band drawn behind the live traces.

import { type Capture, CHANNELS, type Channel } from '../capture/index.js';

/** Step of the drawn band; eyes and screens need no finer. */
const STEP_S = 0.002;

/** Time 0 is the start of the capture, its lead-in with everything off included. */
export interface BandPieces {
  timeS: Float64Array;
  lower: Partial<Record<Channel, Float64Array>>;
  upper: Partial<Record<Channel, Float64Array>>;
}

/** An empty band as long as `capture`. */
export function startBand(capture: Capture): BandPieces {
  const endS = capture.timeS.at(-1) ?? 0;
  const count = Math.floor(endS / STEP_S) + 1;
  const band: BandPieces = {
    timeS: Float64Array.from({ length: count }, (_, i) => i * STEP_S),
    lower: {},
    upper: {},
  };
  for (const channel of CHANNELS) {
    if (!capture.channels[channel]) continue;
    band.lower[channel] = new Float64Array(count).fill(Number.POSITIVE_INFINITY);
    band.upper[channel] = new Float64Array(count).fill(Number.NEGATIVE_INFINITY);
  }
  return band;
}

/** Takes one more draw in. */
export function widenBand(band: BandPieces, capture: Capture): void {
  const { timeS } = capture;
  const last = band.timeS.length - 1;
  for (const channel of CHANNELS) {
    const values = capture.channels[channel];
    const lower = band.lower[channel];
    const upper = band.upper[channel];
    if (!values || !lower || !upper) continue;
    for (let i = 0; i < values.length; i++) {
      const slot = Math.min(last, Math.floor(timeS[i]! / STEP_S + 1e-6));
      const value = values[i]!;
      if (value < lower[slot]!) lower[slot] = value;
      if (value > upper[slot]!) upper[slot] = value;
    }
  }
}

/** Of the draws of both; the bands must be of one plan. Overwrites `band`. */
export function mergeBand(band: BandPieces, other: BandPieces): BandPieces {
  for (const channel of CHANNELS) {
    const [lower, upper] = [band.lower[channel], band.upper[channel]];
    const [otherLower, otherUpper] = [other.lower[channel], other.upper[channel]];
    if (!lower || !upper || !otherLower || !otherUpper) continue;
    for (let i = 0; i < lower.length; i++) {
      if (otherLower[i]! < lower[i]!) lower[i] = otherLower[i]!;
      if (otherUpper[i]! > upper[i]!) upper[i] = otherUpper[i]!;
    }
  }
  return band;
}

/** Slots that no sample fell into become NaN. */
export function bandOf(band: BandPieces): BandPieces {
  for (const side of [band.lower, band.upper]) {
    for (const values of Object.values(side)) {
      for (let i = 0; i < values.length; i++) if (!Number.isFinite(values[i]!)) values[i] = Number.NaN;
    }
  }
  return band;
}
