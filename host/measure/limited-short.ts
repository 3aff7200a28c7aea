// A short seen with the limited feed: whether the full feed would drive more than the rig's trip lets through. Told by
// the resistance that is left between supply and ground, from where the leads stand under about 1 A.

import type { ResolvedUnit } from '../profile/index.js';
import type { MeasureResult } from './measure.js';
import type { QuantityName } from './quantities.js';
import { type Quantity, quantityOf, scaledLines, spanOf } from './quantity.js';
import { type Measured, readingOf } from './reading.js';
import { isThrow, type RunStretch } from './run-stretch.js';
import type { Segment } from './segment.js';

/** Tolerance of the limiting resistor: letter J of IEC 60062, usual for wire-wound ones. */
const LIMITER_TOLERANCE = 0.05;
/** A current within this many standard uncertainties of zero is none. */
const NO_CURRENT = 5;

/** What full and limited feed consist of, and what the rig lets through. */
export interface FeedPath {
  nominalVoltageV: number;
  /** Supply, its leads, feed shunt and feed contact: what limits a dead short at the rig's terminals. */
  fullFeedOhm: number;
  sourceOhm: number;
  limiterOhm: number;
  tripA: number;
  /** Lost in the brushes whatever the current: no resistance. */
  brushDropV: number;
}

export interface LimitedReading {
  of: RunStretch;
  /**
   * Left between supply and ground with the full feed, rig included; absent when less current flows than a short
   * takes, or leads or feed current were not read.
   */
  leftOhm: Quantity | undefined;
  /** False where a short may be, and feed current or leads that would tell were not read. */
  isRead: boolean;
  /** The full feed drives the trip current through this. */
  leastOhm: number;
  isShort: boolean;
}

export function feedPathOf({ rig, motor }: Pick<ResolvedUnit, 'rig' | 'motor'>): FeedPath {
  const { voltageV, sourceResistanceOhm } = rig.supply;
  return {
    nominalVoltageV: typeof voltageV === 'number' ? voltageV : voltageV.nominal,
    sourceOhm: sourceResistanceOhm,
    fullFeedOhm: sourceResistanceOhm + rig.feedShuntOhm + rig.feedContactOhm,
    limiterOhm: rig.limitedFeedOhm,
    tripA: rig.trip.feedCurrentA,
    brushDropV: motor.brushDropV,
  };
}

/**
 * Every limited stretch that decides whether full feed may follow: up to the last limited throw, or the first rest
 * where nothing was thrown. The rest behind the last throw is still being sampled when the decision falls, so it has
 * no part in it: the stored capture decides as the live one did.
 */
export function limitedReadings(
  { measured, segments }: Pick<MeasureResult, 'measured' | 'segments'>,
  path: FeedPath,
): LimitedReading[] {
  return decidingSegments(segments).map(({ of }) => shortReading(measured, of, path));
}

export const limitedShort = (
  seen: Pick<MeasureResult, 'measured' | 'segments'>,
  path: FeedPath,
): LimitedReading | undefined => limitedReadings(seen, path).find(({ isShort }) => isShort);

function decidingSegments(segments: readonly Segment[]): Segment[] {
  const limited = segments.filter(({ of }) => of.feed === 'limited');
  const lastThrow = limited.findLastIndex(({ of }) => isThrow(of));
  return limited.slice(0, Math.max(1, lastThrow + 1));
}

/**
 * A good motor that stands still reads no less than its own resistance: one whose stall current is under the trip
 * cannot be taken for a short. Only a reading below the limit by its whole uncertainty is one.
 */
function shortReading(measured: Measured, of: RunStretch, path: FeedPath): LimitedReading {
  const level = (what: QuantityName): Quantity | undefined => readingOf(measured, what, of);
  const supplyV = level('supplyVoltageV')?.value ?? path.nominalVoltageV;
  const leads = [level('leadAVoltageV'), level('leadBVoltageV')] as const;
  const steady = leftBehind(of, path, supplyV, level('feedCurrentA'), leads);
  const lead = level('collapsedLeadVoltageV');
  if (steady.isShort || !lead) return steady;
  const collapsed = leftBehind(of, path, supplyV, level('collapsedFeedCurrentA'), [lead, lead]);
  return collapsed.isShort ? collapsed : steady;
}

function leftBehind(
  of: RunStretch,
  path: FeedPath,
  supplyV: number,
  current: Quantity | undefined,
  [a, b]: readonly [Quantity | undefined, Quantity | undefined],
): LimitedReading {
  const unloadedV = supplyV + path.sourceOhm * Math.max(0, current?.value ?? 0);
  const leastOhm = unloadedV / path.tripA;
  const nothing = { of, leftOhm: undefined, isRead: true, leastOhm, isShort: false };
  if (!current) return { ...nothing, isRead: false };
  if (current.value < NO_CURRENT * current.standardUncertainty) return nothing;
  // Supply over current is the limiter and all behind it. More behind it than a short leaves, and it is none, wherever
  // the leads stand: a little current to ground through wet insulation leaves both at zero too.
  const behindOhm = supplyV / current.value - path.limiterOhm;
  const behindU = Math.hypot(
    (supplyV / current.value) * (current.expandedUncertainty / current.value),
    LIMITER_TOLERANCE * path.limiterOhm,
  );
  if (path.fullFeedOhm + behindOhm - behindU > leastOhm) return nothing;
  if (!a || !b) return { ...nothing, isRead: false };
  // The higher lead is fed; between it and ground lies the motor, less what its brushes take at any current.
  const fed = a.value >= b.value ? a : b;
  const behindLeadOhm = Math.max(0, (fed.value - path.brushDropV) / current.value);
  const leftOhm = quantityOf(
    path.fullFeedOhm + behindLeadOhm,
    'Ohm',
    [
      ...scaledLines(fed, 1 / current.value, 'the lead'),
      ...scaledLines(current, behindLeadOhm / current.value, 'the feed current'),
    ],
    spanOf(fed),
  );
  return { ...nothing, leftOhm, isShort: leftOhm.value + leftOhm.expandedUncertainty < leastOhm };
}
