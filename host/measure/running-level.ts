// The running current of one throw: the level at the end of the throw, as the mean of its last twentieth with the ripple
// averaged. What still falls there is told, and stands in the budget.

import { amount } from '../tell/index.js';
import { systematic } from './budget.js';
import type { DriveCurrent } from './drive-current.js';
import { type EndLevel, endLevel } from './end-level.js';
import { lineOf, type Quantity, quantityOf, spanAt } from './quantity.js';
import { atStart } from './run-stretch.js';
import type { HeldThrow } from './throw.js';

/** A change is told when it stands so many of its standard uncertainties clear of none, and is no less than this. Choices of this program, no source. */
const CLEAR = 3;
const LEAST_PERCENT_PER_S = 0.5;

/**
 * Puts running current and, where it still moves, how fast. The level is that at the end of the throw; the very end and
 * the mean of the last tenth of the throw lie to either side of it by what the budget calls still moving. What the
 * motor would come to if it were held for longer is not said.
 * @param magnitude mean of the second half, for a stretch too short to fit anything to
 */
export function runningLevel(held: HeldThrow, current: DriveCurrent, magnitude: Quantity): void {
  const { put, trace, notes, of, levelsFrom, levelsTo, leaveOut } = held;
  const { noiseA, budget } = current;
  let { values } = current;
  if (leaveOut.length > 0) {
    values = values.slice();
    for (const [from, to] of leaveOut) values.fill(Number.NaN, from, to);
  }
  const end = endLevel({ values, timeS: trace.timeS, from: levelsFrom, to: levelsTo });
  if (!end || !(end.value > 0)) {
    put('runningCurrentA', magnitude);
    return;
  }
  const lines = [
    lineOf(end.standardUncertainty, 'scatter and settling', end.degreesOfFreedom),
    lineOf(end.definitionA / Math.sqrt(3), 'still moving at the end'),
    ...systematic(budget, end.value, noiseA),
  ];
  const span = spanAt(trace.timeS, levelsFrom, levelsTo);
  put('runningCurrentA', quantityOf(end.value, 'A', lines, span));
  if (trace.isIdeal) return;
  const drift = driftOf(end, span);
  if (!drift) return;
  put('runningDriftPercentPerS', drift);
  const rate = amount(Math.abs(drift.value), '%', Math.abs(drift.value) < 3 ? 1 : 0);
  notes.push(
    `${atStart(of)}: the current was still ${drift.value < 0 ? 'falling' : 'rising'} ${rate} a second at the end; the running current is the level there.`,
  );
}

function driftOf(
  { value, driftPerS, driftUncertaintyPerS, degreesOfFreedom }: EndLevel,
  span: Parameters<typeof quantityOf>[3],
): Quantity | undefined {
  const percent = (100 * driftPerS) / value;
  const percentU = (100 * driftUncertaintyPerS) / value;
  if (!(Math.abs(percent) > Math.max(LEAST_PERCENT_PER_S, CLEAR * percentU))) return undefined;
  return quantityOf(percent, '%/s', [lineOf(percentU, 'scatter and settling', degreesOfFreedom)], span);
}
