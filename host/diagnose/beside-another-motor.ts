// While nobody has a motor's numbers, each condition of a motor stands beside a motor of another size that reads the same.

import type { MotorMoves } from '../circuit/index.js';
import type { MeasureResult } from '../measure/index.js';
import { KNOWN_BY, STRAY_DROPOUT } from './hypotheses.js';
import type { LibraryEntry } from './library.js';
import { ANOTHER_MOTOR } from './nothing-wrong.js';

export interface Scored {
  entry: LibraryEntry;
  score: number;
}

/** By the readings alone. */
export const explains = ({ score, entry: { hypothesis } }: Scored): number =>
  score - Math.log(hypothesis.prior);

/**
 * Where a run found its motor other than usual: what a condition makes of a motor another one may be by nature, and the
 * other way round where the condition moves it that way. As well explained, each by its own weight; a loss of the
 * current is the condition's alone.
 */
export function asAnotherMotor(
  scored: readonly Scored[],
  { measured }: MeasureResult,
  beyond: MotorMoves | undefined,
): Scored[] {
  const dropsOut = Object.values(measured).some(
    ({ what, value }) => what === 'dropoutsMotorSide' && value > 0,
  );
  const isOther = ({ entry: { hypothesis } }: Scored): boolean => hypothesis.id === ANOTHER_MOTOR;
  const isLike = ({ entry: { hypothesis } }: Scored): boolean =>
    hypothesis.moves !== undefined && !(dropsOut && hypothesis.dropouts.motor > KNOWN_BY);
  if (beyond === undefined || !scored.some(isOther)) return [...scored];
  const best = Math.max(...scored.filter((one) => isOther(one) || isLike(one)).map(explains));
  return scored.map((one) => {
    const { prior, moves, dropouts } = one.entry.hypothesis;
    const tied = Math.log(prior) + best;
    if (isOther(one)) return { ...one, score: tied };
    if (moves === undefined || !movesAlike(moves, beyond)) return one;
    const ownTerm = isLike(one) ? 0 : Math.log(dropouts.motor / STRAY_DROPOUT);
    return { ...one, score: Math.max(one.score, tied + ownTerm) };
  });
}

/**
 * By a current alone a motor of more resistance and a soft supply read the same: while nobody has the motor's numbers,
 * another motor explains as much as the supply does, which is not accused for being unseen.
 */
export function besideSoftSupply(scored: readonly Scored[]): Scored[] {
  const supplies = scored.filter(({ entry: { hypothesis } }) => hypothesis.isOfSupply);
  const best = Math.max(...supplies.map(explains));
  return scored.map((one) => {
    const { id, prior } = one.entry.hypothesis;
    return id === ANOTHER_MOTOR ? { ...one, score: Math.max(one.score, best + Math.log(prior)) } : one;
  });
}

export const movesAlike = (a: MotorMoves, b: MotorMoves): boolean =>
  (a.resistance !== undefined && a.resistance === b.resistance) ||
  (a.friction !== undefined && a.friction === b.friction);

/** Another motor, and a condition that makes one of the same numbers. */
export function areOneMotor(
  { hypothesis: a }: LibraryEntry,
  { hypothesis: b }: LibraryEntry,
  beyond: MotorMoves,
): boolean {
  const condition = a.id === ANOTHER_MOTOR ? b : b.id === ANOTHER_MOTOR ? a : undefined;
  return condition?.moves !== undefined && movesAlike(condition.moves, beyond);
}
