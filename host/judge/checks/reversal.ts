// A throw that follows the opposite one without a pause: supply and back-EMF add, and the start is no start from rest.
// No plan of the rig does this (its dead time forbids it); imported captures may.

import {
  atStart,
  isFullThrow,
  lineOf,
  type Measured,
  quantityOf,
  type RunStretch,
  scaledLines,
} from '../../measure/index.js';
import { numberCheck } from '../check.js';
import type { Check, CheckKind } from '../verdict.js';
import { type CheckContext, seenOf } from './context.js';

/** Peak over stall, at most: voltage and back-EMF of 0.75 to 0.86 of it add, less what the inductance rounds off. */
const UPPER = 1.6;
/** A start from rest peaks at this part of the stall current, 0.83 to 0.89 as the motor goes. */
const START_PART = 0.86;
const START_PART_U = 0.03 / Math.sqrt(3);

const REVERSAL: CheckKind = { id: 'reversal', of: 'motor', rank: 180 };

export const reversalChecks = (context: CheckContext): Check[] =>
  reversals(context).map(([from, into]) => reversalCheck(context, from, into));

/** Without checks that take a throw for a start from rest, of the throws that were none. */
export function withoutFalseStarts(context: CheckContext, checks: readonly Check[]): Check[] {
  const reversed = new Set(reversals(context).map(([, into]) => into.id));
  if (reversed.size === 0) return [...checks];
  return checks.filter(
    ({ kind, throw: thrown }) => !kind.isOfStart || (thrown !== undefined && !reversed.has(thrown.id)),
  );
}

/** Readings without the starts of throws that reversed a turning motor. */
export function withoutReversedStarts(context: Pick<CheckContext, 'seen'>): Measured {
  const reversed = new Set(reversals(context).map(([, into]) => into.id));
  return Object.fromEntries(
    Object.entries(context.seen.measured).filter(
      ([, { what, of }]) => what !== 'inrushPeakA' || of === undefined || !reversed.has(of.id),
    ),
  );
}

function reversalCheck(context: CheckContext, from: RunStretch, into: RunStretch): Check {
  const start = seenOf(context, 'inrushPeakA', from);
  const peak = seenOf(context, 'inrushPeakA', into);
  const ratio =
    start &&
    peak &&
    quantityOf((START_PART * peak.value) / start.value, 'times', [
      ...scaledLines(peak, START_PART / start.value),
      ...scaledLines(start, (START_PART * peak.value) / start.value ** 2),
      lineOf((peak.value * START_PART_U) / start.value, 'start over stall'),
    ]);
  return numberCheck(REVERSAL, {
    throw: into,
    subject: `${atStart(into)}, reversed without a pause: the current peaks at, over the stall current,`,
    named: `${atStart(into)}, reversed without a pause: current peak`,
    quantity: ratio,
    upper: UPPER,
    required: false,
    origin: 'generic',
    missing: 'not tested, one of the two starts was not seen',
    hint: 'Contacts, fuse and gearbox bear it each time: let the motor stop before it is reversed.',
  });
}

/** Throws of the full feed that begin while the opposite one still turns the shaft. */
function reversals(context: Pick<CheckContext, 'seen'>): [from: RunStretch, into: RunStretch][] {
  const throws = context.seen.segments.filter(({ of }) => isFullThrow(of));
  return throws.flatMap((into, i) => {
    const from = throws[i - 1];
    return from && into.startsTurning ? [[from.of, into.of] satisfies [RunStretch, RunStretch]] : [];
  });
}
