// What a good unit of a profile does: the same measuring, run on seeded tolerance draws through the circuit model.

import type { Capture, Position } from '../capture/index.js';
import {
  BAND_SOLVER,
  drawInput,
  nominalInput,
  seededRandom,
  simulatePlan,
  type UnitCircuitInput,
} from '../circuit/index.js';
import {
  type Measured,
  type MeasureResult,
  measure,
  type ReleaseClass,
  toleranceFactor,
} from '../measure/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { type BandPieces, bandOf, startBand, widenBand } from './band.js';
import { carriedTo, type FeatureBand, interval, supplyCurve, supplyReadingFor } from './feature-band.js';
import { type JointSpread, jointSpread } from './joint.js';
import { fitHolds, motorSpread } from './motor-spread.js';
import { relayExpectation } from './relay/index.js';

export interface Expectation {
  profileId: string;
  seed: number;
  draws: number;
  /** How the limits came about, in words. */
  method: string;
  nominalSupplyV: number;
  features: Record<string, FeatureBand>;
  /** Throws of the plan in order, by name. */
  throws: { name: string; position: Position; release: ReleaseClass | undefined }[];
  /** Start, running current and run-up time of a good motor, taken together; absent when some good unit lacks one. */
  joint?: JointSpread;
  /** How good motors spread in their own parameters; absent where this profile's captures do not tell those. */
  motor?: JointSpread;
  band: BandPieces;
}

export interface ExpectationOptions {
  seed?: number;
  draws?: number;
  sampleRateHz?: number;
}

const DEFAULT_SEED = 20200901;
/** Half the rig's rate: levels and inrush read the same within 0.3 % and a draw costs half. */
const SAMPLE_RATE_HZ = 2500;
/** A good unit has some twenty features; one of them outside its limits must stay rarer than one unit in five hundred. */
const PART_COVERED = 0.9999;
const CONFIDENCE = 0.95;
/** Supplies, over the nominal one, at which the nominal unit is looked at: 11 to 14.5 V of a battery of 13 V. */
const SUPPLY_FACTORS = [0.84, 0.92, 1.06, 1.13];

/** A simulated run of the unit's own plan, measured as a real one is. */
export function simulateMeasured(
  unit: ResolvedUnit,
  input: UnitCircuitInput,
  sampleRateHz = SAMPLE_RATE_HZ,
): { capture: Capture; result: MeasureResult } {
  const capture = simulatePlan(input, unit.plan, { sampleRateHz, solver: BAND_SOLVER });
  return {
    capture,
    result: measure(capture, { nominalVoltageV: unit.motor.nominalVoltageV, ripple: false }),
  };
}

/** The nominal unit without commutation ripple: levels do not need it and it costs most of the solver's steps. */
function plain(input: UnitCircuitInput, supplyFactor = 1): UnitCircuitInput {
  const { ripple: _ripple, ...motor } = input.motor;
  return { ...input, motor, supply: { ...input.supply, voltageV: input.supply.voltageV * supplyFactor } };
}

/**
 * Expected behaviour of a profile: each feature's limits as a tolerance interval (99.99 % of good units with
 * 95 % confidence, Howe), never narrower than the draws themselves, at a reference supply with its slope by the volt.
 */
export function expectation(unit: ResolvedUnit, options: ExpectationOptions = {}): Expectation {
  if (unit.unit.subject === 'relay') return relayExpectation(unit, options);
  const seed = options.seed ?? DEFAULT_SEED;
  const draws = options.draws ?? unit.unit.rules.draws;
  const rate = options.sampleRateHz ?? SAMPLE_RATE_HZ;
  const base = nominalInput(unit);
  const nominal = simulateMeasured(unit, plain(base), rate);
  const overSupply = [
    nominal.result.measured,
    ...SUPPLY_FACTORS.map((factor) => simulateMeasured(unit, plain(base, factor), rate).result.measured),
  ];
  const random = seededRandom(seed);
  const runs: MeasureResult[] = [];
  const band = startBand(nominal.capture);
  for (let n = 0; n < draws; n++) {
    const { capture, result } = simulateMeasured(unit, plain(drawInput(unit, random)), rate);
    runs.push(result);
    widenBand(band, capture);
  }
  const factor = toleranceFactor(draws, PART_COVERED, CONFIDENCE);
  const features: Record<string, FeatureBand> = {};
  for (const [name, quantity] of Object.entries(nominal.result.measured)) {
    const movesWith = supplyReadingFor(name, nominal.result.measured);
    const curve = movesWith && supplyCurve(name, movesWith, overSupply, nominal.result.measured);
    const band: FeatureBand = {
      unit: quantity.unit,
      nominal: quantity.value,
      lower: quantity.value,
      upper: quantity.value,
      conditioned: { lower: quantity.value, upper: quantity.value, mean: quantity.value, deviation: 0 },
      ...(movesWith && curve ? { movesWith, curve } : {}),
    };
    const shown = runs.filter(({ measured }) => measured[name] !== undefined);
    // A feature that some good units do not show cannot be asked of every unit.
    if (shown.length < draws) continue;
    const raw = interval(
      shown.map(({ measured }) => measured[name]!.value),
      factor,
    );
    band.lower = raw.lower;
    band.upper = raw.upper;
    band.conditioned = interval(
      shown.map(({ measured }) => carriedTo(band, name, measured)!),
      factor,
    );
    features[name] = band;
  }
  const names = jointNames(nominal.result.measured).filter((name) => features[name]);
  const joint = jointSpread(
    names,
    runs.map(({ measured }) => names.map((name) => carriedTo(features[name]!, name, measured) ?? Number.NaN)),
  );
  const isTold = unit.unit.subject !== 'harness' && fitHolds(unit, nominal.capture);
  const motor = isTold ? motorSpread(unit, seed) : undefined;
  return {
    ...(joint ? { joint } : {}),
    profileId: unit.unit.id,
    seed,
    draws,
    method:
      `${draws} seeded draws of the profile's tolerances through the circuit model; limits are the normal tolerance ` +
      'interval (of the logarithm, for what cannot be negative) that holds 99.99 % of good units with 95 % confidence, ' +
      'widened to the draws, moved with the measured supply',
    nominalSupplyV: base.supply.voltageV,
    features,
    throws: nominal.result.segments
      .filter(({ position, limited }) => position !== 'rest' && !limited)
      .map(({ name, position }) => ({ name, position, release: commonRelease(name, runs) })),
    ...(motor ? { motor } : {}),
    band: bandOf(band),
  };
}

/** Readings that together tell a motor's resistance, flux, friction and inertia apart. */
function jointNames(measured: Measured): string[] {
  const throwNames = Object.keys(measured).flatMap(
    (name) => /^((?:forward|reverse)\d*)SettleS$/.exec(name)?.[1] ?? [],
  );
  const last = throwNames.at(-1);
  return last ? [`${last}InrushPeakA`, `${last}RunningCurrentA`, `${last}SettleS`] : [];
}

/** Release class that at least 95 % of the draws show; undefined when the style has no clear one. */
function commonRelease(name: string, runs: readonly MeasureResult[]): ReleaseClass | undefined {
  const counts = new Map<ReleaseClass, number>();
  for (const { segments } of runs) {
    const release = segments.find((segment) => segment.name === name)?.release;
    if (release) counts.set(release, (counts.get(release) ?? 0) + 1);
  }
  for (const [release, count] of counts) if (count >= 0.95 * runs.length) return release;
  return undefined;
}
