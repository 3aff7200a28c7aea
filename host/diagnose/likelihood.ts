// How well one pattern explains the readings: heavy-tailed terms for numbers, plain chances for classes.

import {
  isThrow,
  kindOf,
  type Least,
  type Measured,
  type MeasureResult,
  placeOf,
  QUANTITIES,
  QUANTITY_NAMES,
  type QuantityName,
  REST,
  type Reading,
  type RunStretch,
  readingOf,
  type Segment,
} from '../measure/index.js';
import type { Hypothesis } from './hypotheses.js';
import type { Pattern } from './library.js';
import { backgroundLog, numberTerm, UNEXPLAINED } from './ranking.js';

/** Relative spread of a reading among good units, by its key. */
export type Spread = Readonly<Record<string, number>>;

export interface Evidence {
  seen: MeasureResult;
  /** Id of the stretch in which the rig stopped for over-current; undefined when it did not. */
  trippedIn: string | undefined;
  /** Unloaded supply of this run over the one of the patterns. */
  supplyRatio: number;
  /** What no channel of this run could show: it neither accuses nor acquits. */
  unsampled: ReadonlySet<QuantityName>;
  /** Readings that the instrument cut off: at least so much. */
  bounds?: Measured | undefined;
}

/**
 * What a run without some channels cannot read: what it has nowhere and a good unit shows, and what needs one of them.
 */
export function unsampledIn(seen: MeasureResult, good: Pattern | undefined): ReadonlySet<QuantityName> {
  if (seen.notSampled.length === 0 || good === undefined) return new Set();
  const read = new Set(Object.values(seen.measured).map(({ what }) => what));
  const shown = Object.values(good.measured).map(({ what }) => what);
  const isMissing = (what: QuantityName): boolean =>
    !read.has(what) && (QUANTITIES[what].needs ?? []).some((channel) => seen.notSampled.includes(channel));
  return new Set([...shown.filter((what) => !read.has(what)), ...QUANTITY_NAMES.filter(isMissing)]);
}

/** A stop that was predicted and did not come, or came unpredicted. */
const TRIP_MISMATCH = -18;
/** Something flowed in a throw where nothing would. */
const THROW_MISMATCH = -18;
/** A hypothesis shows a number where the run has none, or the other way round. */
const ONE_SIDED = -4;
/** Another release than foretold, and one that only the other shows; a release is hard to misread. Choices of this program, no source. */
const RELEASE_OTHER = Math.log(0.02);
const RELEASE_UNSEEN = Math.log(0.15);
/** Both directions and several readings share the same motor's tolerances; counted in full they would be too sure. */
const SHARED = 0.75;

/** Log likelihood of the evidence under one pattern of a hypothesis. */
export function logLikelihood(
  evidence: Evidence,
  hypothesis: Hypothesis,
  pattern: Pattern,
  spread: Spread,
): number {
  const { measured, segments } = evidence.seen;
  // Kept from the full feed, a run cannot have tripped, whatever would have.
  let sum = endsLimited(segments) || evidence.trippedIn === pattern.tripsIn ? 0 : TRIP_MISMATCH;
  for (const key of new Set([...Object.keys(measured), ...Object.keys(pattern.measured)])) {
    const read = measured[key];
    const predicted = pattern.measured[key];
    const one = read ?? predicted;
    const least = one && leastOf(one);
    if (!one || !least) continue;
    if (!comparable(one, segments, pattern.segments)) {
      // A throw that should never have come about speaks against the hypothesis as much as a reading far off.
      const isUnforetold = pattern.isUntold || pattern.tripsIn !== evidence.trippedIn;
      if (isUnforetold && read && !predicted) sum += SHARED * UNEXPLAINED;
      continue;
    }
    const bound = evidence.bounds?.[key];
    if (!read && predicted && bound) {
      sum +=
        SHARED *
        boundTerm(bound, predicted, { least, ratio: evidence.supplyRatio, spread: spread[key] ?? 0 });
      continue;
    }
    if (!read || !predicted) {
      if (!evidence.unsampled.has(one.what) && lossless(one, segments)) sum += SHARED * ONE_SIDED;
      continue;
    }
    const value = predicted.value * supplyScale(predicted, evidence.supplyRatio);
    const deviation = deviationOf(value, read, { least, spread: spread[key] ?? 0 });
    // Against the floor, not against one: a prediction that claims a wide spread must pay for it.
    sum += SHARED * (numberTerm((read.value - value) / deviation) - Math.log(deviation / least.floor));
  }
  // Leads that were not sampled show no release, but for the current that flows back.
  const isReleaseSeen =
    evidence.unsampled.size === 0 || segments.some(({ release }) => release !== undefined);
  for (const segment of segments) {
    if (!isThrow(segment.of)) continue;
    const other = pattern.segments.find(({ of }) => of.id === segment.of.id);
    if (pattern.isUntold && !other) sum += THROW_MISMATCH;
    if (!other || segment.brief || other.brief) continue;
    sum += dropoutTerm(measured, segment.of, hypothesis);
    if (
      segment.loadStep ||
      segment.reversedAtOnce ||
      segment.startsAnywhere ||
      isCutShort(segment, evidence, pattern)
    )
      continue;
    if (isReleaseSeen) sum += releaseTerm(segment, other);
    else if (!evidence.seen.notSampled.includes('motorCurrentA'))
      sum += brakeTerm(isBraked(measured, segment.of), isBraked(pattern.measured, segment.of));
  }
  return sum;
}

