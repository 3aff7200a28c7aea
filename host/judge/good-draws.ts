// The runs that expected behaviour rests on, in pieces that any thread may do: the nominal unit, the nominal unit at
// other supplies, and the seeded draws, each measured.

import type { Capture } from '../capture/index.js';
import {
  BAND_SOLVER,
  type Band,
  Draws,
  type DrawsOptions,
  type DrawsShare,
  familyOf,
  nominalInput,
  simulatePlan,
  type UnitCircuitInput,
  withoutRipple,
} from '../circuit/index.js';
import { type MeasureResult, measure } from '../measure/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import type { JointSpread } from './joint.js';
import { addModelSpeeds } from './model-speed.js';
import { fitHolds, motorSpread } from './motor-spread.js';

/** What some pieces gave; can be sent between threads. */
export interface GoodShare {
  /** Piece and what its run measured. */
  results: [number, MeasureResult][];
  draws: DrawsShare;
  /** Of the piece with the nominal unit. */
  motor?: JointSpread;
}

/** Supplies, over the nominal one, at which the nominal unit is looked at: 11 to 14.5 V of a battery of 13 V. */
const SUPPLY_FACTORS = [1, 0.84, 0.92, 1.06, 1.13];

export class GoodDraws {
  readonly options: DrawsOptions;
  readonly count: number;
  readonly #results = new Map<number, MeasureResult>();
  readonly #draws: Draws;
  #motor: JointSpread | undefined;

  constructor(
    readonly unit: ResolvedUnit,
    options: Partial<DrawsOptions> = {},
  ) {
    this.#draws = new Draws(unit, options);
    this.options = this.#draws.options;
    this.count = SUPPLY_FACTORS.length + this.#draws.count;
  }

  get isComplete(): boolean {
    return this.#results.size === this.count;
  }

  /** @throws CircuitError when the profile's circuit cannot be solved. */
  do(piece: number): void {
    const factor = SUPPLY_FACTORS[piece];
    if (factor === undefined) {
      const draw = piece - SUPPLY_FACTORS.length;
      this.#measure(piece, this.#draws.do(draw), this.#draws.input(draw));
      return;
    }
    const { unit } = this;
    const { sampleRateHz, seed } = this.options;
    const { supply, ...good } = withoutRipple(nominalInput(unit));
    const input = { ...good, supply: { ...supply, voltageV: supply.voltageV * factor } };
    const capture = simulatePlan(input, unit.plan, { sampleRateHz, solver: BAND_SOLVER });
    this.#measure(piece, capture, input);
    if (
      piece === 0 &&
      unit.unit.subject !== 'harness' &&
      familyOf(unit) === undefined &&
      fitHolds(unit, capture)
    )
      this.#motor = motorSpread(unit, seed);
  }

  #measure(piece: number, capture: Capture, input: UnitCircuitInput): void {
    const { motor, load } = this.unit;
    const { nominalVoltageV } = motor;
    const result = measure(capture, { nominalVoltageV, ripple: false, isIdeal: true });
    if (motor.ripple && load === undefined) addModelSpeeds(result.measured, input);
    this.#results.set(piece, result);
  }

  share(): GoodShare {
    return {
      results: [...this.#results],
      draws: this.#draws.share(),
      ...(this.#motor ? { motor: this.#motor } : {}),
    };
  }

  add({ results, draws, motor }: GoodShare): void {
    for (const [piece, result] of results) this.#results.set(piece, result);
    this.#draws.add(draws);
    this.#motor ??= motor;
  }

  /** Does what nobody has done yet. `overSupply` begins with the nominal unit. */
  finish(): {
    overSupply: MeasureResult[];
    runs: MeasureResult[];
    band: Band;
    motor: JointSpread | undefined;
  } {
    for (let piece = 0; piece < this.count; piece++) if (!this.#results.has(piece)) this.do(piece);
    const results = [...this.#results].sort(([a], [b]) => a - b).map(([, result]) => result);
    return {
      overSupply: results.slice(0, SUPPLY_FACTORS.length),
      runs: results.slice(SUPPLY_FACTORS.length),
      band: this.#draws.finish(),
      motor: this.#motor,
    };
  }
}
