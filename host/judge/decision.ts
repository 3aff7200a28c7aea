// The decision rule: guard band equal to the expanded uncertainty (ILAC-G8:09/2019, 4.2.3, non-binary statement).

import type { Outcome } from './verdict.js';

/**
 * Outcome of a reading against tolerance limits; either limit may be absent.
 * Inside by more than U: pass. Inside by less: conditional pass. Outside by less than U: conditional fail. Outside by more: fail.
 */
export function outcomeOf(
  value: number,
  expandedUncertainty: number,
  lower: number | undefined,
  upper: number | undefined,
): Outcome {
  if (!Number.isFinite(value) || !(expandedUncertainty >= 0)) return 'not-tested';
  const inside = Math.min(
    lower === undefined ? Number.POSITIVE_INFINITY : value - lower,
    upper === undefined ? Number.POSITIVE_INFINITY : upper - value,
  );
  if (inside >= expandedUncertainty) return 'pass';
  if (inside >= 0) return 'conditional-pass';
  return inside >= -expandedUncertainty ? 'conditional-fail' : 'fail';
}
