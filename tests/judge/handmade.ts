// A run as the checks see it, made by hand and without simulation: readings by stretch and quantity, what a good unit
// reads there, the stretches, the profile. What a test does not name is absent, or ran as it should.

import { readFileSync } from 'node:fs';
import { parse } from 'yaml';
import type { Capture, Channel, Feed, Position } from '../../host/capture/index.js';
import type { CheckContext } from '../../host/judge/checks/context.js';
import type { UnitExpectation } from '../../host/judge/expectation.js';
import type { FeatureBand, SupplyCurve } from '../../host/judge/feature-band.js';
import type { Check } from '../../host/judge/index.js';
import {
  keyOf,
  type Measured,
  markReversals,
  QUANTITIES,
  type Quantity,
  type QuantityName,
  type Reading,
  type RunStretch,
  runStretch,
  type Segment,
} from '../../host/measure/index.js';
import { type Plan, planSchema, type ResolvedUnit } from '../../host/profile/index.js';
import { knownUnit } from '../profile/known-unit.js';

export const FORWARD = runStretch('full', 'forward');
export const REVERSE = runStretch('full', 'reverse');
export const LIMITED_FORWARD = runStretch('limited', 'forward');
export const LIMITED_REVERSE = runStretch('limited', 'reverse');
/** Of the run as a whole. */
export const WHOLE = undefined;

/** Value, or value and expanded uncertainty. */
type Read = number | readonly [value: number, expandedUncertainty: number];
export type Reads = Partial<Record<QuantityName, Read>>;
/** Readings of one stretch, or of the run as a whole. */
export type ReadAt = readonly [of: RunStretch | undefined, reads: Reads];

/** With a coverage factor of 2 (GUM 6.3.3). */
export const quantity = (value: number, expandedUncertainty: number, unit: string): Quantity => ({
  value,
  unit,
  standardUncertainty: expandedUncertainty / 2,
  degreesOfFreedom: Number.POSITIVE_INFINITY,
  expandedUncertainty,
});

const stretched = (of: RunStretch | undefined) => (of === undefined ? {} : { of });
const entries = (reads: Reads) => Object.entries(reads) as [QuantityName, Read][];

/** Uncertainty 0 where none is told. */
export const measuredOf = (reads: readonly ReadAt[]): Measured =>
  Object.fromEntries(
    reads.flatMap(([of, told]) =>
      entries(told).map(([what, read]): [string, Reading] => {
        const [value, u] = typeof read === 'number' ? [read, 0] : read;
        return [keyOf(what, of), { ...quantity(value, u, QUANTITIES[what].unit), what, ...stretched(of) }];
      }),
    ),
  );

/** Nominal alone, or with its limits and how it moves with the supply. */
type Good = number | (Partial<Omit<FeatureBand, 'what' | 'of'>> & { nominal: number });
export type GoodAt = readonly [of: RunStretch | undefined, goods: Partial<Record<QuantityName, Good>>];

/** Without limits of its own, as wide as its nominal. */
export function bandOf(what: QuantityName, of: RunStretch | undefined, good: Good): FeatureBand {
  const told = typeof good === 'number' ? { nominal: good } : good;
  const { nominal, lower = nominal, upper = nominal } = told;
  const conditioned = { lower, upper, mean: nominal, deviation: 0 };
  return { what, ...stretched(of), lower, upper, conditioned, ...told };
}

export const featuresOf = (goods: readonly GoodAt[]): UnitExpectation['features'] =>
  Object.fromEntries(
    goods.flatMap(([of, told]) =>
      (Object.entries(told) as [QuantityName, Good][]).map(([what, good]) => [
        keyOf(what, of),
        bandOf(what, of, good),
      ]),
    ),
  );

/** Straight through the origin: twice the supply, twice the reading. */
export const proportional = (nominal: number, referenceV: number): SupplyCurve => ({
  by: 'supplyVoltageV',
  supplyV: [referenceV / 2, 2 * referenceV],
  value: [nominal / 2, 2 * nominal],
  referenceV,
});

export const segmentOf = (of: RunStretch, more: Partial<Segment> = {}): Segment => ({
  of,
  fromS: 0,
  toS: 1,
  brief: false,
  lost: {},
  dropouts: [],
  ...more,
});

/** A piece of a run: what was commanded, and what each channel showed at each time from its start. */
export interface Piece {
  position: Position;
  /** Absent in all pieces: the source did not tell it. */
  feed?: Feed;
  durationS: number;
  channels?: Partial<Record<Channel, number | ((atS: number) => number)>>;
}

