// Before the full feed: whether a reading with the limited feed shows a short. The bench asks the same question of the
// same readings while it runs, and keeps the full feed away from a short.

import { familyOf } from '../../circuit/index.js';
import { known } from '../../fields/index.js';
import {
  coilLimiterOf,
  coilShort,
  coilShortSentence,
  fedAtRest,
  fedSentence,
  feedPathOf,
  type LimitedReading,
  limitedReadings,
  type MeasureResult,
  stretchWords,
} from '../../measure/index.js';
import type { ResolvedUnit } from '../../profile/index.js';
import { amount, limit, reading } from '../../tell/index.js';
import { checkOf } from '../check.js';
import { outcomeOf } from '../decision.js';
import type { Check, CheckKind } from '../verdict.js';
import type { CheckContext } from './context.js';

const SHORT: CheckKind = {
  id: 'limited-feed-short',
  of: 'unit',
  rank: 0,
  keepsFeedOff: true,
  isGross: true,
};

/** Driven at rest against what the style rests on: told only where it kept the full feed off. */
const FED: CheckKind = {
  id: 'limited-fed-at-rest',
  of: 'harness',
  rank: 1,
  isAtRest: true,
  keepsFeedOff: true,
};

/** The coils' own feed, likewise. */
const COIL: CheckKind = { id: 'limited-coil-short', of: 'harness', rank: 1, keepsFeedOff: true };

/** Said with it where the run ended there. */
const ONLY_COILS: CheckKind = { id: 'coils-only', of: 'unit', rank: 2 };

/** A motor of a family that nobody has numbers of may be too strong for the rig. */
const STRONG: CheckKind = { ...SHORT, usual: 'start', below: { resistance: 'down' } };
/** Beyond the family's most, and with brushes that cost nothing. Choice of this program, no source. */
const STRONGER = 1.5;

/** What the strongest motor that may hang there leaves in the circuit; undefined where the motor's numbers are known. */
function strongestOhm({ unit }: CheckContext): number | undefined {
  const family = familyOf(unit);
  if (family === undefined) return undefined;
  const { nominalVoltageV, fullFeedOhm, brushDropV } = feedPathOf(unit);
  return fullFeedOhm + (nominalVoltageV - brushDropV) / (STRONGER * family.heldA.most);
}

/** One check, of the stretch that leaves least; none for a capture that has nothing with the limited feed. */
export function limitedChecks(context: CheckContext): Check[] {
  const readings = limitedReadings(context.seen, feedPathOf(context.unit));
  const [first, ...others] = readings;
  if (!first) return [];
  const worst = others.reduce((a, b) => (marginOf(b) < marginOf(a) ? b : a), first);
  const { leftOhm, leastOhm } = worst;
  if (!worst.isShort && readings.some(({ isRead }) => !isRead)) {
    const sentence = 'Short with the limited feed: not tested, feed current or leads were not read.';
    return [checkOf(SHORT, { required: false, outcome: 'not-tested', sentence })];
  }
  if (!leftOhm)
    return [checkOf(SHORT, { outcome: 'pass', sentence: 'With the limited feed nothing is shorted.' })];
  const { value, expandedUncertainty: u } = leftOhm;
  const told = `${reading(value, u, 'Ohm')} from feed to ground (a good unit at least ${limit(leastOhm, u, 'Ohm')})`;
  const words = stretchWords(worst.of);
  const fullFeed = context.seen.segments.some(({ of }) => of.feed === 'full');
  const passes = outcomeOf(value, u, leastOhm, undefined) === 'pass';
  const strongest = strongestOhm(context);
  if (worst.isShort && strongest !== undefined && value + u >= strongest) {
    const sentence = `With the limited feed, ${words}: ${told}: a short, or a motor that starts with more than this rig lets through (${amount(context.unit.rig.trip.feedCurrentA, 'A', 0)}). Full feed was never applied.`;
    return [
      checkOf(STRONG, {
        sentence,
        value,
        unit: 'Ohm',
        expandedUncertainty: u,
        lower: leastOhm,
        outcome: 'fail',
      }),
    ];
  }
  return [
    checkOf(SHORT, {
      sentence: worst.isShort
        ? `Short found with the limited feed, ${words}: ${told}${fullFeed ? '' : '; full feed was never applied'}.`
        : `With the limited feed nothing is shorted; least ${words}: ${told}.`,
      ...{ value, unit: 'Ohm', expandedUncertainty: u, lower: leastOhm },
      outcome: worst.isShort ? 'fail' : passes ? 'pass' : 'conditional-pass',
    }),
  ];
}

/** One check, where something is driven or fed at rest through the limited feed and no full feed followed. */
export function fedAtRestChecks({ seen, unit, expectation }: CheckContext): Check[] {
  if (seen.segments.some(({ of }) => of.feed === 'full')) return [];
  const coil = coilShort(seen);
  if (coil) {
    const sentence = `${coilShortSentence(coil)} Full feed was never applied.`;
    return [checkOf(COIL, { sentence, outcome: 'fail' })];
  }
  const fed = fedAtRest(seen, unit.style.restState, expectation.nominalSupplyV);
  if (!fed) return [];
  const sentence = `${fedSentence(fed)} Full feed was never applied.`;
  const { value, expandedUncertainty } = fed.current ?? {};
  return [checkOf(FED, { sentence, outcome: 'fail', ...known({ value, expandedUncertainty }) })];
}

/** Of the coils asked through their limiter, before the plan: a short fails the unit, and nothing else was asked. */
export function coilStageChecks(seen: MeasureResult, unit: ResolvedUnit): Check[] {
  const limiter = coilLimiterOf(unit);
  const short = limiter && coilShort(seen, limiter);
  if (short) {
    const sentence = `${coilShortSentence(short)} Neither full feed nor the coils' straight feed was applied.`;
    const { value, expandedUncertainty } = short.current ?? {};
    const told = known({ value, unit: short.current?.unit, expandedUncertainty });
    return [checkOf(COIL, { sentence, outcome: 'fail', ...told })];
  }
  const sentence = 'Only the relay coils were asked, through their limiter: nothing else was tested.';
  return [checkOf(ONLY_COILS, { outcome: 'not-tested', sentence })];
}

/** Of a run that a short kept from the full feed, or something driven at rest: without the thirty checks that could not be made for that reason. */
export function withoutUntried(checks: readonly Check[]): Check[] {
  const isKeptOff = checks.some(
    ({ kind, outcome }) =>
      [SHORT.id, FED.id, COIL.id].includes(kind.id) &&
      outcome !== 'pass' &&
      outcome !== 'conditional-pass' &&
      outcome !== 'not-tested',
  );
  return isKeptOff
    ? checks.filter(({ kind, outcome }) => outcome !== 'not-tested' || kind.isAlwaysTold)
    : [...checks];
}

const marginOf = ({ leftOhm, leastOhm }: LimitedReading): number =>
  leftOhm ? leftOhm.value - leastOhm : Number.POSITIVE_INFINITY;
