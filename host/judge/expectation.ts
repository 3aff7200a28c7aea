// What a good unit of a profile does: the same measuring, run on seeded tolerance draws through the circuit model.

import type { Position } from '../capture/index.js';
import { nominalInput } from '../circuit/index.js';
import { type Measured, type MeasureResult, type ReleaseClass, toleranceFactor } from '../measure/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { type BandPieces, bandOf } from './band.js';
import { carriedTo, type FeatureBand, interval, supplyCurve, supplyReadingFor } from './feature-band.js';
import { GoodDraws } from './good-draws.js';
import { type JointSpread, jointSpread } from './joint.js';
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
  throws: {
    name: string;
    position: Position;
    release: ReleaseClass | undefined;
    /** From the command to rest to the contact that opens, of the nominal unit; absent where nothing shows it. */
    breakDelayS?: number;
  }[];
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

/** The runs that the expectation of a profile rests on, none of them done yet. */
export function goodDraws(unit: ResolvedUnit, options: ExpectationOptions = {}): GoodDraws {
  return new GoodDraws(unit, {
    seed: options.seed ?? DEFAULT_SEED,
    draws: options.draws ?? unit.unit.rules.draws,
    sampleRateHz: options.sampleRateHz ?? SAMPLE_RATE_HZ,
  });
}

/**
 * Expected behaviour of a profile: each feature's limits as a tolerance interval (99.99 % of good units with
 * 95 % confidence, Howe), never narrower than the draws themselves, at a reference supply with its slope by the volt.
 * Of `work`, which must be of the same unit and options, only what is not done yet is done here.
 */
export function expectation(
  unit: ResolvedUnit,
  options: ExpectationOptions = {},
  work = goodDraws(unit, options),
): Expectation {
  if (unit.unit.subject === 'relay') return relayExpectation(unit, options);
  const { seed, draws } = work.options;
  const { nominal, overSupply, runs, band, motor } = work.finish();
  const factor = toleranceFactor(draws, PART_COVERED, CONFIDENCE);
  const supplies = overSupply.map(({ measured }) => measured);
  const features: Record<string, FeatureBand> = {};
  for (const [name, quantity] of Object.entries(nominal.measured)) {
    const movesWith = supplyReadingFor(name, nominal.measured);
    const curve = movesWith && supplyCurve(name, movesWith, supplies, nominal.measured);
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
  const names = jointNames(nominal.measured).filter((name) => features[name]);
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
    nominalSupplyV: nominalInput(unit).supply.voltageV,
    features,
    throws: nominal.segments
      .filter(({ position, limited }) => position !== 'rest' && !limited)
      .map(({ name, position, toS, breakS }) => ({
        name,
        position,
        release: commonRelease(name, runs),
        ...(breakS === undefined ? {} : { breakDelayS: breakS - toS }),
      })),
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
