// The whole course of the run, stretch by stretch and channel by channel, held against the band in which good units
// move: what no single reading shows.

import { type Capture, CHANNELS, type Channel } from '../../capture/index.js';
import { feedPathOf, limitedReadings } from '../../measure/index.js';
import type { Check } from '../verdict.js';
import { throwId, throwWords } from '../words.js';
import { type CheckContext, modelOrigin, whyMissing } from './context.js';
import { type Pair, pairs } from './course.js';
import { outsidePart } from './outside-part.js';

/** Outside for longer than this part is no edge and no ripple any more (common practice, no source). */
const OUTSIDE_PART = 0.05;
/** Up to here edges that come late may be all of it, as where a limit is reached early: neither passed nor failed. */
const SURELY_OUTSIDE = 2 * OUTSIDE_PART;
/** Supply is no doing of the unit. */
const ASKED: readonly Channel[] = CHANNELS.filter((channel) => channel !== 'supplyVoltageV');
const WORDS: Partial<Record<Channel, string>> = {
  feedCurrentA: 'the feed current',
  motorCurrentA: 'the motor current',
  coilCurrentA: 'the coil current',
  leadAVoltageV: 'lead A',
  leadBVoltageV: 'lead B',
};

interface Outside {
  channel: Channel;
  part: number;
}

/** Of a harness with its motor; a part alone has its own questions, and what it hangs on would answer for it. */
export function envelopeChecks(context: CheckContext, capture: Capture): Check[] {
  if (context.unit.unit.subject !== 'harness-with-motor') return [];
  const found = pairs(context.unit.plan.steps, context.seen.segments, capture);
  // What a short leaves of the levels is told by its own check.
  const isShort = limitedReadings(context.seen, feedPathOf(context.unit)).some((one) => one.isShort);
  const isRun = (pair: Pair): boolean =>
    !(isShort && pair.planned.isLimited) && provesSomething(context, pair, found);
  const outside = (list: readonly Pair[]): Outside[] =>
    list.filter(isRun).flatMap((pair) => outsideOf(context, capture, pair));
  const told = (id: string, words: string, list: readonly Pair[]): Check[] => {
    const all = outside(list);
    return all.length > 0 ? [courseCheck(context, id, words, all)] : [];
  };
  const firstRests = found.filter(
    ({ planned }) => planned.isLeadIn || (planned.name === 'rest' && !behindFullThrow(planned.behind)),
  );
  return [
    ...told('envelope-rest', 'At rest before the first throw', firstRests),
    ...told(
      'envelope-limited',
      'With the limited feed',
      found.filter(({ planned }) => planned.isLimited),
    ),
    ...context.expectation.throws.flatMap(({ name }) => {
      const words = throwWords(name);
      const own = told(
        throwId('envelope', name),
        words,
        found.filter(({ planned }) => planned.name === name),
      );
      return [
        ...(own.length > 0 ? own : [untested(context, name)]),
        ...told(
          throwId('envelope-rest', name),
          `At rest behind ${words.toLowerCase()}`,
          found.filter(({ planned }) => planned.name === 'rest' && planned.behind === name),
        ),
      ];
    }),
  ];
}

const behindFullThrow = (behind: string | undefined): boolean => /^(?:forward|reverse)/.test(behind ?? '');

function provesSomething(context: CheckContext, { planned, seen }: Pair, all: readonly Pair[]): boolean {
  if (!context.supplyHolds || seen.segment?.brief) return false;
  if (planned.behind === undefined) return true;
  // A rest follows from the speed, and with limits the place, that the throw before it ended with.
  const before = all.find((pair) => pair.planned.name === planned.behind);
  if (!before || before.seen.segment?.brief) return false;
  const lasted = (before.seen.toS - before.seen.fromS) / (before.planned.toS - before.planned.fromS);
  const hasLimits = context.unit.style.elements.some(({ kind }) => kind === 'limit');
  return hasLimits ? Math.abs(lasted - 1) < 0.1 : lasted > 0.5;
}

/** How far each channel that was sampled leaves its band. */
function outsideOf(context: CheckContext, capture: Capture, pair: Pair): Outside[] {
  return ASKED.flatMap((channel): Outside[] => {
    const part = outsidePart(context, capture, channel, pair);
    return part === undefined ? [] : [{ channel, part }];
  });
}

function untested(context: CheckContext, name: string): Check {
  const why = whyMissing(context, name);
  return {
    id: throwId('envelope', name),
    // A course that nothing was sampled of is asked of nobody.
    required: why !== 'not measured',
    origin: modelOrigin(context),
    outcome: 'not-tested',
    sentence: `${throwWords(name)}: course ${why}.`,
  };
}

function courseCheck(context: CheckContext, id: string, words: string, all: readonly Outside[]): Check {
  const worst = all.reduce((a, b) => (b.part > a.part ? b : a));
  const percent = 100 * worst.part;
  const leaving = [
    ...new Set(
      [worst, ...all.filter(({ part }) => part > OUTSIDE_PART)].map(
        ({ channel }) => WORDS[channel] ?? channel,
      ),
    ),
  ];
  const who = leaving.join(' and ').replace(/ and (?=.* and )/g, ', ');
  const often = `${leaving.length > 1 ? 'up to ' : ''}${percent.toFixed(percent < 10 ? 1 : 0)} % of the time (at most ${(100 * OUTSIDE_PART).toFixed(0)} %)`;
  return {
    id,
    required: true,
    origin: modelOrigin(context),
    sentence:
      worst.part === 0
        ? `${words}: leads and currents keep to the course of good units.`
        : `${words}: ${who} ${leaving.length > 1 ? 'leave' : 'leaves'} the course of good units for ${often}.`,
    value: percent,
    unit: '%',
    expandedUncertainty: 0,
    upper: 100 * OUTSIDE_PART,
    outcome: worst.part <= OUTSIDE_PART ? 'pass' : worst.part <= SURELY_OUTSIDE ? 'conditional-fail' : 'fail',
  };
}
