// When a fuse opens by the points of its own sheet, in place of the gates of a standard blade.

import type { FuseClass } from '../profile/index.js';
import { type OpeningBand, openingBand, quickestS } from './blade-fuses.js';

/** A fuse as it is reckoned with: its rating, and what its own sheet says. */
export type FuseSaid = Pick<FuseClass, 'ratedA'> & Partial<Pick<FuseClass, 'title' | 'source' | 'opens'>>;

type Point = NonNullable<FuseClass['opens']>[number];
type End = 'leastS' | 'mostS';

/** Time at `currentA` on straight lines between points on logarithmic paper, as such curves are drawn. */
function between(points: readonly Point[], currentA: number, end: End): number | undefined {
  const told = points.flatMap(({ [end]: timeS, ...point }) =>
    timeS === undefined ? [] : [{ currentA: point.currentA, timeS }],
  );
  const after = told.findIndex((point) => point.currentA >= currentA);
  const right = told[after];
  if (right === undefined) return undefined;
  if (right.currentA === currentA) return right.timeS;
  const left = told[after - 1];
  if (left === undefined) return undefined;
  const way = Math.log(currentA / left.currentA) / Math.log(right.currentA / left.currentA);
  return left.timeS * (right.timeS / left.timeS) ** way;
}

/**
 * When a fuse opens that carries `currentA`: by its own points, else by the gates. Below its first point it may last for
 * good and opens no sooner than there; above its last one it opens no later, and how soon nobody says.
 */
export function opensWithin({ ratedA, opens }: FuseSaid, currentA: number): OpeningBand {
  const [first] = opens ?? [];
  const last = opens?.at(-1);
  if (opens === undefined || first === undefined || last === undefined) return openingBand(ratedA, currentA);
  if (currentA < first.currentA)
    return {
      leastS: currentA <= ratedA ? Number.POSITIVE_INFINITY : first.leastS,
      mostS: Number.POSITIVE_INFINITY,
    };
  if (currentA > last.currentA) return { leastS: 0, mostS: last.mostS ?? Number.POSITIVE_INFINITY };
  return {
    leastS: between(opens, currentA, 'leastS') ?? 0,
    mostS: between(opens, currentA, 'mostS') ?? Number.POSITIVE_INFINITY,
  };
}

/** Earliest that it opens on a current that is over in moments. */
export const soonestS = (fuse: FuseSaid, currentA: number): number =>
  fuse.opens === undefined ? quickestS(fuse.ratedA, currentA) : opensWithin(fuse, currentA).leastS;
