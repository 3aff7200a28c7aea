// Calibrations and known-load checks of rigs: only ever added, never changed. What a rig's readings are corrected by on
// a day follows from what was noted up to that day.

import type { Database } from 'better-sqlite3';
import { CHANNELS, type Channel } from '../capture/index.js';
import { propagate } from '../measure/index.js';
import type { RigProfile } from '../profile/index.js';
import { toolVersion } from './tool-version.js';

type Scales = RigProfile['scales'];

/** One reading of a channel against something known, through the scale that the rig profile had. */
export interface KnownReading {
  rigId: string;
  channel: Channel;
  /** Wall clock, ISO 8601. */
  at: string;
  reading: number;
  /** Standard uncertainties, in the channel's unit. */
  readingUncertainty: number;
  reference: number;
  referenceUncertainty: number;
}

export interface CalibrationPoint extends KnownReading {
  point: 'zero' | 'load';
  atZeroCount: number;
  perCount: number;
}

export interface ShiftCheck extends KnownReading {
  moment: 'start' | 'end';
  /** What reading and reference may differ by: their expanded uncertainty. */
  allowed: number;
  isGood: boolean;
}

/** Corrected value = gain x (reading - zero). */
export interface Correction {
  zero: number;
  gain: number;
  /** Standard uncertainties after the calibration, as a rig profile gives them; absent where no point tells them. */
  offsetUncertainty?: number;
  gainUncertaintyPercent?: number;
  zeroAt?: string;
  loadAt?: string;
}

export interface Calibration {
  rigId: string;
  at: string;
  channels: Partial<Record<Channel, Correction>>;
}

export function addCalibration(database: Database, point: CalibrationPoint): void {
  database
    .prepare(
      `INSERT INTO calibrations (rig_id, channel, point, at, reading, reading_uncertainty, reference,
         reference_uncertainty, at_zero_count, per_count, tool_version) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
    )
    .run(
      point.rigId,
      point.channel,
      point.point,
      point.at,
      point.reading,
      point.readingUncertainty,
      point.reference,
      point.referenceUncertainty,
      point.atZeroCount,
      point.perCount,
      toolVersion(),
    );
}

/** Oldest first; of all rigs when none is named. */
export function listCalibrations(database: Database, rigId?: string): CalibrationPoint[] {
  return database
    .prepare(
      `SELECT rig_id AS rigId, channel, point, at, reading, reading_uncertainty AS readingUncertainty, reference,
         reference_uncertainty AS referenceUncertainty, at_zero_count AS atZeroCount, per_count AS perCount
       FROM calibrations WHERE ? IS NULL OR rig_id = ? ORDER BY at, id`,
    )
    .all(rigId ?? null, rigId ?? null) as CalibrationPoint[];
}

export function addShiftCheck(database: Database, check: ShiftCheck): void {
  database
    .prepare(
      `INSERT INTO shift_checks (rig_id, channel, moment, at, reading, reading_uncertainty, reference,
         reference_uncertainty, allowed, good, tool_version) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
    )
    .run(
      check.rigId,
      check.channel,
      check.moment,
      check.at,
      check.reading,
      check.readingUncertainty,
      check.reference,
      check.referenceUncertainty,
      check.allowed,
      check.isGood ? 1 : 0,
      toolVersion(),
    );
}

/** Oldest first; of all rigs when none is named. */
export function listShiftChecks(database: Database, rigId?: string): ShiftCheck[] {
  const rows = database
    .prepare(
      `SELECT rig_id AS rigId, channel, moment, at, reading, reading_uncertainty AS readingUncertainty, reference,
         reference_uncertainty AS referenceUncertainty, allowed, good
       FROM shift_checks WHERE ? IS NULL OR rig_id = ? ORDER BY at, id`,
    )
    .all(rigId ?? null, rigId ?? null) as (Omit<ShiftCheck, 'isGood'> & { good: number })[];
  return rows.map(({ good, ...check }) => ({ ...check, isGood: good === 1 }));
}

