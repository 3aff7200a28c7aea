// Where along its travel a drive with limit switches stands before its first throw: nobody sees that from outside.

import type { CircuitStyle } from '../profile/index.js';

/** A motor runs on a little behind the contact that stopped it. Choice of this program, no source. */
const PAST_RAD = 1;

/** Shaft angles at which its limit switches open, rad; undefined where it has not one for each way. */
function endsOfTravelRad({ elements }: CircuitStyle): { reverse: number; forward: number } | undefined {
  const limits = elements.filter((element) => element.kind === 'limit');
  const reverse = limits.flatMap(({ opensBelowRad }) => opensBelowRad ?? []);
  const forward = limits.flatMap(({ opensAboveRad }) => opensAboveRad ?? []);
  if (reverse.length === 0 || forward.length === 0) return undefined;
  return { reverse: Math.max(...reverse), forward: Math.min(...forward) };
}

/**
 * Shaft angle, rad, at a place of the travel: 0 at the reverse limit, 1 at the forward one, each just behind its contact.
 * Undefined where the drive has no limits at both ends.
 */
export function angleAtRad(style: CircuitStyle, place: number): number | undefined {
  const ends = endsOfTravelRad(style);
  if (ends === undefined) return undefined;
  const [from, to] = [ends.reverse - PAST_RAD, ends.forward + PAST_RAD];
  return from + place * (to - from);
}

/** Shaft angles to ask from, rad: the model's own, which is undefined, and just behind either limit where there are any. */
export const standingAngles = (style: CircuitStyle): (number | undefined)[] => [
  undefined,
  ...[0, 1].flatMap((place) => angleAtRad(style, place) ?? []),
];
