// A throw that follows the opposite one without a pause: supply and back-EMF add, and the start is no start from rest.
// No plan of the rig does this (its dead time forbids it); imported captures may.

import { quantityOf, type Segment } from '../../measure/index.js';
import type { Check } from '../verdict.js';
import { throwId, throwWords } from '../words.js';
import { type CheckContext, numberCheck, quantityIn } from './context.js';

/** A shaft has not stopped by then (brake to a tenth of the speed: 11 to 28 ms; relays take some of it to travel). */
const STILL_TURNS_S = 0.03;
/** Peak over stall: voltage and back-EMF of 0.75 to 0.86 of it add, less what the inductance rounds off. */
const LOWER = 1.4;
const UPPER = 1.6;
/** A start from rest peaks at this part of the stall current, 0.83 to 0.89 as the motor goes. */
const START_PART = 0.86;
const START_PART_U = 0.03 / Math.sqrt(3);

/** Checks that take a throw for a start from rest, of the throws that were none, give way to one of the reversal. */
export function forReversal(context: CheckContext, checks: readonly Check[]): Check[] {
  const reversed = reversals(context.seen.segments);
  if (reversed.length === 0) return [...checks];
  const gone = new Set(
    reversed.flatMap(({ into }) => ['inrush', 'settling', 'envelope'].map((kind) => throwId(kind, into))),
  );
  const kept = checks.filter(({ id }) => !gone.has(id) && id !== 'motor-signature');
  return [...kept, ...reversed.map(({ from, into }) => reversalCheck(context, from, into))];
}

function reversalCheck(context: CheckContext, from: string, into: string): Check {
  const start = quantityIn(context, `${from}InrushPeakA`);
  const peak = quantityIn(context, `${into}InrushPeakA`);
  const ratio =
    start &&
    peak &&
    quantityOf((START_PART * peak.value) / start.value, 'times', [
      { ...peak, standardUncertainty: (START_PART * peak.standardUncertainty) / start.value },
      {
        ...start,
        standardUncertainty: (START_PART * peak.value * start.standardUncertainty) / start.value ** 2,
      },
      {
        standardUncertainty: (peak.value * START_PART_U) / start.value,
        degreesOfFreedom: Number.POSITIVE_INFINITY,
      },
    ]);
  return numberCheck({
    id: throwId('reversal', into),
    subject: `${throwWords(into)}, reversed without a pause: the current peaks at, over the stall current,`,
    quantity: ratio,
    lower: LOWER,
    upper: UPPER,
    required: false,
    origin: 'generic',
    missing: 'not tested, one of the two starts was not seen',
    hint: 'Contacts, fuse and gearbox bear it each time: let the motor stop before it is reversed.',
  });
}

/** Throws of the full feed that begin while the opposite one still turns the shaft. */
function reversals(segments: readonly Segment[]): { from: string; into: string }[] {
  const throws = segments.filter(({ position, limited }) => position !== 'rest' && !limited);
  return throws.flatMap((into, i) => {
    const from = throws[i - 1];
    return from && from.position !== into.position && into.fromS - from.toS < STILL_TURNS_S
      ? [{ from: from.name, into: into.name }]
      : [];
  });
}
