// What a known-load check says of the runs before it.

import { CHANNEL } from '../capture/index.js';
import { significant } from '../tell/index.js';
import type { ShiftCheck } from './calibration-store.js';

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
  return `in doubt: the ${failedCheckWords(bad)}`;
}

/** `known-load check of lead A on 2024-06-11T08:00:00.000Z failed (11.20 V read, 12.00 V known)`. */
export function failedCheckWords({ channel, at, reading, reference }: ShiftCheck): string {
  const { words, unit } = CHANNEL[channel];
  return `known-load check of ${words} on ${at} failed (${significant(reading, 4, unit)} read, ${significant(reference, 4, unit)} known)`;
}

/** Checks that follow each other this closely belong to one sitting. */
const SITTING_S = 600;
const dayDistanceS = (from: string, to: string): number => (Date.parse(to) - Date.parse(from)) / 1000;
