// Conditions that come in degrees: between two simulated ones, and between the good unit and a slight one, readings
// are taken as straight. A joint of a quarter of an ohm reads half as bad as one of half an ohm.

import type { Fault } from '../circuit/index.js';
import type { Measured, Quantity } from '../measure/index.js';
import type { Pattern } from './library.js';

/** Parts of the way from the good unit to such a fault. Choice of this program, no source; so are the next. */
const FROM_GOOD = [0.4, 0.7];
/** Parts of the way from one simulated strength to the next. */
const BETWEEN = [1 / 3, 2 / 3];

/** `patterns` from slight to strong, with those in between where both show the same kind of run. */
export function inDegrees(
  { comesInDegrees }: Pick<Fault, 'comesInDegrees'>,
  patterns: readonly Pattern[],
  good: Pattern | undefined,
): Pattern[] {
  // What sets in during a run comes whole.
  const whole = patterns.filter(({ since }) => since === undefined);
  const [first] = whole;
  const slighter =
    good && first && comesInDegrees ? FROM_GOOD.flatMap((part) => between(good, first, part)) : [];
  const steps = whole.flatMap((pattern, i) => {
    const next = whole[i + 1];
    return next === undefined ? [] : BETWEEN.flatMap((part) => between(pattern, next, part));
  });
  return [...patterns, ...slighter, ...steps];
}

/** One pattern, or none when the two do not show the same throws in the same way. */
function between(a: Pattern, b: Pattern, part: number): Pattern[] {
  if (a.tripsIn !== undefined || b.tripsIn !== undefined) return [];
  const isAlike =
    a.segments.length === b.segments.length &&
    a.segments.every(({ of, release, brief }, i) => {
      const other = b.segments[i];
      return of.id === other?.of.id && release === other.release && brief === other.brief;
    });
  if (!isAlike) return [];
  const measured: Measured = {};
  for (const [name, quantity] of Object.entries(a.measured)) {
    const other = b.measured[name];
    if (other) measured[name] = { ...quantity, value: straight(quantity, other, part) };
  }
  return [{ ...b, measured, tripsIn: undefined }];
}

const straight = (a: Quantity, b: Quantity, part: number): number => a.value + part * (b.value - a.value);
