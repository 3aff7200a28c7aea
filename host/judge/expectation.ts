// What a good unit of a profile does: the same measuring, run on seeded tolerance draws through the circuit model.

import type { Capture, Position } from '../capture/index.js';
import {
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
  summarise,
  toleranceFactor,
} from '../measure/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { type BandPieces, bandOf, startBand, widenBand } from './band.js';
import { type JointSpread, jointSpread } from './joint.js';

export interface FeatureBand {
  unit: string;
  /** Of the unit with every parameter at its nominal. */
  nominal: number;
  /** Over the draws, at the supply that each draw had. */
  lower: number;
  upper: number;
  /** Over the draws, carried to `referenceV`. */
  conditioned: { lower: number; upper: number; mean: number; deviation: number };
  /** The supply reading that the feature moves with, and how much by the volt; absent when it does not. */
  movesWith?: string;
  perVolt: number;
  referenceV: number;
}

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
/** Ten times the solver's own default; moves the inrush by less than 0.1 %. */
const SOLVER = { relativeTolerance: 1e-3 };
/** A good unit has some twenty features; one of them outside its limits must stay rarer than one unit in five hundred. */
const PART_COVERED = 0.9999;
const CONFIDENCE = 0.95;
/** Spread of supply over which a feature's slope by the volt is taken. */
const SUPPLY_STEP = 0.06;

/** A simulated run of the unit's own plan, measured as a real one is. */
export function simulateMeasured(
  unit: ResolvedUnit,
  input: UnitCircuitInput,
  sampleRateHz = SAMPLE_RATE_HZ,
): { capture: Capture; result: MeasureResult } {
  const capture = simulatePlan(input, unit.plan, { sampleRateHz, solver: SOLVER });
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
  const seed = options.seed ?? DEFAULT_SEED;
  const draws = options.draws ?? unit.unit.rules.draws;
  const rate = options.sampleRateHz ?? SAMPLE_RATE_HZ;
  const base = nominalInput(unit);
  const nominal = simulateMeasured(unit, plain(base), rate);
  const low = simulateMeasured(unit, plain(base, 1 - SUPPLY_STEP), rate).result.measured;
  const high = simulateMeasured(unit, plain(base, 1 + SUPPLY_STEP), rate).result.measured;
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
    const values: number[] = [];
    const carried: number[] = [];
    const movesWith = supplyReadingFor(name, nominal.result.measured);
    const slope = movesWith ? slopeOf(name, movesWith, low, high) : 0;
    const referenceV = movesWith ? nominal.result.measured[movesWith]!.value : 0;
    for (const { measured } of runs) {
      const value = measured[name]?.value;
      if (value === undefined) continue;
      const supply = movesWith ? (measured[movesWith]?.value ?? referenceV) : referenceV;
      values.push(value);
      carried.push(value - slope * (supply - referenceV));
    }
    // A feature that some good units do not show cannot be asked of every unit.
    if (values.length < draws) continue;
    const raw = interval(values, factor);
    const conditioned = interval(carried, factor);
    features[name] = {
      unit: quantity.unit,
      nominal: quantity.value,
      lower: raw.lower,
      upper: raw.upper,
      conditioned,
      ...(movesWith ? { movesWith } : {}),
      perVolt: slope,
      referenceV,
    };
  }
  const names = jointNames(nominal.result.measured).filter((name) => features[name]);
  const joint = jointSpread(
    names,
    runs.map(({ measured }) => names.map((name) => carriedTo(features[name]!, name, measured) ?? Number.NaN)),
  );
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
      .filter(({ position }) => position !== 'rest')
      .map(({ name, position }) => ({ name, position, release: commonRelease(name, runs) })),
    band: bandOf(band),
  };
}

function interval(values: readonly number[], factor: number): FeatureBand['conditioned'] {
  const { mean, deviation } = summarise(values);
  const least = Math.min(...values);
  const most = Math.max(...values);
  let lower = mean - factor * deviation;
  let upper = mean + factor * deviation;
  // Currents, times and resistances are quotients and products of tolerances: skewed to the right, normal in the logarithm.
  const sign = least > 0 ? 1 : most < 0 ? -1 : 0;
  if (sign !== 0 && deviation < 0.5 * Math.abs(mean)) {
    const logs = summarise(values.map((value) => Math.log(sign * value)));
    const ends = [logs.mean - factor * logs.deviation, logs.mean + factor * logs.deviation].map(
      (end) => sign * Math.exp(end),
    );
    lower = Math.min(...ends);
    upper = Math.max(...ends);
  }
  return { lower: Math.min(lower, least), upper: Math.max(upper, most), mean, deviation };
}

/** Currents and levels of a throw move with the supply read in the same stretch; resistances, times and counts do not. */
function supplyReadingFor(name: string, measured: Measured): string | undefined {
  if (/Supply|Ohm$|S$|Side$|Percent$/.test(name)) return undefined;
  const way = /^(forward|reverse)\d*/.exec(name)?.[0];
  if (!way) return undefined;
  const own = /Inrush|Spike/.test(name) ? `${way}InrushSupplyVoltageV` : `${way}SupplyVoltageV`;
  return [own, `${way}SupplyVoltageV`, 'restSupplyVoltageV'].find((key) => measured[key] !== undefined);
}

function slopeOf(name: string, movesWith: string, low: Measured, high: Measured): number {
  const [l, h, vl, vh] = [low[name]?.value, high[name]?.value, low[movesWith]?.value, high[movesWith]?.value];
  if (l === undefined || h === undefined || vl === undefined || vh === undefined || !(vh - vl > 0.01))
    return 0;
  return (h - l) / (vh - vl);
}

/** Readings that together tell a motor's resistance, flux, friction and inertia apart. */
function jointNames(measured: Measured): string[] {
  const throwNames = Object.keys(measured).flatMap(
    (name) => /^((?:forward|reverse)\d*)SettleS$/.exec(name)?.[1] ?? [],
  );
  const last = throwNames.at(-1);
  return last ? [`${last}InrushPeakA`, `${last}RunningCurrentA`, `${last}SettleS`] : [];
}

/** A reading carried to the supply that its limits are stated for; undefined when it was not measured. */
export function carriedTo(expected: FeatureBand, name: string, measured: Measured): number | undefined {
  const value = measured[name]?.value;
  if (value === undefined || !expected.movesWith) return value;
  const supply = measured[expected.movesWith] ?? measured.restSupplyVoltageV;
  return supply ? value - expected.perVolt * (supply.value - expected.referenceV) : value;
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

/** Limits of one feature for a run whose own supply readings are given. */
export function limitsOf(
  expected: FeatureBand,
  measured: Measured,
): { lower: number; upper: number; nominal: number } {
  if (!expected.movesWith) return { lower: expected.lower, upper: expected.upper, nominal: expected.nominal };
  const supply = measured[expected.movesWith] ?? measured.restSupplyVoltageV;
  if (!supply) return { lower: expected.lower, upper: expected.upper, nominal: expected.nominal };
  const shift = expected.perVolt * (supply.value - expected.referenceV);
  return {
    lower: expected.conditioned.lower + shift,
    upper: expected.conditioned.upper + shift,
    nominal: expected.nominal + shift,
  };
}
