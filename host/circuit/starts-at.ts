// Where along its travel a drive with limit switches stands before its first throw: nobody sees that from outside.

import { type CircuitStyle, endsOfTravelRad } from '../profile/index.js';

/** A motor runs on a little behind the contact that stopped it. Choice of this program, no source. */
const PAST_RAD = 1;

/**
 * Shaft angle, rad, at a place of the travel: 0 at the reverse limit, 1 at the forward one, each just behind its contact.
 * Undefined where the drive has no limits at both ends.
 */
export function angleAtRad(style: CircuitStyle, place: number): number | undefined {
  const { reverse, forward } = endsOfTravelRad(style);
  if (reverse === undefined || forward === undefined) return undefined;
  const [from, to] = [reverse - PAST_RAD, forward + PAST_RAD];
  return from + place * (to - from);
}

/** Shaft angles to ask from, rad: the model's own, which is undefined, and just behind either limit where there are any. */
export const standingAngles = (style: CircuitStyle): (number | undefined)[] => [
  undefined,
  ...[0, 1].flatMap((place) => angleAtRad(style, place) ?? []),
];
