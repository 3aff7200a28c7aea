// The good units of a profile, drawn from its tolerances by one seed and simulated in numbered pieces that any thread may
// do, and the band in which they move. A piece is the same whoever does it, and whichever were done before.

import { itemAt, sampleAt, wholeAt } from '../arrays/index.js';
import { type Capture, CHANNELS, type Channel } from '../capture/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { familyMotor, familyOf, familyPlace, isOnMechanism } from './family.js';
import { drawInput, nominalInput, withoutRipple } from './tolerance.js';
import { simulatePlan } from './tolerance-plan.js';
import { type SeededRandom, seededRandom } from './tolerance-random.js';
import type { UnitCircuitInput } from './unit-input.js';

/** Time cell of the band: within a cell the draws' extremes are kept, so that no inrush peak is lost; eyes need no finer. */
const CELL_S = 0.002;
/**
 * A band needs no more than a thousandth of each channel's peak. Measured on the relay pair: 0.04 % RMS of the current's
 * peak, 0.03 % of the feed's, less on the leads.
 */
export const BAND_SOLVER = { relativeTolerance: 4e-3 };
const DEFAULT_SEED = 20200901;
/** Half the rig's rate: levels and inrush read the same within 0.3 % and a draw costs half. */
const SAMPLE_RATE_HZ = 2500;

/** Least and largest of the draws by cell; NaN where no sample fell. Time 0 is the start of a run, its lead-in included. */
export interface Band {
  /** Start of each cell. */
  timeS: Float64Array;
  lower: Partial<Record<Channel, Float64Array>>;
  upper: Partial<Record<Channel, Float64Array>>;
}

export interface DrawsOptions {
  seed: number;
  draws: number;
  sampleRateHz: number;
}

/** What some pieces gave; can be sent between threads. */
export interface DrawsShare {
  done: number[];
  /** Absent when none was done. */
  band?: Band;
}

/** Throw edges are commanded ones and the same in every draw. */
export class Draws {
  readonly options: DrawsOptions;
  readonly #done = new Set<number>();
  readonly #inputs: UnitCircuitInput[] = [];
  readonly #random: SeededRandom;
  #band: Band | undefined;
  /** The cell that each sample falls into. */
  #cells = new Int32Array(0);

  /** As many draws as the unit's own rules say, unless told otherwise. */
  constructor(
    readonly unit: ResolvedUnit,
    { seed = DEFAULT_SEED, draws, sampleRateHz = SAMPLE_RATE_HZ }: Partial<DrawsOptions> = {},
  ) {
    this.options = { seed, draws: draws ?? unit.unit.rules.draws, sampleRateHz };
    this.#random = seededRandom(seed);
  }

  get count(): number {
    return this.options.draws;
  }

  get isComplete(): boolean {
    return this.#done.size === this.count;
  }

  input(draw: number): UnitCircuitInput {
    while (this.#inputs.length <= draw) this.#inputs.push(this.#drawn(this.#inputs.length));
    return itemAt(this.#inputs, draw);
  }

  /** With generic numbers a good motor is any of its family. */
  #drawn(draw: number): UnitCircuitInput {
    const { unit } = this;
    const input = withoutRipple(drawInput(unit, this.#random));
    const family = familyOf(unit);
    if (family === undefined) return input;
    const { motor } = withoutRipple(nominalInput(unit));
    const place = familyPlace(draw, this.#random, isOnMechanism(unit));
    return { ...input, motor: familyMotor(motor, family, place) };
  }

  /** @throws CircuitError when the profile's circuit cannot be solved. */
  do(draw: number): Capture {
    const { sampleRateHz } = this.options;
    const capture = simulatePlan(this.input(draw), this.unit.plan, { sampleRateHz, solver: BAND_SOLVER });
    this.#widen(capture);
    this.#done.add(draw);
    return capture;
  }

  #widen({ timeS, channels }: Capture): void {
    if (this.#cells.length === 0) {
      this.#cells = Int32Array.from(timeS, (atS) => Math.floor(atS / CELL_S + 1e-6));
    }
    const count = wholeAt(this.#cells, timeS.length - 1) + 1;
    this.#band ??= {
      timeS: Float64Array.from({ length: count }, (_, i) => i * CELL_S),
      lower: {},
      upper: {},
    };
    for (const channel of CHANNELS) {
      const values = channels[channel];
      if (values) widen(this.#band, channel, { lower: values, upper: values, cells: this.#cells });
    }
  }

  share(): DrawsShare {
    return { done: [...this.#done], ...(this.#band ? { band: this.#band } : {}) };
  }

  add({ done, band }: DrawsShare): void {
    for (const draw of done) this.#done.add(draw);
    if (band === undefined) return;
    this.#band ??= { timeS: band.timeS, lower: {}, upper: {} };
    const cells = Int32Array.from(band.timeS, (_, i) => i);
    for (const channel of CHANNELS) {
      const [lower, upper] = [band.lower[channel], band.upper[channel]];
      if (lower && upper) widen(this.#band, channel, { lower, upper, cells });
    }
  }

  /** Does what nobody has done yet. */
  finish(): Band {
    for (let draw = 0; draw < this.count; draw++) if (!this.#done.has(draw)) this.do(draw);
    const { timeS, lower, upper } = this.#band ?? { timeS: new Float64Array(0), lower: {}, upper: {} };
    return { timeS, lower: told(lower), upper: told(upper) };
  }
}

interface Reach {
  lower: Float64Array;
  upper: Float64Array;
  /** Which cell of the band each of both falls into. */
  cells: Int32Array;
}

/** Takes in what lies between `lower` and `upper`, cell by cell. */
function widen(band: Band, channel: Channel, { lower, upper, cells }: Reach): void {
  const count = band.timeS.length;
  band.lower[channel] ??= new Float64Array(count).fill(Number.POSITIVE_INFINITY);
  band.upper[channel] ??= new Float64Array(count).fill(Number.NEGATIVE_INFINITY);
  const [least, most] = [band.lower[channel], band.upper[channel]];
  for (let i = 0; i < lower.length; i++) {
    const cell = wholeAt(cells, i);
    const [low, high] = [sampleAt(lower, i), sampleAt(upper, i)];
    if (low < sampleAt(least, cell)) least[cell] = low;
    if (high > sampleAt(most, cell)) most[cell] = high;
  }
}

/** Cells that no sample fell into become NaN. */
const told = (side: Band['lower']): Band['lower'] =>
  Object.fromEntries(
    Object.entries(side).map(([channel, values]) => [
      channel,
      values.map((value) => (Number.isFinite(value) ? value : Number.NaN)),
    ]),
  );
