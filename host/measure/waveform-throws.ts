// A throw as a value shows it: where it stands beyond one level, and until it comes below another.

import { sampleAt } from '../arrays/index.js';
import type { Trace } from './trace.js';

/** Opens this short, between closings the same way, are bounce or a dropout: no hand is that quick (common practice, no source). */
export const SAME_THROW_S = 0.05;
/** A suppression spike or an inductive kick is over by then (common practice, no source). */
export const SHORTEST_THROW_S = 0.004;
/** What is left of the running level where the contact has opened. Choice of this program, no source. */
export const OPENED_PART = 0.4;

/** -1 reverse, 0 rest, 1 forward. */
type Way = -1 | 0 | 1;
export interface Throw {
  way: Exclude<Way, 0>;
  from: number;
  to: number;
}

/**
 * Stretches in which a value stands beyond `closed` one way, and until it comes below `open`; a way that changes behind
 * lost samples changes where the loss began.
 */
export function throwsAbove(values: Float64Array, closed: number, open: number): Throw[] {
  const throws: Throw[] = [];
  let before: Way = 0;
  let from = 0;
  let lostFrom: number | undefined;
  for (let i = 0; i < values.length; i++) {
    const value = sampleAt(values, i);
    if (Number.isNaN(value)) {
      lostFrom ??= i;
      continue;
    }
    const side = value > 0 ? 1 : -1;
    const way: Way = Math.abs(value) > (side === before ? open : closed) ? side : 0;
    if (way !== before) {
      const at = lostFrom ?? i;
      if (before !== 0) throws.push({ way: before, from, to: at });
      from = at;
      before = way;
    }
    lostFrom = undefined;
  }
  if (before !== 0) throws.push({ way: before, from, to: values.length });
  return throws;
}

export function durationS({ timeS, stepS }: Trace, from: number, to: number): number {
  const endS = to < timeS.length ? sampleAt(timeS, to) : sampleAt(timeS, timeS.length - 1) + stepS;
  return endS - sampleAt(timeS, from);
}

export function merged(trace: Trace, throws: readonly Throw[]): Throw[] {
  const out: Throw[] = [];
  for (const found of throws) {
    const last = out.at(-1);
    if (last?.way === found.way && durationS(trace, last.to, found.from) < SAME_THROW_S) last.to = found.to;
    else out.push({ ...found });
    // A kick the other way, between two pieces of one throw.
    const [first, kick, again] = out.slice(-3);
    if (
      first &&
      kick &&
      again &&
      first.way === again.way &&
      durationS(trace, kick.from, kick.to) < SHORTEST_THROW_S &&
      durationS(trace, first.to, again.from) < SAME_THROW_S
    )
      out.splice(-3, 3, { ...first, to: again.to });
  }
  return out;
}

/** One past the last of [from, to) that holds; `to` when none does. */
export function lastFrom(from: number, to: number, holds: (i: number) => boolean): number {
  for (let i = to - 1; i >= from; i--) if (holds(i)) return i + 1;
  return to;
}
