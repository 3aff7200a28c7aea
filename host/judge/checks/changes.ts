// What changed while a throw was held and is no contact's doing: the supply dipped, the load came or went, the rotor was
// stopped. What is judged is the unit before it, or beside it.

import { atStart, type RunStretch, readingOf, type Segment } from '../../measure/index.js';
import { amount } from '../../tell/index.js';
import { checkOf } from '../check.js';
import type { Check, CheckKind } from '../verdict.js';
import { type CheckContext, segmentOf } from './context.js';
import { isUnsettled } from './settled.js';

const SUPPLY_MOVES: CheckKind = { id: 'supply-moves', of: 'supply', rank: 12 };
/** Seen at the motor alone it may be either's doing. */
const MOTOR_VOLTAGE_MOVES: CheckKind = { ...SUPPLY_MOVES, of: 'unit', rank: -4 };
/** Whatever it met comes before any cause in the unit itself. */
const LOAD_CHANGES: CheckKind = { id: 'load-changes', of: 'unit', rank: -5, isOfTurning: true };

export function changeChecks(context: CheckContext): Check[] {
  return context.expectation.throws.flatMap(({ of }) => {
    const segment = segmentOf(context, of);
    return segment
      ? [...supplyMoves(of, segment), ...loadChanges(context, of, segment), ...unsettled(context, of)]
      : [];
  });
}

function unsettled({ unit, seen: { measured } }: CheckContext, of: RunStretch): Check[] {
  const drift = readingOf(measured, 'runningDriftPercentPerS', of);
  if (!drift || !isUnsettled(measured, of) || unit.load !== undefined) return [];
  const moves = drift.value > 0 ? 'rises' : 'falls';
  return [
    checkOf(LOAD_CHANGES, {
      throw: of,
      outcome: 'not-tested',
      sentence: `${atStart(of)}: let go, the current still ${moves} by ${amount(Math.abs(drift.value), '%', 0)} a second: its load comes and goes, or it was not run long enough. Run it longer and free, and repeat.`,
    }),
  ];
}

/** Never the unit's doing where the supply was sampled, and what the motor did meanwhile is left out. */
function supplyMoves(of: RunStretch, { supplyMoves: moves = [] }: Segment): Check[] {
  return moves.slice(0, 1).map(({ fromS, toS, extremeV, usualV, isUnseen }) => {
    const more = moves.length > 1 ? `, and ${moves.length - 1} more` : '';
    const does = extremeV < usualV ? 'falls' : 'rises';
    if (isUnseen)
      return checkOf(MOTOR_VOLTAGE_MOVES, {
        throw: of,
        outcome: 'not-tested',
        sentence: `${atStart(of)}: between the motor leads the voltage ${does} from ${amount(usualV, 'V', 1)} to ${amount(extremeV, 'V', 1)} for ${amount(toS - fromS, 's', 2)}${more}. The supply was not sampled: it moved, or a joint on the way from it. Sample it too and repeat.`,
      });
    return checkOf(SUPPLY_MOVES, {
      throw: of,
      outcome: 'not-tested',
      required: false,
      sentence: `${atStart(of)}: the supply ${does} from ${amount(usualV, 'V', 1)} to ${amount(extremeV, 'V', 1)} for ${amount(toS - fromS, 's', 2)}${more}. That is the supply's doing; the unit is judged without it.`,
    });
  });
}

function loadChanges(
  { unit }: CheckContext,
  of: RunStretch,
  { loadStep, contactS, fromS }: Segment,
): Check[] {
  if (!loadStep || unit.load !== undefined) return [];
  const { kind, atS, beforeA, afterA } = loadStep;
  const after = amount(atS - (contactS ?? fromS), 's', 1);
  const told = `${atStart(of)}: the motor runs at ${amount(beforeA, 'A', 1)}`;
  if (kind !== 'stands') {
    const moves = kind === 'heavier' ? 'rises' : 'falls';
    const why = kind === 'heavier' ? 'something begins to load the motor' : 'a load lets go of the motor';
    return [
      checkOf(LOAD_CHANGES, {
        throw: of,
        outcome: 'not-tested',
        sentence: `${told}, and after ${after} the current ${moves} to ${amount(afterA, 'A', 1)}: ${why}. Find out what it meets there, and repeat.`,
      }),
    ];
  }
  const stands = `${told}, stops after ${after} and is held: ${amount(afterA, 'A', 1)}`;
  const { endsOfTravel } = unit.unit;
  if (endsOfTravel === true)
    return [
      checkOf(LOAD_CHANGES, {
        ...{ throw: of, outcome: 'pass', required: false },
        sentence: `${stands}, as at the end of its travel.`,
      }),
    ];
  if (endsOfTravel === false)
    return [
      checkOf(LOAD_CHANGES, {
        ...{ throw: of, outcome: 'fail' },
        sentence: `${stands}. This unit has no end of travel: something jams it there.`,
      }),
    ];
  return [
    checkOf(LOAD_CHANGES, {
      ...{ throw: of, outcome: 'not-tested' },
      sentence: `${stands}. At an end of its travel? Run it off the other way and repeat; if not, something jams it there.`,
    }),
  ];
}
