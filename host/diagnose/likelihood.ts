// How well one pattern explains the readings: heavy-tailed terms for numbers, plain chances for classes.

import type { Measured, MeasureResult, Segment } from '../measure/index.js';
import { ruleFor, throwOfFeature } from './features.js';
import type { Hypothesis } from './hypotheses.js';
import type { Pattern } from './library.js';
import { backgroundLog, numberTerm, UNEXPLAINED } from './ranking.js';

/** Relative spread of a feature among good units, by feature name. */
export type Spread = Readonly<Record<string, number>>;

export interface Evidence {
  seen: MeasureResult;
  /** Name of the segment in which the rig stopped for over-current; undefined when it did not. */
  trippedIn: string | undefined;
  /** Unloaded supply of this run over the one of the patterns. */
  supplyRatio: number;
}

/** A stop that was predicted and did not come, or came unpredicted. */
const TRIP_MISMATCH = -18;
/** A hypothesis shows a number where the run has none, or the other way round. */
const ONE_SIDED = -4;
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
  const names = new Set([...Object.keys(measured), ...Object.keys(pattern.measured)]);
  for (const name of names) {
    const rule = ruleFor(name);
    if (!rule) continue;
    if (!comparable(name, segments, pattern.segments)) {
      // A throw that should never have come about speaks against the hypothesis as much as a reading far off.
      if (pattern.tripsIn !== evidence.trippedIn && measured[name] && !pattern.measured[name])
        sum += SHARED * UNEXPLAINED;
      continue;
    }
    const read = measured[name];
    const predicted = pattern.measured[name];
    if (!read || !predicted) {
      if (lossless(name, segments)) sum += SHARED * ONE_SIDED;
      continue;
    }
    const value = predicted.value * supplyScale(name, evidence.supplyRatio);
    const deviation = Math.hypot(
      rule.floor,
      rule.part * value,
      (spread[name] ?? 0) * value,
      read.standardUncertainty,
    );
    // Against the floor, not against one: a prediction that claims a wide spread must pay for it.
    sum += SHARED * (numberTerm((read.value - value) / deviation) - Math.log(deviation / rule.floor));
  }
  for (const segment of segments) {
    if (segment.position === 'rest') continue;
    const other = pattern.segments.find(({ name }) => name === segment.name);
    if (!other || segment.brief || other.brief) continue;
    sum += releaseTerm(segment, other);
    sum += dropoutTerm(measured, segment.name, hypothesis);
  }
  return sum;
}

/** Whether the run never came to the full feed. */
export const endsLimited = (segments: readonly Segment[]): boolean =>
  segments.length > 0 && segments.every(({ limited }) => limited === true);

/** Log likelihood when nothing on the list is the matter: every reading somewhat off. */
export function backgroundLogLikelihood(evidence: Evidence): number {
  const { measured } = evidence.seen;
  const count = Object.keys(measured).filter((name) => ruleFor(name) !== undefined).length;
  return backgroundLog(count, SHARED);
}

/** Of the time to a limit: a motor with friction loses more than its share of speed with the voltage (from the model). */
const STOPS_EXPONENT = 1.2;

/** Voltages and starting currents go with the supply; running currents about half so much (published pair: +17 % gives +14 to +25 %). */
export function supplyScale(name: string, ratio: number): number {
  if (name.startsWith('limited')) return ratio;
  if (name.endsWith('StopsAfterS')) return ratio ** -STOPS_EXPONENT;
  if (/VoltageV$|EmfV$|InrushPeakA$|BrakePeakA$|CoilCurrentA$/.test(name)) return ratio;
  if (/CurrentA$/.test(name)) return Math.sqrt(ratio);
  return 1;
}

/** A throw that one of them did not make, or cut short, compares by its leads at most. */
export function comparable(name: string, seen: readonly Segment[], predicted: readonly Segment[]): boolean {
  const way = throwOfFeature(name);
  if (!way) return true;
  const a = seen.find((segment) => segment.name === way);
  const b = predicted.find((segment) => segment.name === way);
  if (!a || !b) return false;
  if (!a.brief && !b.brief) return true;
  return a.brief && b.brief && /Lead[AB]VoltageV$/.test(name);
}

function lossless(name: string, segments: readonly Segment[]): boolean {
  const way = throwOfFeature(name) ?? 'rest';
  const segment = segments.find((candidate) => candidate.name === way);
  return segment !== undefined && Object.keys(segment.lost).length === 0;
}

function releaseTerm(seen: Segment, predicted: Segment): number {
  if (seen.release === predicted.release) return 0;
  return seen.release === undefined || predicted.release === undefined ? Math.log(0.15) : Math.log(0.02);
}

function dropoutTerm(measured: Measured, name: string, hypothesis: Hypothesis): number {
  let sum = 0;
  for (const [key, chance] of [
    ['DropoutsMotorSide', hypothesis.dropouts.motor],
    ['DropoutsHarnessSide', hypothesis.dropouts.harness],
  ] as const) {
    const count = measured[`${name}${key}`]?.value;
    if (count === undefined) continue;
    sum += Math.log(count > 0 ? chance : 1 - chance);
  }
  return sum;
}
