// The band in which good units of a profile move: least and largest value of every channel over seeded draws.

import { type Capture, CHANNELS, type Channel } from '../capture/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { drawInput, nominalInput } from './tolerance.js';
import { simulatePlan } from './tolerance-plan.js';
import { seededRandom } from './tolerance-random.js';

const SAMPLE_RATE_HZ = 5000;
/** Time cell of the band: within a cell the draws' extremes are kept, so that no inrush peak is lost. */
const CELL_S = 0.001;
const DEFAULT_SEED = 20200901;
/**
 * A band needs no more than a thousandth of each channel's peak. Measured on the relay pair: 0.04 % RMS of the current's
 * peak, 0.03 % of the feed's, less on the leads.
 */
export const BAND_SOLVER = { relativeTolerance: 4e-3 };

export interface ToleranceBand {
  draws: number;
  seed: number;
  /** Start of each cell, s. */
  timeS: Float64Array;
  lower: Record<Channel, Float64Array>;
  upper: Record<Channel, Float64Array>;
  /** The nominal unit's capture at full rate. */
  nominal: Capture;
}

export interface BandOptions {
  draws?: number;
  seed?: number;
  sampleRateHz?: number;
  /** Only each `of`-th draw, starting at `index`: the shares of one seed, merged, are the whole band. */
  share?: { index: number; of: number };
}

const filled = (cells: number, value: number): Record<Channel, Float64Array> =>
  Object.fromEntries(CHANNELS.map((channel) => [channel, new Float64Array(cells).fill(value)])) as Record<
    Channel,
    Float64Array
  >;

/** Throw edges are commanded ones and the same in every draw. The nominal unit counts as one of the draws. */
export function toleranceBand(unit: ResolvedUnit, options: BandOptions = {}): ToleranceBand {
  const { draws = unit.unit.rules.draws, seed = DEFAULT_SEED, sampleRateHz = SAMPLE_RATE_HZ } = options;
  const { index, of } = options.share ?? { index: 0, of: 1 };
  const random = seededRandom(seed);
  const nominal = simulatePlan(nominalInput(unit), unit.plan, { sampleRateHz, solver: BAND_SOLVER });
  const perCell = Math.max(1, Math.round(CELL_S * sampleRateHz));
  const cells = Math.ceil(nominal.timeS.length / perCell);
  const lower = filled(cells, Number.POSITIVE_INFINITY);
  const upper = filled(cells, Number.NEGATIVE_INFINITY);
  const take = ({ channels }: Capture): void => {
    for (const channel of CHANNELS) widen(channels[channel]!, perCell, lower[channel], upper[channel]);
  };
  take(nominal);
  for (let n = 0; n < draws; n++) {
    // Every share draws every input, so that a draw is the same whoever simulates it.
    const input = drawInput(unit, random);
    if (n % of === index) take(simulatePlan(input, unit.plan, { sampleRateHz, solver: BAND_SOLVER }));
  }
  const timeS = Float64Array.from({ length: cells }, (_, cell) => (cell * perCell) / sampleRateHz);
  return { draws, seed, timeS, lower, upper, nominal };
}

function widen(values: Float64Array, perCell: number, lower: Float64Array, upper: Float64Array): void {
  for (let cell = 0, i = 0; i < values.length; cell++) {
    const end = Math.min(values.length, i + perCell);
    let low = lower[cell]!;
    let high = upper[cell]!;
    for (; i < end; i++) {
      const value = values[i]!;
      if (value < low) low = value;
      if (value > high) high = value;
    }
    lower[cell] = low;
    upper[cell] = high;
  }
}

/** The band that holds all of `shares`, which must be of one unit and one seed. */
export function mergeBands(shares: readonly ToleranceBand[]): ToleranceBand {
  const [first] = shares;
  if (!first) throw new RangeError('mergeBands: no band given');
  const lower = filled(first.timeS.length, Number.POSITIVE_INFINITY);
  const upper = filled(first.timeS.length, Number.NEGATIVE_INFINITY);
  for (const share of shares) {
    for (const channel of CHANNELS) {
      widen(share.lower[channel], 1, lower[channel], upper[channel]);
      widen(share.upper[channel], 1, lower[channel], upper[channel]);
    }
  }
  return { ...first, lower, upper };
}
