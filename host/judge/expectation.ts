// What a good unit of a profile does: the same measuring, run on seeded tolerance draws through the circuit model.

import { itemAt } from '../arrays/index.js';
import { type Band, type DrawsOptions, familyOf, nominalInput } from '../circuit/index.js';
import {
  isFullThrow,
  kindOf,
  type Measured,
  type MeasureResult,
  type QuantityName,
  type Reading,
  type ReleaseClass,
  type RunStretch,
  readingOf,
  toleranceFactor,
} from '../measure/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { carriedTo, type FeatureBand, interval, reach, supplyCurve } from './feature-band.js';
import { GoodDraws } from './good-draws.js';
import { type JointSpread, jointSpread } from './joint.js';
import { relayExpectation } from './relay/index.js';

interface AnyExpectation {
  profileId: string;
  seed: number;
  draws: number;
  /** How the limits came about, in words. */
  method: string;
  nominalSupplyV: number;
  band: Band;
}

/** Of a relay by itself, whose limits come from its profile. */
export interface RelayExpectation extends AnyExpectation {
  kind: 'relay';
}

export interface UnitExpectation extends AnyExpectation {
  kind: 'unit';
  /** By the reading's key. */
  features: Record<string, FeatureBand>;
  /** Throws of the plan with the full feed, in order. */
  throws: {
    of: RunStretch;
    release: ReleaseClass | undefined;
    /** From the command to rest to the contact that opens, of the nominal unit; absent where nothing shows it. */
    breakDelayS?: number;
  }[];
  /** Start, running current and run-up time of a good motor, taken together; absent when some good unit lacks one. */
  together?: { of: RunStretch; what: readonly QuantityName[]; spread: JointSpread };
  /** How good motors spread in their own parameters; absent where this profile's captures do not tell those. */
  motor?: JointSpread;
}

export type Expectation = UnitExpectation | RelayExpectation;

export type ExpectationOptions = Partial<DrawsOptions>;

/** A good unit has some twenty features; one of them outside its limits must stay rarer than one unit in five hundred. */
const PART_COVERED = 0.9999;
const CONFIDENCE = 0.95;
/** Of the draws that must release alike before a unit is held to it. Choice of this program, no source. */
const COMMON_PART = 0.95;

/** The runs that the expectation of a profile rests on, none of them done yet. */
export const goodDraws = (unit: ResolvedUnit, options: ExpectationOptions = {}): GoodDraws =>
  new GoodDraws(unit, options);

/**
 * Expected behaviour of a profile: each reading's limits as a tolerance interval (99.99 % of good units with
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
  const { overSupply, runs, band, motor } = work.finish();
  const nominal = itemAt(overSupply, 0);
  const factor = toleranceFactor(draws, PART_COVERED, CONFIDENCE);
  const family = familyOf(unit);
  const supplies = overSupply.map(({ measured }) => measured);
  const features: Record<string, FeatureBand> = {};
  for (const [key, reading] of Object.entries(nominal.measured)) {
    const shown = runs.filter(({ measured }) => measured[key] !== undefined);
    // A feature that some good units do not show cannot be asked of every unit.
    if (shown.length < draws) continue;
    features[key] = bandOver(
      reading,
      shown.map(({ measured }) => measured),
      supplyCurve(reading, supplies, nominal.measured),
      family && kindOf(reading).isOfTheWay === undefined ? reach : (values) => interval(values, factor),
    );
  }
  // Neither spreads as a normal over a whole family.
  const together = family ? undefined : togetherOf(nominal, runs, features);
  return {
    kind: 'unit',
    profileId: unit.unit.id,
    seed,
    draws,
    method: family ? methodOfFamily(draws) : methodOf(draws),
    nominalSupplyV: nominalInput(unit).supply.voltageV,
    features,
    throws: nominal.segments
      .filter(({ of }) => isFullThrow(of))
      .map(({ of, toS, breakS }) => ({
        of,
        release: family ? releaseIn(of, nominal) : commonRelease(of, runs),
        ...(breakS === undefined ? {} : { breakDelayS: breakS - toS }),
      })),
    ...(together ? { together } : {}),
    ...(motor && !family ? { motor } : {}),
    band,
  };
}

const methodOf = (draws: number): string =>
  `${draws} seeded draws of the profile's tolerances through the circuit model; limits are the normal tolerance ` +
  'interval (of the logarithm, for what cannot be negative) that holds 99.99 % of good units with 95 % confidence, ' +
  'widened to the draws, moved with the measured supply';
const methodOfFamily = (draws: number): string =>
  `${draws} seeded draws of the usual motors of its family through the circuit model; limits of the motor are the ends ` +
  'of the draws, a little widened, and those of wires, contacts and coils the normal tolerance interval that holds ' +
  '99.99 % of good units with 95 % confidence; moved with the measured supply';

function bandOver(
  { what, of, value }: Reading,
  runs: readonly Measured[],
  curve: FeatureBand['curve'],
  limits: (values: readonly number[]) => FeatureBand['conditioned'],
): FeatureBand {
  const point = { lower: value, upper: value, mean: value, deviation: 0 };
  const band: FeatureBand = {
    what,
    ...(of === undefined ? {} : { of }),
    nominal: value,
    lower: value,
    upper: value,
    conditioned: point,
    ...(curve ? { curve } : {}),
  };
  const values = runs.flatMap((measured) => readingOf(measured, what, of)?.value ?? []);
  const { lower, upper } = limits(values);
  const carried = runs.flatMap((measured) => carriedTo(band, measured) ?? []);
  return { ...band, lower, upper, conditioned: limits(carried) };
}

/** Readings that together tell a motor's resistance, flux, friction and inertia apart. */
const TOGETHER = ['inrushPeakA', 'runningCurrentA', 'settleS'] as const;

/** Of the last throw that runs up. */
function togetherOf(
  { measured }: MeasureResult,
  runs: readonly MeasureResult[],
  features: UnitExpectation['features'],
): UnitExpectation['together'] {
  const of = Object.values(measured).findLast(({ what }) => what === 'settleS')?.of;
  if (of === undefined) return undefined;
  const bands = Object.values(features).filter((band) => band.of?.id === of.id);
  const found = TOGETHER.flatMap((name) => bands.find(({ what }) => what === name) ?? []);
  const what = found.map((band) => band.what);
  const spread = jointSpread(
    what,
    runs.map((run) => found.map((band) => carriedTo(band, run.measured) ?? Number.NaN)),
  );
  return spread && { of, what, spread };
}

const releaseIn = (of: RunStretch, { segments }: Pick<MeasureResult, 'segments'>): ReleaseClass | undefined =>
  segments.find((segment) => segment.of.id === of.id)?.release;

/** Release class that most of the draws show; undefined when the style has no clear one. */
function commonRelease(of: RunStretch, runs: readonly MeasureResult[]): ReleaseClass | undefined {
  const counts = new Map<ReleaseClass, number>();
  for (const { segments } of runs) {
    const release = releaseIn(of, { segments });
    if (release) counts.set(release, (counts.get(release) ?? 0) + 1);
  }
  for (const [release, count] of counts) if (count >= COMMON_PART * runs.length) return release;
  return undefined;
}