/** What holds for `rigId` at `at`: each channel's newest points up to then, put through the scales of today's profile. */
export function calibrationFor(
  points: readonly CalibrationPoint[],
  rigId: string,
  at: string,
  scales: Scales,
): Calibration {
  const channels: Calibration['channels'] = {};
  const past = points.filter((point) => point.rigId === rigId && point.at <= at);
  for (const channel of CHANNELS) {
    const own = past.filter((point) => point.channel === channel).map((point) => rescaled(point, scales));
    const zero = own.findLast(({ point }) => point === 'zero');
    const load = own.findLast(({ point }) => point === 'load');
    if (!zero && !load) continue;
    // A load was read above the zero of its own day, whatever the zero has become since.
    const loadZero =
      load && (own.findLast(({ point, at: day }) => point === 'zero' && day <= load.at) ?? zero);
    channels[channel] = correctionOf(zero, load, loadZero, scales[channel]);
  }
  return { rigId, at, channels };
}

/** A rig profile's scales with the correction in them. */
export function correctedScales(scales: Scales, { channels }: Calibration): Scales {
  const out = { ...scales };
  for (const channel of CHANNELS) {
    const correction = channels[channel];
    if (!correction) continue;
    const { zero, gain, gainUncertaintyPercent, offsetUncertainty } = correction;
    const scale = scales[channel];
    out[channel] = {
      atZeroCount: gain * (scale.atZeroCount - zero),
      perCount: gain * scale.perCount,
      gainUncertaintyPercent: gainUncertaintyPercent ?? scale.gainUncertaintyPercent,
      offsetUncertainty: offsetUncertainty ?? scale.offsetUncertainty,
    };
  }
  return out;
}

/** The point as today's scale would have read the same counts. */
function rescaled(point: CalibrationPoint, scales: Scales): CalibrationPoint {
  const { atZeroCount, perCount } = scales[point.channel];
  if (atZeroCount === point.atZeroCount && perCount === point.perCount) return point;
  const factor = perCount / point.perCount;
  return {
    ...point,
    reading: atZeroCount + factor * (point.reading - point.atZeroCount),
    readingUncertainty: Math.abs(factor) * point.readingUncertainty,
  };
}

function correctionOf(
  zero: CalibrationPoint | undefined,
  load: CalibrationPoint | undefined,
  loadZero: CalibrationPoint | undefined,
  scale: Scales[Channel],
): Correction {
  const exact = Number.POSITIVE_INFINITY;
  const readingIn = (point: CalibrationPoint) => ({
    value: point.reading,
    standardUncertainty: point.readingUncertainty,
    degreesOfFreedom: exact,
  });
  const referenceIn = (point: CalibrationPoint) => ({
    value: point.reference,
    standardUncertainty: point.referenceUncertainty,
    degreesOfFreedom: exact,
  });
  const nothing = { value: 0, standardUncertainty: scale.offsetUncertainty, degreesOfFreedom: exact };
  const gain =
    load &&
    propagate(
      (loaded, reference, atZero) => reference / (loaded - atZero),
      [readingIn(load), referenceIn(load), loadZero ? readingIn(loadZero) : nothing],
    );
  const factor = gain?.value ?? 1;
  return {
    zero: zero?.reading ?? 0,
    gain: factor,
    ...(zero
      ? {
          offsetUncertainty:
            Math.abs(factor) * Math.hypot(zero.readingUncertainty, zero.referenceUncertainty),
          zeroAt: zero.at,
        }
      : {}),
    ...(load && gain
      ? { gainUncertaintyPercent: (100 * gain.standardUncertainty) / Math.abs(gain.value), loadAt: load.at }
      : {}),
  };
}

/**
 * Why a run's numbers are in doubt: the first known-load check of its rig after it failed. Every run since the last good
 * check falls under it; a good check before or a later one clears nothing.
 */
export function doubtOf(checks: readonly ShiftCheck[], rigId: string, startedAt: string): string | undefined {
  const next = checks.find((check) => check.rigId === rigId && check.at > startedAt);
  if (!next) return undefined;
  // Checks of several channels at one sitting stand together until the next run: any bad one counts.
  const sitting = checks.filter(
    (check) => check.rigId === rigId && check.at >= next.at && dayDistanceS(next.at, check.at) < SITTING_S,
  );
  const bad = sitting.find((check) => !check.isGood);
  if (!bad) return undefined;
  return `in doubt: the known-load check of ${bad.channel} on ${bad.at} failed (${bad.reading.toPrecision(4)} read, ${bad.reference.toPrecision(4)} known)`;
}

/** Checks that follow each other this closely belong to one sitting. */
const SITTING_S = 600;
const dayDistanceS = (from: string, to: string): number => (Date.parse(to) - Date.parse(from)) / 1000;
