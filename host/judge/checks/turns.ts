// A motor that has its voltage and does not turn: its current stays where the start left it.

import { atStart, type Reading, type RunStretch } from '../../measure/index.js';
import { holdsRotor } from '../../profile/index.js';
import { reading } from '../../tell/index.js';
import { checkOf, isFailed } from '../check.js';
import type { Check, CheckKind } from '../verdict.js';
import { type CheckContext, seenOf, segmentOf } from './context.js';

const TURNS: CheckKind = { id: 'turns', of: 'motor', rank: 95, isOfTurning: true, isGross: true };

export const isTurns = ({ kind }: Check): boolean => kind.id === TURNS.id;

/** Ids of the throws in which the motor was read to stand. */
export const standingIn = (checks: readonly Check[]): ReadonlySet<string> =>
  new Set(
    checks.flatMap((check) => (isTurns(check) && isFailed(check) && check.throw ? [check.throw.id] : [])),
  );

/** Of its start, that a motor which turns never keeps: its back-EMF takes more. Choice of this program, no source. */
const KEPT_PART = 0.95;

/** Told of a motor that stands whichever way it is driven; what weighs on it one way may bring it to its stall. */
export function turnsChecks(context: CheckContext): Check[] {
  if (holdsRotor(context.unit.plan) || context.unit.load !== undefined) return [];
  const driven = context.expectation.throws.filter(
    ({ of }) => segmentOf(context, of)?.brief === false && seenOf(context, 'inrushPeakA', of),
  );
  const standing = driven.flatMap(({ of }) => standsIn(context, of) ?? []);
  if (standing.length < driven.length) return [];
  return standing.map(({ of, held: { value, unit, expandedUncertainty } }) =>
    checkOf(TURNS, {
      throw: of,
      sentence: `${atStart(of)}: the motor does not turn; its current stays at ${reading(value, expandedUncertainty, unit)} as it started.`,
      ...{ value, unit, expandedUncertainty },
      outcome: 'fail',
    }),
  );
}

function standsIn(context: CheckContext, of: RunStretch): { of: RunStretch; held: Reading } | undefined {
  const held = seenOf(context, 'heldRotorCurrentA', of);
  const running = seenOf(context, 'runningCurrentA', of);
  const peak = seenOf(context, 'inrushPeakA', of);
  if (!held || !running || !peak || running.value < KEPT_PART * peak.value) return undefined;
  const release = segmentOf(context, of)?.release;
  const shows = release === 'coast' || release === 'brake-ground' || release === 'brake-high';
  return shows ? undefined : { of, held };
}
