// Throws beyond those that the plan asks for, of a run that nobody commanded: somebody threw once more, which is no reading
// of the unit. What a cause foretells of such a throw stands, as long as the plan's own are not all there.

import { isFullThrow, type MeasureResult, type RunStretch } from '../measure/index.js';
import type { DiagnosisLibrary, Pattern } from './library.js';

/**
 * `seen` without the throws that tell nothing of any cause. Where nothing told their direction, each counts as forward and
 * only the first can be held against a pattern.
 * @param good the good unit's pattern
 */
export function withoutThrownAgain(
  seen: MeasureResult,
  { entries }: DiagnosisLibrary,
  good: Pattern | undefined,
): MeasureResult {
  if (!good?.isUntold) return seen;
  const asked = new Set(good.segments.flatMap(({ of }) => (isFullThrow(of) ? [of.id] : [])));
  const made = new Set(seen.segments.map(({ of }) => of.id));
  const isWhole = [...asked].every((id) => made.has(id));
  const isForetold = (of: RunStretch): boolean =>
    entries.some(({ patterns }) =>
      patterns.some(({ segments }) => segments.some((one) => one.of.id === of.id)),
    );
  const isAgain = (of: RunStretch | undefined): boolean =>
    of !== undefined &&
    isFullThrow(of) &&
    !asked.has(of.id) &&
    (isWhole || of.isWayUntold === true || !isForetold(of));
  if (!seen.segments.some(({ of }) => isAgain(of))) return seen;
  return {
    ...seen,
    segments: seen.segments.filter(({ of }) => !isAgain(of)),
    measured: Object.fromEntries(Object.entries(seen.measured).filter(([, { of }]) => !isAgain(of))),
  };
}
