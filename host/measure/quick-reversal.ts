// A throw that follows the opposite one while the shaft still turns: its start is none from rest, and of the one before
// nothing shows how it is released.

import { QUANTITIES } from './quantities.js';
import { type Measured, readingOf } from './reading.js';
import { isFullThrow } from './run-stretch.js';
import type { Segment } from './segment.js';

/** A shaft has not stopped by then (brake to a tenth of the speed: 11 to 28 ms; relays take some of it to travel). */
const STILL_TURNS_S = 0.03;
/** By then any has, braked or not; sooner a start that is higher than the other one by so much tells that it still turned. Choices of this program, no source. */
const MAY_TURN_S = 0.2;
const HIGHER = 1.05;

/** Marks such throws, and takes away what was read of the release between them. */
export function markReversals(segments: readonly Segment[], measured: Measured): void {
  const throws = segments.filter(({ of }) => isFullThrow(of));
  for (const [at, into] of throws.entries()) {
    const from = throws[at - 1];
    if (!from || from.of.position === into.of.position) continue;
    const pauseS = into.fromS - from.toS;
    const isAtOnce = pauseS < STILL_TURNS_S;
    if (!isAtOnce && !(pauseS < MAY_TURN_S && startsHigher(measured, from, into))) continue;
    into.startsTurning = true;
    if (!isAtOnce) continue;
    from.reversedAtOnce = true;
    delete from.release;
    for (const [key, { what, of }] of Object.entries(measured))
      if (of?.id === from.of.id && QUANTITIES[what].group === 'release') delete measured[key];
  }
}

function startsHigher(measured: Measured, from: Segment, into: Segment): boolean {
  const [before, after] = [from, into].map(({ of }) => readingOf(measured, 'inrushPeakA', of)?.value);
  return before !== undefined && after !== undefined && after > HIGHER * before;
}
