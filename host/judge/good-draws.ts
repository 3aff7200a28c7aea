// The runs that expected behaviour rests on, in pieces that any thread may do: the nominal unit, the nominal unit at
// other supplies, and the seeded draws. A piece is the same whoever does it, and whichever were done before.

import type { Capture } from '../capture/index.js';
import {
  BAND_SOLVER,
  drawInput,
  nominalInput,
  seededRandom,
  simulatePlan,
  type UnitCircuitInput,
} from '../circuit/index.js';
import { type MeasureResult, measure } from '../measure/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { type BandPieces, mergeBand, startBand, widenBand } from './band.js';
import type { JointSpread } from './joint.js';
import { modelSpeeds } from './model-speed.js';
import { fitHolds, motorSpread } from './motor-spread.js';

/** What some pieces gave; can be sent between threads. */
export interface DrawsShare {
  /** Piece and what its run measured. */
  results: [number, MeasureResult][];
  /** Lowest and highest of the draws among them. */
  band?: BandPieces;
  /** Of the piece with the nominal unit. */
  motor?: JointSpread;
}

export interface DrawsOptions {
  seed: number;
  draws: number;
  sampleRateHz: number;
}

/** Supplies, over the nominal one, at which the nominal unit is looked at: 11 to 14.5 V of a battery of 13 V. */
const SUPPLY_FACTORS = [0.84, 0.92, 1.06, 1.13];
const FIRST_DRAW = 1 + SUPPLY_FACTORS.length;

/** The nominal unit without commutation ripple: levels do not need it and it costs most of the solver's steps. */
function plain(input: UnitCircuitInput, supplyFactor = 1): UnitCircuitInput {
  const { ripple: _ripple, ...motor } = input.motor;
  return { ...input, motor, supply: { ...input.supply, voltageV: input.supply.voltageV * supplyFactor } };
}

export class GoodDraws {
  readonly count: number;
  readonly #results = new Map<number, MeasureResult>();
  readonly #inputs: UnitCircuitInput[] = [];
  readonly #random: ReturnType<typeof seededRandom>;
  #band: BandPieces | undefined;
  #motor: JointSpread | undefined;

  constructor(
    readonly unit: ResolvedUnit,
    readonly options: DrawsOptions,
  ) {
    this.count = FIRST_DRAW + options.draws;
    this.#random = seededRandom(options.seed);
  }

  get isComplete(): boolean {
    return this.#results.size === this.count;
  }

  /** @throws CircuitError when the profile's circuit cannot be solved. */
  do(piece: number): void {
    const { unit } = this;
    if (piece < FIRST_DRAW) {
      const factor = piece === 0 ? 1 : SUPPLY_FACTORS[piece - 1]!;
      const capture = this.#run(piece, plain(nominalInput(unit), factor));
      if (piece > 0) return;
      this.#band ??= startBand(capture);
      if (unit.unit.subject !== 'harness' && fitHolds(unit, capture))
        this.#motor = motorSpread(unit, this.options.seed);
      return;
    }
    const draw = piece - FIRST_DRAW;
    while (this.#inputs.length <= draw) this.#inputs.push(plain(drawInput(unit, this.#random)));
    const capture = this.#run(piece, this.#inputs[draw]!);
    this.#band ??= startBand(capture);
    widenBand(this.#band, capture);
  }

  #run(piece: number, input: UnitCircuitInput): Capture {
    const { unit, options } = this;
    const { sampleRateHz } = options;
    const capture = simulatePlan(input, unit.plan, { sampleRateHz, solver: BAND_SOLVER });
    const { nominalVoltageV } = unit.motor;
    const result = measure(capture, { nominalVoltageV, ripple: false, isIdeal: true });
    if (unit.motor.ripple && unit.load === undefined)
      Object.assign(result.measured, modelSpeeds(result.measured, input));
    this.#results.set(piece, result);
    return capture;
  }

  share(): DrawsShare {
    return {
      results: [...this.#results],
      ...(this.#band ? { band: this.#band } : {}),
      ...(this.#motor ? { motor: this.#motor } : {}),
    };
  }

  add({ results, band, motor }: DrawsShare): void {
    for (const [piece, result] of results) this.#results.set(piece, result);
    if (band) this.#band = this.#band ? mergeBand(this.#band, band) : band;
    this.#motor ??= motor;
  }

  /** Does what nobody has done yet. */
  finish(): {
    nominal: MeasureResult;
    overSupply: MeasureResult[];
    runs: MeasureResult[];
    band: BandPieces;
    motor: JointSpread | undefined;
  } {
    for (let piece = 0; piece < this.count; piece++) if (!this.#results.has(piece)) this.do(piece);
    const results = Array.from({ length: this.count }, (_, piece) => this.#results.get(piece)!);
    return {
      nominal: results[0]!,
      overSupply: results.slice(0, FIRST_DRAW),
      runs: results.slice(FIRST_DRAW),
      band: this.#band!,
      motor: this.#motor,
    };
  }
}
