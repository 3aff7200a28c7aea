// What a run measured outright outweighs what is inferred from the rest of it: the resistances on the way and that of the
// supply. A cause that foretells a bad one where a good one was read, or a good one where a bad one was read, is not it; nor
// is one by which a motor turns that was read to stand.

import {
  type MeasureResult,
  QUANTITIES,
  type QuantityName,
  type Reading,
  readingOf,
} from '../measure/index.js';
import type { Pattern } from './library.js';
import { comparable } from './likelihood.js';

/** Told apart from one of a good unit by so many deviations, and taken for it within so many. Choices of this program, no source. */
const OTHER = 4;
const SAME = 2;
/** What a pattern loses by it: one in ten thousand. Choice of this program, no source. */
export const CONTRADICTED = Math.log(1e-4);

/** A bad one on the way asks for its own cause. A supply that is soft is no fault of the unit: others may stand beside it. */
const DIRECT: Partial<Record<QuantityName, { asksForCause: boolean }>> = {
  feedResistanceOhm: { asksForCause: true },
  groundResistanceOhm: { asksForCause: true },
  sourceResistanceOhm: { asksForCause: false },
};

/** Whether a resistance that was read contradicts `pattern`, as against `good`. */
export function isContradicted(
  { measured, segments }: Pick<MeasureResult, 'measured' | 'segments'>,
  pattern: Pattern,
  good: Pattern,
): boolean {
  return Object.entries(measured).some(([key, read]) => {
    const direct = DIRECT[read.what];
    const [foretold, usual] = [pattern.measured[key], good.measured[key]];
    if (!direct || !foretold || !usual || !comparable(read, segments, pattern.segments)) return false;
    const over = (one: Reading): number => (one.value - usual.value) / deviationOf(read, usual.value);
    if (over(foretold) > OTHER && over(read) < SAME) return true;
    return direct.asksForCause && over(read) > OTHER && over(foretold) < SAME;
  });
}

/** Whether in one of these throws, in which the run read a motor that stands, `pattern` foretells one that turns. */
export const turnsIn = ({ measured, segments }: Pattern, standing: ReadonlySet<string>): boolean =>
  segments.some(
    ({ of, brief }) =>
      standing.has(of.id) &&
      !brief &&
      readingOf(measured, 'runningCurrentA', of) !== undefined &&
      readingOf(measured, 'heldRotorCurrentA', of) === undefined,
  );

function deviationOf(read: Reading, usualOhm: number): number {
  const { floor = 0, part = 0 } = QUANTITIES[read.what].least?.throw ?? {};
  return Math.hypot(read.standardUncertainty, floor, part * usualOhm);
}