/** Pieces one behind the other on an even grid. A channel that one piece tells reads 0 in those that do not. */
export function captureOf(pieces: readonly Piece[], sampleRateHz = 1000): Capture {
  const samples = pieces.flatMap((piece) =>
    Array.from({ length: Math.round(piece.durationS * sampleRateHz) }, (_, i) => ({
      piece,
      atS: i / sampleRateHz,
    })),
  );
  const names = new Set(pieces.flatMap(({ channels = {} }) => Object.keys(channels) as Channel[]));
  const told = [...names].map((name): [Channel, Float64Array] => [
    name,
    Float64Array.from(samples, ({ piece, atS }) => {
      const value = piece.channels?.[name] ?? 0;
      return typeof value === 'number' ? value : value(atS);
    }),
  ]);
  const feed = samples.flatMap(({ piece }) => piece.feed ?? []);
  return {
    timeS: Float64Array.from(samples, (_, i) => i / sampleRateHz),
    position: samples.map(({ piece }) => piece.position),
    ...(feed.length > 0 ? { feed } : {}),
    channels: Object.fromEntries(told),
    gaps: [],
    sampleRateHz,
    notes: [],
  };
}

const loaded = new Map<string, ResolvedUnit>();

/** A profile as it ships, read once. */
export function shipped(id: string): ResolvedUnit {
  const unit = loaded.get(id) ?? knownUnit(id);
  loaded.set(id, unit);
  return unit;
}

/** A plan as it ships, for a unit that asks for another one. */
export const shippedPlan = (id: string): Plan =>
  planSchema.parse(parse(readFileSync(new URL(`../../profiles/plans/${id}.yaml`, import.meta.url), 'utf8')));

type Throw = UnitExpectation['throws'][number];

export interface Handmade {
  /** By default an entry step on a relay pair, as it ships. */
  unit?: ResolvedUnit;
  read?: readonly ReadAt[];
  good?: readonly GoodAt[];
  /** Full throws of the plan; by default one each way. */
  throws?: readonly (RunStretch | Throw)[];
  together?: UnitExpectation['together'];
  motor?: UnitExpectation['motor'];
  band?: UnitExpectation['band'];
  /** By default every throw was made. */
  segments?: readonly Segment[];
  notSampled?: readonly Channel[];
  capture?: Capture;
  whole?: Capture;
  stop?: string;
  supplyHolds?: boolean;
  learned?: CheckContext['learned'];
}

export const NOMINAL_SUPPLY_V = 12;

export function contextOf(made: Handmade = {}): CheckContext {
  const throws = (made.throws ?? [FORWARD, REVERSE]).map(
    (one): Throw => ('of' in one ? one : { of: one, release: undefined }),
  );
  const measured = measuredOf(made.read ?? []);
  // As measuring marks them; throws that nobody placed stand apart.
  const segments = made.segments?.map((segment) => ({ ...segment }));
  if (segments) markReversals(segments, measured);
  const capture = made.capture ?? captureOf([{ position: 'rest', durationS: 0.01, feed: 'full' }]);
  return {
    unit: made.unit ?? shipped('entry-step-relays'),
    expectation: {
      kind: 'unit',
      profileId: 'handmade',
      seed: 1,
      draws: 80,
      method: 'by hand',
      nominalSupplyV: NOMINAL_SUPPLY_V,
      features: featuresOf(made.good ?? []),
      throws,
      band: made.band ?? { timeS: Float64Array.of(0, 0.002), lower: {}, upper: {} },
      ...(made.together === undefined ? {} : { together: made.together }),
      ...(made.motor === undefined ? {} : { motor: made.motor }),
    },
    seen: {
      measured,
      segments: segments ?? throws.map(({ of }) => segmentOf(of)),
      notSampled: [...(made.notSampled ?? [])],
      notes: [],
    },
    capture,
    whole: made.whole ?? capture,
    stop: made.stop,
    learned: made.learned,
    supplyHolds: made.supplyHolds ?? true,
  };
}

/** The only check with this id. @throws where there is none, or more than one */
export function checkNamed(checks: readonly Check[], id: string): Check {
  const [found, ...more] = checks.filter((check) => check.id === id);
  if (found === undefined || more.length > 0)
    throw new Error(`${more.length + (found ? 1 : 0)} checks ${id} among ${checks.map((check) => check.id)}`);
  return found;
}

/** What a person is told of each check, in their order. */
export const told = (checks: readonly Check[]): [id: string, outcome: Check['outcome'], sentence: string][] =>
  checks.map(({ id, outcome, sentence }) => [id, outcome, sentence]);
