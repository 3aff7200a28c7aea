// Fuses: of the feed, of the coils, and any that a style has itself.

import type { FuseClass, Parts } from '../profile/index.js';
import { amount, temperature } from '../tell/index.js';
import { CONTINUOUS_PART, fuseCapacityA, fusePart } from './blade-fuses.js';
import { bySize } from './by-size.js';
import { bearingOf, marginOf } from './demand.js';
import { type FuseSaid, opensWithin, soonestS } from './fuse-curve.js';
import type { Bearing, Build, Demand, PlannedPart, RatingRow } from './rating-row.js';
import { asSuggested } from './suggest.js';

/** A start is over in 50 to 200 ms, its peak in a few (common practice): as a fuse sees it, the peak for a tenth of a second. */
const START_S = 0.1;

/** The fuses ahead of the wires: declared, or else the smallest that bears it; absent where none does. */
export interface FusesOfBuild {
  feedA?: number;
  coilA?: number;
}

/** A fuse or a place for one: what it is called, what flows there, its rating as declared. */
interface FusePlace {
  kind: 'feed' | 'coil-feed' | 'fuse';
  title: string;
  /** Element of the style, where it is one. */
  part?: string;
  demand: Demand;
  declaredA: number | undefined;
}

/** Of the feed's current, what a fuse of the style must carry to be the fuse of the feed. */
const WHOLE_FEED = 0.99;

/** Places for fuses at the feeds; a style's own fuse that carries the whole feed stands in place of one. */
function placesOf(parts: readonly PlannedPart[], build: Build): FusePlace[] {
  const feedA = parts.find(({ carrier }) => carrier.kind === 'feed')?.demand.most.runningA ?? 0;
  const isMain = ({ carrier, demand }: PlannedPart): boolean =>
    carrier.kind === 'fuse' && demand.most.runningA >= WHOLE_FEED * feedA;
  const hasMain = parts.some(isMain);
  return parts.flatMap((part): FusePlace[] => {
    const { kind, title, part: id, ratedA } = part.carrier;
    const { demand } = part;
    switch (kind) {
      case 'fuse':
        return isMain(part)
          ? [{ kind: 'feed', title, part: id, demand, declaredA: build.fuseA ?? ratedA }]
          : [{ kind, title, part: id, demand, declaredA: ratedA }];
      case 'feed':
        return hasMain ? [] : [{ kind, title, demand, declaredA: build.fuseA }];
      case 'coil-feed':
        return [{ kind, title, demand, declaredA: build.coilFuseA }];
      default:
        return [];
    }
  });
}

export function fusesOf(parts: readonly PlannedPart[], build: Build): FusesOfBuild {
  const ratingAt = (wanted: FusePlace['kind']): number | undefined => {
    const place = placesOf(parts, build).find(({ kind }) => kind === wanted);
    return place && (place.declaredA ?? smallest(place.demand, build)?.ratedA);
  };
  const [feedA, coilA] = [ratingAt('feed'), ratingAt('coil-feed')];
  return { ...(feedA === undefined ? {} : { feedA }), ...(coilA === undefined ? {} : { coilA }) };
}

export const fuseRows = (parts: readonly PlannedPart[], build: Build): RatingRow[] =>
  placesOf(parts, build).map((place) => fuseRow(place, build));

