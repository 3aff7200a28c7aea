// What the ripples of a turn say of each hypothesis, where the profile's segments let them be told one by one.

import type { Measured } from '../measure/index.js';

/** Once a turn a current may swing so many times as far as a ripple without a bad segment; as the check of it. */
const SWING = 2;
/** Chance of uneven ripples without a bad segment, and when the cause is not on the list. Choices of this program, no source. */
const STRAY_UNEVEN = 0.002;
export const UNLISTED_UNEVEN = 0.05;

/** Log likelihood of the run's ripples for a cause that makes them uneven with `chance`; 0 where they are not told. */
export function rippleTerm(measured: Measured, chance = STRAY_UNEVEN): number {
  const told = Object.keys(measured).flatMap((key) => /^(.+)RipplesMissingPerTurn$/.exec(key)?.[1] ?? []);
  if (told.length === 0) return 0;
  const value = (key: string): number => measured[key]?.value ?? 0;
  // One armature: what one throw shows of it the other shows again.
  const isUneven = told.some(
    (name) =>
      value(`${name}RipplesMissingPerTurn`) + value(`${name}RipplesDeepPerTurn`) > 0 ||
      value(`${name}ShaftRateAmplitudeA`) > SWING * value(`${name}RippleAmplitudeA`),
  );
  return Math.log(isUneven ? chance : 1 - chance);
}
