// What a known-load check says of the runs before it and, until the rig is put right, of those behind it.

import { CHANNEL, CHANNELS } from '../capture/index.js';
import { localTime, significant } from '../tell/index.js';
import type { CalibrationPoint, ShiftCheck } from './calibration-store.js';

/** What was noted of rigs: checks and calibrations, oldest first. */
export interface Noted {
  checks: readonly ShiftCheck[];
  points: readonly Pick<CalibrationPoint, 'rigId' | 'channel' | 'at'>[];
}

/**
 * Why a run's numbers are in doubt: a known-load check of its rig stood failed when it began, or the first one after it
 * failed. Every run since the last good check falls under it; a good check before or a later one clears nothing.
 */
export function doubtOf({ checks, points }: Noted, rigId: string, startedAt: string): string | undefined {
  const own = checks.filter((check) => check.rigId === rigId);
  const [standing] = standingFailures({ checks: own, points }, rigId, startedAt);
  if (standing) return `in doubt: the ${failedCheckWords(standing)}`;
  const next = own.find((check) => check.at > startedAt);
  if (!next) return undefined;
  // Checks of several channels at one sitting stand together until the next run: any bad one counts.
  const sitting = own.filter((check) => check.at >= next.at && dayDistanceS(next.at, check.at) < SITTING_S);
  const bad = sitting.find((check) => !check.isGood);
  if (!bad) return undefined;
  return `in doubt: the ${failedCheckWords(bad)}`;
}

/** Each channel's newest check up to `at`, where it failed and the channel was not calibrated since. */
export function standingFailures({ checks, points }: Noted, rigId: string, at: string): ShiftCheck[] {
  return CHANNELS.flatMap((channel) => {
    const newest = checks.findLast(
      (check) => check.rigId === rigId && check.channel === channel && check.at <= at,
    );
    if (!newest || newest.isGood) return [];
    const isMended = points.some(
      (point) => point.rigId === rigId && point.channel === channel && point.at > newest.at && point.at <= at,
    );
    return isMended ? [] : [newest];
  });
}

/** `known-load check of lead A on 2024-06-11 08:00:00 failed (11.20 V read, 12.00 V known)`. */
export function failedCheckWords({ channel, at, reading, reference }: ShiftCheck): string {
  const { words, unit } = CHANNEL[channel];
  const { day, time } = localTime(new Date(at));
  return `known-load check of ${words} on ${day} ${time} failed (${significant(reading, 4, unit)} read, ${significant(reference, 4, unit)} known)`;
}

/** Checks that follow each other this closely belong to one sitting. */
const SITTING_S = 600;
const dayDistanceS = (from: string, to: string): number => (Date.parse(to) - Date.parse(from)) / 1000;
