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
}

/** Throw edges are commanded ones and the same in every draw. The nominal unit counts as one of the draws. */
export function toleranceBand(unit: ResolvedUnit, options: BandOptions = {}): ToleranceBand {
  const { draws = unit.unit.rules.draws, seed = DEFAULT_SEED, sampleRateHz = SAMPLE_RATE_HZ } = options;
  const random = seededRandom(seed);
  const nominal = simulatePlan(nominalInput(unit), unit.plan, { sampleRateHz });
  const perCell = Math.max(1, Math.round(CELL_S * sampleRateHz));
  const cells = Math.ceil(nominal.timeS.length / perCell);
  const filled = (value: number): Record<Channel, Float64Array> =>
    Object.fromEntries(CHANNELS.map((channel) => [channel, new Float64Array(cells).fill(value)])) as Record<
      Channel,
      Float64Array
    >;
  const lower = filled(Number.POSITIVE_INFINITY);
  const upper = filled(Number.NEGATIVE_INFINITY);
  const take = ({ channels }: Capture): void => {
    for (const channel of CHANNELS) {
      const values = channels[channel]!;
      for (let i = 0; i < values.length; i++) {
        const cell = Math.floor(i / perCell);
        const value = values[i]!;
        if (value < lower[channel][cell]!) lower[channel][cell] = value;
        if (value > upper[channel][cell]!) upper[channel][cell] = value;
      }
    }
  };
  take(nominal);
  for (let n = 0; n < draws; n++) take(simulatePlan(drawInput(unit, random), unit.plan, { sampleRateHz }));
  const timeS = Float64Array.from({ length: cells }, (_, cell) => (cell * perCell) / sampleRateHz);
  return { draws, seed, timeS, lower, upper, nominal };
}
