// Where a drive with limit switches stood before the run: nobody sees it from outside, and its first throw shows no more
// than how far it was from the limit ahead. What such a throw leaves out says nothing against the unit.

import { known } from '../fields/index.js';
import {
  DRIVEN_PART,
  FLOWING_A,
  isFullThrow,
  isThrow,
  type MeasureResult,
  type RunStretch,
  readingOf,
  type Segment,
  throwCurrentA,
  unloadedSupply,
} from '../measure/index.js';
import { hasLimits, type ResolvedUnit } from '../profile/index.js';
import type { UnitExpectation } from './expectation.js';

/** What the run shows of the place. */
export interface Stood {
  /** The throw that met its limit at once, or before it was up to speed. */
  atLimit?: RunStretch;
  /** Whether it was thrown that way again, from the other end. */
  isThrownAgain: boolean;
  /** Throws that began at a place nobody knows, by the ids of their stretches; all where nobody tells how far it goes. */
  fromAnywhere: ReadonlySet<string>;
  /** Whether it came to a limit through the limited feed: what flows there is no unit's fault then. */
  isLimitedIdle: boolean;
}

/** A motor that stops sooner was not up to speed. Choice of this program, no source. */
const UP_TO_SPEED_S = 0.3;

/** Whether its profile tells how far it goes; the style's own travel is no more than one of many. */
export const isTravelTold = ({ unit }: ResolvedUnit): boolean => unit.travelS !== undefined;

/** Undefined of what has no limit switches, and of a run that made no throw with the full feed. */
export function whereItStood(unit: ResolvedUnit, seen: MeasureResult): Stood | undefined {
  if (!hasLimits(unit.style)) return undefined;
  const throws = seen.segments.filter(({ of }) => isFullThrow(of));
  const [first] = throws;
  if (first === undefined) return undefined;
  const isSameWay = ({ of }: Segment): boolean => of.position === first.of.position;
  const others = throws.filter((one) => !isSameWay(one));
  const again = throws.filter((one) => isSameWay(one) && one !== first);
  const isShort = stopsWithin(seen, first, UP_TO_SPEED_S) || !flows(seen, first);
  const isMet =
    isShort &&
    isDriven(unit, seen, first) &&
    others.some((one) => !one.brief && flows(seen, one)) &&
    (again.length === 0 || again.some((one) => flows(seen, one)));
  const moved = throws.find((one) => flows(seen, one) && !(isMet && one === first));
  return {
    ...known({ atLimit: isMet ? first.of : undefined }),
    isThrownAgain: again.length > 0,
    fromAnywhere: new Set(
      isTravelTold(unit)
        ? isMet || moved === undefined
          ? []
          : [moved.of.id]
        : throws.map(({ of }) => of.id),
    ),
    isLimitedIdle: isMet || isIdleThroughLimiter(seen, throws),
  };
}

const startingAnywhere =
  (stood: Stood) =>
  (segment: Segment): Segment =>
    stood.fromAnywhere.has(segment.of.id) ? { ...segment, startsAnywhere: true } : segment;

/** The run without the throw that met its limit, and without a limited stage that stood at one. */
export function withoutStanding(seen: MeasureResult, stood: Stood | undefined): MeasureResult {
  if (stood === undefined) return seen;
  const marked = { ...seen, segments: seen.segments.map(startingAnywhere(stood)) };
  if (!stood.isLimitedIdle) return marked;
  const isLeftOut = (of: RunStretch | undefined): boolean =>
    of !== undefined &&
    ((of.feed === 'limited' && isThrow(of)) ||
      of.id === stood.atLimit?.id ||
      (of.behind !== undefined && of.behind.id === stood.atLimit?.id));
  return {
    ...marked,
    segments: marked.segments.filter(({ of }) => !isLeftOut(of)),
    measured: Object.fromEntries(Object.entries(seen.measured).filter(([, { of }]) => !isLeftOut(of))),
  };
}

/** Asked of the throws that are left. */
export const askedOf = (expected: UnitExpectation, stood: Stood | undefined): UnitExpectation =>
  stood?.atLimit === undefined
    ? expected
    : { ...expected, throws: expected.throws.filter(({ of }) => of.id !== stood.atLimit?.id) };

const currentOf = ({ measured }: MeasureResult, of: RunStretch): number => throwCurrentA(measured, of) ?? 0;

const flows = (seen: MeasureResult, { of }: Segment): boolean =>
  readingOf(seen.measured, 'stopsAfterS', of) !== undefined || currentOf(seen, of) > FLOWING_A;

const stopsWithin = ({ measured }: MeasureResult, { of }: Segment, mostS: number): boolean =>
  (readingOf(measured, 'stopsAfterS', of)?.value ?? Number.POSITIVE_INFINITY) < mostS;

/** Whether the leads stand as that throw should have them, as far as they were sampled. */
function isDriven({ style, motor }: ResolvedUnit, { measured }: MeasureResult, { of }: Segment): boolean {
  const voltage = readingOf(measured, 'motorVoltageV', of)?.value;
  if (voltage === undefined || of.position === 'rest') return true;
  const supplyV = unloadedSupply(measured)?.value ?? motor.nominalVoltageV;
  const sign = style.polarity[of.position] === 'positive' ? 1 : -1;
  return sign * voltage > DRIVEN_PART * supplyV;
}

/** A way that runs with the full feed and draws nothing through the limiter had its limit open there. */
const isIdleThroughLimiter = (seen: MeasureResult, throws: readonly Segment[]): boolean =>
  seen.segments.some(
    (one) =>
      one.of.feed === 'limited' &&
      isThrow(one.of) &&
      currentOf(seen, one.of) < FLOWING_A &&
      throws.some((full) => full.of.position === one.of.position && flows(seen, full)),
  );
