// What every check sees: the readings, what was expected, and how the run ended.

import type { Capture } from '../../capture/index.js';
import { learnedLimits } from '../../learn/index.js';
import type { RunStretch, Segment } from '../../measure/index.js';
import {
  keyOf,
  type Measured,
  type MeasureResult,
  type QuantityName,
  type Reading,
  readingOf,
} from '../../measure/index.js';
import type { Learned, ResolvedUnit } from '../../profile/index.js';
import type { UnitExpectation } from '../expectation.js';
import { type FeatureBand, type Limits, limitsOf } from '../feature-band.js';
import type { Stood } from '../travel.js';
import type { Check } from '../verdict.js';
import { isUnsettled } from './settled.js';

export interface CheckContext {
  unit: ResolvedUnit;
  expectation: UnitExpectation;
  seen: MeasureResult;
  /** Readings of which only a lower bound is known; `seen` is without them. */
  bounds?: Measured;
  /** Without what a hold for the protector adds to the plan. */
  capture: Capture;
  /** As it was recorded. */
  whole: Capture;
  /** Of a drive with limit switches: what the run shows of where it stood. */
  stood?: Stood | undefined;
  /** First stop reason of the rig; absent when the plan ran to its end. */
  stop: string | undefined;
  /** Limits of known good units, where they speak of this run. */
  learned?: Learned | undefined;
  /** False when the supply itself was out of range: what depends on it proves nothing. */
  supplyHolds: boolean;
}

/** Gathers its checks from one run; what does not apply to it gives none. */
export type CheckRule = (context: CheckContext) => Check[];

export const seenOf = ({ seen }: CheckContext, what: QuantityName, of?: RunStretch): Reading | undefined =>
  readingOf(seen.measured, what, of);

export const expectedOf = (
  { expectation }: CheckContext,
  what: QuantityName,
  of?: RunStretch,
): FeatureBand | undefined => expectation.features[keyOf(what, of)];

export const segmentOf = ({ seen }: CheckContext, of: RunStretch): Segment | undefined =>
  seen.segments.find((segment) => segment.of.id === of.id);

/** Whether nothing tells what the run was fed with. */
export const isUnseenSupply = ({ seen: { notSampled } }: Pick<CheckContext, 'seen'>): boolean =>
  notSampled.includes('supplyVoltageV');

/** Limits and whose they are. */
export interface OwnedLimits extends Limits {
  origin: Check['origin'];
  /** Of limits that good units taught. */
  goodUnits?: number;
}

/** Limits of a reading, moved with the measured supply: those of known good units before those of the model. */
export function expectedLimits(
  context: CheckContext,
  what: QuantityName,
  of?: RunStretch,
): OwnedLimits | undefined {
  const expected = expectedOf(context, what, of);
  const isSupplyUnseen = isUnseenSupply(context);
  const usual = expected && limitsOf(expected, context.seen.measured, { isSupplyUnseen });
  return taughtLimits(context, what, of, usual) ?? (usual && { ...usual, origin: modelOrigin(context) });
}

/**
 * What good units taught of a reading; undefined where they taught nothing. Few units give limits that lie outside the
 * usual ones on both sides: those find nothing, and the usual ones stay.
 */
export function taughtLimits(
  { learned, seen }: CheckContext,
  what: QuantityName,
  of?: RunStretch,
  usual?: Limits,
): OwnedLimits | undefined {
  const taught = learned && learnedLimits(learned, seen.measured, what, of);
  if (taught === undefined) return undefined;
  const { lower = Number.NEGATIVE_INFINITY, upper = Number.POSITIVE_INFINITY, centre, units } = taught;
  if (usual && lower <= usual.lower && upper >= usual.upper) return undefined;
  return { lower, upper, nominal: centre, origin: 'learned', goodUnits: units };
}

/** A limit that comes from the model is as good as the motor's numbers that it was made of: their origin is its own. */
export const modelOrigin = (context: CheckContext): Check['origin'] => context.unit.motor.origin;

export const NOT_MEASURED = 'not measured';

/** Why a throw gave no number. */
export function whyMissing(context: CheckContext, of: RunStretch): string {
  const segment = segmentOf(context, of);
  if (!segment)
    return context.seen.doubts?.some(({ kind }) => kind === 'ac-coupled')
      ? 'not tested, the current cannot be read'
      : context.seen.segments.some(({ of: { isWayUntold } }) => isWayUntold)
        ? 'not tested, the direction of the throws is not told'
        : 'not tested, this throw was not made';
  if (!context.supplyHolds) return 'not tested, the supply did not hold';
  if (segment.brief) return 'not tested, the throw was cut short';
  if (segment.supplyMoves) return 'not tested, the supply moved';
  if (segment.loadStep) return 'not tested, its load changed';
  if (isUnsettled(context.seen.measured, of))
    return 'not tested, its current was still moving when it was let go';
  if (Object.keys(segment.lost).length > 0) return 'not tested, samples were lost';
  return NOT_MEASURED;
}
