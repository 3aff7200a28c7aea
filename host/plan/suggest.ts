// The smallest of the parts on the list that bears what is asked of it, and how that is said.

import type { ConnectorClass, Parts, RelayClass, SwitchClass } from '../profile/index.js';
import { listed } from '../tell/index.js';
import { bySize } from './by-size.js';
import { AS_SOLVED } from './demand.js';
import type { Demand, RatingRow, SuggestedPart } from './rating-row.js';

export const asSuggested = ({ id, title, source }: SuggestedPart): SuggestedPart => ({ id, title, source });

/** What it opens of a motor or coil: the least that is told of it. */
const opensA = ({ carryA, breakA = carryA, inductiveA = breakA }: SwitchClass): number =>
  Math.min(carryA, breakA, inductiveA);

/** Rated for more than runs through it, and for the start where its file tells what it makes: common practice, no source. */
export const smallestSwitch = (
  switches: readonly SwitchClass[],
  { most: { runningA, startA } }: Demand,
): SwitchClass | undefined =>
  bySize(switches, opensA).find(
    (part) => opensA(part) > AS_SOLVED * runningA && (part.makeA ?? Number.POSITIVE_INFINITY) >= startA,
  );

/**
 * One relay for both of its contacts.
 * @param leastA what either must be rated above; absent where the circuit has no such contact
 */
export const smallestRelay = (
  relays: readonly RelayClass[],
  leastA: { make?: number; break?: number },
): RelayClass | undefined => {
  const bears = (ratedA: number | undefined, least: number | undefined): boolean =>
    least === undefined || (ratedA !== undefined && ratedA > AS_SOLVED * least);
  return bySize(relays, ({ makeA, breakA = 0 }) => makeA + breakA).find(
    ({ makeA, breakA }) => bears(makeA, leastA.make) && bears(breakA, leastA.break),
  );
};

/** On the ends of a wire: carries what the fuse ahead lets through, as the wire does. Common practice, no source. */
export const smallestConnector = (
  connectors: readonly ConnectorClass[],
  carriesA: number,
): ConnectorClass | undefined =>
  bySize(connectors, ({ carryA }) => carryA).find(({ carryA }) => carryA >= carriesA);

/** Least and most that relays on the list are rated for; undefined without any. */
export function relayRange(
  { relays }: Parts,
  contact: 'make' | 'break',
): { leastA: number; mostA: number; isPublished: boolean } | undefined {
  const having = relays.flatMap(({ makeA, breakA, origin }) => {
    const ratedA = contact === 'make' ? makeA : breakA;
    return ratedA === undefined ? [] : [{ ratedA, origin }];
  });
  if (having.length === 0) return undefined;
  const rated = having.map(({ ratedA }) => ratedA);
  return {
    leastA: Math.min(...rated),
    mostA: Math.max(...rated),
    isPublished: having.every(({ origin }) => origin === 'published'),
  };
}

/** Of which the title says the size; of the others only what it must exceed is certain. */
const SIZED: ReadonlySet<RatingRow['kind']> = new Set<RatingRow['kind']>([
  'feed',
  'coil-feed',
  'fuse',
  'wire',
  'wire-drop',
]);

/** What to take, as one says it; undefined where nothing is known. */
export function neededWords({ kind, needs, suggested = [] }: RatingRow): string | undefined {
  if (needs === undefined || suggested.length === 0) return needs;
  const titles = listed(
    suggested.map(({ title }) => title),
    'or',
  );
  return SIZED.has(kind) ? titles : `${needs} (${titles})`;
}