/** Declared, or else the smallest that bears it. */
function fuseRow({ kind, title, part: id, demand, declaredA }: FusePlace, build: Build): RatingRow {
  const { duty, ambientC } = build;
  const fuse = smallest(demand, build);
  const needsA = fuse?.ratedA;
  const ratedA = declaredA ?? needsA;
  const own = declaredA === undefined ? fuse : asSold(declaredA, build.parts);
  const part = fusePart(ambientC);
  const left =
    part < 1
      ? `what ${temperature(ambientC)} leaves of the rating, ${Math.round(100 * part)} %,`
      : 'the rating';
  const row = {
    kind,
    title,
    of: id === undefined ? [] : [id],
    demand,
    isDeclared: declaredA !== undefined,
    rule:
      duty === 'continuous'
        ? `without end: ${100 * CONTINUOUS_PART} % of ${left} is more than it carries`
        : `short runs: ${left} is more than it carries`,
    source:
      duty === 'continuous'
        ? 'published rules say 75 and 80 %: the safer is taken'
        : `common practice, no source; times of opening from ${own?.opens === undefined ? 'published gates' : `the points of ${own.title}: ${own.source}`}`,
    ...(fuse === undefined ? {} : { needs: amperes(fuse.ratedA), suggested: [asSuggested(fuse)] }),
  };
  if (ratedA === undefined || own === undefined) {
    const most = Math.max(0, ...build.parts.fuses.map((each) => each.ratedA));
    return {
      ...row,
      bearing: 'does-not-bear',
      notes: [`no standard blade fuse up to ${most} A bears this.`],
    };
  }
  const capacity = fuseCapacityA(ratedA, duty, ambientC);
  return {
    ...row,
    rated: ratedA,
    capacity,
    marginPercent: marginOf(capacity, demand.most.runningA),
    bearing: fuseBearing(own, demand, build),
    notes: [...startNote(own, demand), ...(kind !== 'coil-feed' ? [heldSentence(own, demand, build)] : [])],
  };
}

const amperes = (currentA: number): string => amount(currentA, 'A', Number.isInteger(currentA) ? 0 : 1);

/** Smallest that certainly bears it, the start included. */
const smallest = (demand: Demand, build: Build): FuseClass | undefined =>
  bySize(build.parts.fuses, ({ ratedA }) => ratedA).find(
    (fuse) => fuseBearing(fuse, demand, build) === 'bears',
  );

/** By its own sheet, where a fuse of that rating on the list has one. */
const asSold = (ratedA: number, { fuses }: Parts): FuseSaid =>
  fuses.findLast((fuse) => fuse.ratedA === ratedA && fuse.opens !== undefined) ?? { ratedA };

function fuseBearing(fuse: FuseSaid, { least, most }: Demand, { duty, ambientC }: Build): Bearing {
  const { ratedA } = fuse;
  const capacity = fuseCapacityA(ratedA, duty, ambientC);
  // Hotter than the sheet goes.
  if (Number.isNaN(capacity)) return 'not-known';
  const runs = bearingOf(capacity, least.runningA, most.runningA);
  if (runs === 'bears' && soonestS(fuse, most.startA) < START_S) return 'not-known';
  return runs;
}

const startNote = (fuse: FuseSaid, { most: { startA } }: Demand): string[] =>
  soonestS(fuse, startA) < START_S
    ? [`a start of ${amount(startA, 'A', 1)} may open it: a quick one opens within a tenth of a second.`]
    : [];

const seconds = (timeS: number): string =>
  amount(timeS, 's', timeS < 1 ? 2 : Number.isInteger(timeS) ? 0 : 1);

/** What it does when the motor is held. Said of the least and the most that may flow then. */
function heldSentence(fuse: FuseSaid, { least, most }: Demand, { protector }: Build): string {
  const slow = opensWithin(fuse, least.heldA);
  const quick = opensWithin(fuse, most.heldA);
  const opens = `within ${protector.opensFromS} to ${protector.opensToS} s`;
  const held =
    least.heldA === most.heldA
      ? `held at ${amount(most.heldA, 'A', 1)}`
      : `held at ${amount(least.heldA, 'A', 0)} to ${amount(most.heldA, 'A', 0)}`;
  if (quick.leastS === Number.POSITIVE_INFINITY || slow.mostS > protector.opensToS)
    return `${held}: the fuse ${quick.leastS < protector.opensToS ? 'may' : 'will'} not end this; the motor's protector should, ${opens}.`;
  const band = `${seconds(quick.leastS)} to ${seconds(slow.mostS)}`;
  if (slow.mostS < protector.opensFromS)
    return `${held}: the fuse ends this in ${band}, before the motor's protector.`;
  return `${held}: the fuse opens in ${band}, the motor's protector ${opens}: either may be first.`;
}
