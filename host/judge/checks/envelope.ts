// The whole course of the run, stretch by stretch and channel by channel, held against the band in which good units
// move: what no single reading shows.

import { CHANNEL, CHANNELS, type Channel } from '../../capture/index.js';
import {
  atStart,
  feedPathOf,
  isFullThrow,
  isThrow,
  limitedReadings,
  REST,
  type RunStretch,
  stretchWords,
} from '../../measure/index.js';
import { hasLimits } from '../../profile/index.js';
import { amount, listed } from '../../tell/index.js';
import { checkOf } from '../check.js';
import type { Check, CheckKind } from '../verdict.js';
import {
  type CheckContext,
  expectedOf,
  isUnseenSupply,
  modelOrigin,
  NOT_MEASURED,
  seenOf,
  whyMissing,
} from './context.js';
import { type Pair, pairs } from './course.js';
import { outsidePart } from './outside-part.js';
import { isUnsettled } from './settled.js';

/** Outside for longer than this part is no edge and no ripple any more (common practice, no source). */
const OUTSIDE_PART = 0.05;
/** Up to here edges that come late may be all of it, as where a limit is reached early: neither passed nor failed. */
const SURELY_OUTSIDE = 2 * OUTSIDE_PART;
/** A limited throw or rest that lasted less than this part of its plan leaves another rest behind it. Choices of this program, no source. */
const LASTED_PART = 0.5;
const LASTED_WITHIN = 0.1;
/** These alone leave the course with another motor. */
const OF_MOTOR: readonly string[] = [CHANNEL.motorCurrentA.words, CHANNEL.feedCurrentA.words];
/** Supply is no doing of the unit. */
const ASKED: readonly Channel[] = CHANNELS.filter((channel) => channel !== 'supplyVoltageV');

const COURSE: CheckKind = {
  ...{ id: 'envelope', of: 'unit', rank: 180 },
  ...{ isOfTurning: true, isOfCourse: true },
};
const THROW: CheckKind = { ...COURSE, isOfStart: true, isOfWay: true };
const LIMITED: CheckKind = { ...COURSE, id: 'envelope-limited', isOfWay: true };
const FIRST_REST: CheckKind = { ...COURSE, id: 'envelope-rest' };
const REST_BEHIND: CheckKind = { ...COURSE, id: 'envelope-rest', isOfWay: true };

interface Outside {
  channel: Channel;
  part: number;
}

/** Of a harness with its motor; a part alone has its own questions, and what it hangs on would answer for it. */
export function envelopeChecks(context: CheckContext): Check[] {
  if (context.unit.unit.subject !== 'harness-with-motor') return [];
  const found = pairs(context.unit.plan.steps, context.seen.segments, context.capture);
  // What a short leaves of the levels is told by its own check.
  const isShort = limitedReadings(context.seen, feedPathOf(context.unit)).some((one) => one.isShort);
  const isLimited = ({ planned: { of } }: Pair): boolean => of.feed === 'limited';
  const told = (kind: CheckKind, words: string, list: readonly Pair[], of?: RunStretch): Check[] => {
    const all = list
      .filter((pair) => !(isShort && isLimited(pair)) && provesSomething(context, pair, found))
      .flatMap((pair) => outsideOf(context, pair));
    return all.length > 0 ? [courseCheck(context, { kind, words, of }, all)] : [];
  };
  const isFirstRest = ({ planned: { of } }: Pair): boolean =>
    !isThrow(of) && of.feed !== 'limited' && !(of.behind && isFullThrow(of.behind));
  return [
    ...told(FIRST_REST, 'At rest before the first throw', found.filter(isFirstRest)),
    ...told(LIMITED, 'With the limited feed', found.filter(isLimited)),
    ...context.expectation.throws.flatMap(({ of }) => {
      const thrown = found.filter((pair) => pair.planned.of.id === of.id);
      const behind = found.filter((pair) => pair.planned.of.behind?.id === of.id && !isLimited(pair));
      const own = told(THROW, atStart(of), thrown, of);
      return [
        ...(own.length > 0 ? own : [untold(context, of)]),
        ...told(REST_BEHIND, `At rest after ${stretchWords(of)}`, behind, of),
      ];
    }),
  ];
}