/** The capture ends while it is thrown, where the plan goes on: nothing tells how it lets go. */
const isCutShort = ({ of }: Segment, { seen, trippedIn }: Evidence, pattern: Pattern): boolean =>
  trippedIn === undefined &&
  seen.segments.at(-1)?.of.id === of.id &&
  pattern.segments.at(-1)?.of.id !== of.id;

/** Of a reading that is known to be so much or more: nothing speaks against what foretells more. */
function boundTerm(
  bound: Reading,
  predicted: Reading,
  { least, ratio, spread }: { least: Least; ratio: number; spread: number },
): number {
  const value = predicted.value * supplyScale(predicted, ratio);
  const short = Math.abs(bound.value) - Math.abs(value);
  return short <= 0 ? 0 : numberTerm(short / deviationOf(value, bound, { least, spread }));
}

/** Of a reading from what was foretold: what rig, wiring, model, good units and the reading itself leave open. */
const deviationOf = (
  foretold: number,
  { standardUncertainty }: Reading,
  { least, spread }: { least: Least; spread: number },
): number => Math.hypot(least.floor, least.part * foretold, spread * foretold, standardUncertainty);

/** What rig, wiring and model leave open in a reading; undefined where it has no say. */
export function leastOf(reading: Reading): Least | undefined {
  const place = placeOf(reading.of);
  return place && kindOf(reading).least?.[place];
}

/** Whether the run never came to the full feed. */
export const endsLimited = (segments: readonly Segment[]): boolean =>
  segments.length > 0 && segments.every(({ of }) => of.feed === 'limited');

/** Log likelihood when nothing on the list is the matter: every reading somewhat off. */
export const backgroundLogLikelihood = ({ seen }: Evidence): number =>
  backgroundLog(Object.values(seen.measured).filter((reading) => leastOf(reading)).length, SHARED);

/** By how much a reading goes with the supply; through the limited feed the limiter rules, and all go with it. */
export const supplyScale = (reading: Reading, ratio: number): number =>
  ratio ** (reading.of?.feed === 'limited' ? 1 : (kindOf(reading).law?.supply ?? 0));

/** A throw that one of them did not make, or cut short, compares by its leads at most. */
export function comparable(
  { of, what }: Reading,
  seen: readonly Segment[],
  predicted: readonly Segment[],
): boolean {
  if (of === undefined || !isThrow(of)) return true;
  const own = seen.find((segment) => segment.of.id === of.id);
  if (isOfRelease(what) && (own?.loadStep || own?.reversedAtOnce || endsMoved(own))) return false;
  if (own?.startsTurning && isOfStart(what)) return false;
  if (own?.startsAnywhere && (what === 'stopsAfterS' || isOfRelease(what))) return false;
  const a = seen.find((segment) => segment.of.id === of.id);
  const b = predicted.find((segment) => segment.of.id === of.id);
  if (!a || !b) return false;
  if (!a.brief && !b.brief) return true;
  return a.brief && b.brief && (what === 'leadAVoltageV' || what === 'leadBVoltageV');
}

/** Of what a motor shows as it runs down: none once something has stopped or loaded it. */
const isOfRelease = (what: QuantityName): boolean =>
  QUANTITIES[what].group === 'release' || QUANTITIES[what].group === 'energy';

/** A motor has run up again so long behind a move of its supply (common practice, no source). */
const RUN_UP_S = 0.1;

/** Whether it was let go at another speed than its supply usually gives it. */
const endsMoved = (segment: Segment | undefined): boolean =>
  segment?.supplyMoves?.some(({ toS }) => toS > segment.toS - RUN_UP_S) ?? false;

/** Of how a motor starts from rest. */
const isOfStart = (what: QuantityName): boolean =>
  QUANTITIES[what].group === 'start' || QUANTITIES[what].group === 'energy';

function lossless({ of }: Reading, segments: readonly Segment[]): boolean {
  const at = of !== undefined && isThrow(of) ? of : REST;
  const segment = segments.find((candidate) => candidate.of.id === at.id);
  return segment !== undefined && !segment.startUnseen && Object.keys(segment.lost).length === 0;
}

function releaseTerm(seen: Segment, predicted: Segment): number {
  if (seen.release === predicted.release) return 0;
  return seen.release === undefined || predicted.release === undefined ? RELEASE_UNSEEN : RELEASE_OTHER;
}

const isBraked = (measured: Measured, of: RunStretch): boolean =>
  readingOf(measured, 'brakePeakA', of) !== undefined;

const brakeTerm = (seen: boolean, predicted: boolean): number => (seen === predicted ? 0 : RELEASE_OTHER);

function dropoutTerm(measured: Measured, of: RunStretch, { dropouts }: Hypothesis): number {
  const term = (what: 'dropoutsMotorSide' | 'dropoutsHarnessSide', chance: number): number => {
    const count = readingOf(measured, what, of)?.value;
    return count === undefined ? 0 : Math.log(count > 0 ? chance : 1 - chance);
  };
  return term('dropoutsMotorSide', dropouts.motor) + term('dropoutsHarnessSide', dropouts.harness);
}