function provesSomething(context: CheckContext, { planned, seen }: Pair, all: readonly Pair[]): boolean {
  if (!context.supplyHolds || seen.segment?.brief) return false;
  if (isUnsettled(context.seen.measured, planned.of)) return false;
  const { behind } = planned.of;
  if (behind === undefined) return true;
  // A rest follows from the speed, and with limits the place, that the throw before it ended with.
  const before = all.find((pair) => pair.planned.of.id === behind.id);
  if (!before || before.seen.segment?.brief || before.seen.segment?.loadStep) return false;
  if (before.seen.segment?.startsAnywhere && endsOther(context, before.planned.of)) return false;
  const lasted = (before.seen.toS - before.seen.fromS) / (before.planned.toS - before.planned.fromS);
  return hasLimits(context.unit.style) ? Math.abs(lasted - 1) < LASTED_WITHIN : lasted > LASTED_PART;
}

/** It was let go still running where a good one from the usual place has stopped at its limit, or the other way round. */
export const endsOther = (context: CheckContext, of: RunStretch): boolean =>
  (seenOf(context, 'stopsAfterS', of) === undefined) !==
  (expectedOf(context, 'stopsAfterS', of) === undefined);

/** How far each channel that was sampled leaves its band. */
function outsideOf(context: CheckContext, pair: Pair): Outside[] {
  return ASKED.flatMap((channel): Outside[] => {
    if (leadsOfSupply(context, pair).includes(channel)) return [];
    const part = outsidePart(context, channel, pair);
    return part === undefined ? [] : [{ channel, part }];
  });
}

/** A lead that stands at the feed goes with the supply: where nobody sampled that, its course accuses nobody. */
function leadsOfSupply(context: CheckContext, { planned: { of } }: Pair): readonly Channel[] {
  if (!isUnseenSupply(context)) return [];
  if (isThrow(of))
    return (expectedOf(context, 'motorVoltageV', of)?.nominal ?? 0) < 0
      ? ['leadBVoltageV']
      : ['leadAVoltageV'];
  const half = context.expectation.nominalSupplyV / 2;
  return (['leadAVoltageV', 'leadBVoltageV'] as const).filter(
    (lead) => (expectedOf(context, lead, REST)?.nominal ?? 0) > half,
  );
}

function untold(context: CheckContext, of: RunStretch): Check {
  const why = whyMissing(context, of);
  return checkOf(THROW, {
    throw: of,
    // A course that nothing was sampled of is asked of nobody.
    required: why !== NOT_MEASURED,
    origin: modelOrigin(context),
    outcome: 'not-tested',
    sentence: `${atStart(of)}: course ${why}.`,
  });
}

function courseCheck(
  context: CheckContext,
  { kind, words, of }: { kind: CheckKind; words: string; of: RunStretch | undefined },
  all: readonly Outside[],
): Check {
  const worst = all.reduce((a, b) => (b.part > a.part ? b : a));
  const percent = 100 * worst.part;
  const leaving = new Set(
    [worst, ...all.filter(({ part }) => part > OUTSIDE_PART)].map(({ channel }) => CHANNEL[channel].words),
  );
  // Where a drive reaches its limit goes with the speed of its motor.
  const ofMotor = [...leaving].every((words) => OF_MOTOR.includes(words)) || hasLimits(context.unit.style);
  return checkOf(ofMotor ? { ...kind, usual: 'course of the run' } : kind, {
    throw: of,
    origin: modelOrigin(context),
    sentence:
      worst.part === 0
        ? `${words}: leads and currents stay inside the good band.`
        : `${words}: ${traceWords([...leaving])} outside the good band ${howLong(worst.part, { isMost: leaving.size > 1, isThrow: kind === THROW })}.`,
    value: percent,
    unit: '%',
    expandedUncertainty: 0,
    upper: 100 * OUTSIDE_PART,
    outcome: worst.part <= OUTSIDE_PART ? 'pass' : worst.part <= SURELY_OUTSIDE ? 'conditional-fail' : 'fail',
  });
}

/** `the trace of lead A is`, `the traces of lead A and the motor current are`. */
const traceWords = (channels: readonly string[]): string =>
  channels.length > 1 ? `the traces of ${listed(channels)} are` : `the trace of ${listed(channels)} is`;

/** From this part on nobody would say for how much of it. Choice of this program, no source. */
const ALL_OF_IT = 0.95;

function howLong(part: number, { isMost, isThrow }: { isMost: boolean; isThrow: boolean }): string {
  if (part >= ALL_OF_IT) return isThrow ? 'all through this throw' : 'all the time';
  const percent = 100 * part;
  const told = amount(percent, '%', percent < 10 ? 1 : 0);
  return `for ${isMost ? 'up to ' : ''}${told} of ${isThrow ? 'this throw' : 'the time'} (up to ${amount(100 * OUTSIDE_PART, '%', 0)} is normal)`;
}
