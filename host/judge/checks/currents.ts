// Inrush, running current, symmetry, coil current and dropouts of each throw, against what the model gives a good unit.

import { familyOf, isOnMechanism } from '../../circuit/index.js';
import { atStart, type QuantityName, type RunStretch, readingOf } from '../../measure/index.js';
import { hasLimits } from '../../profile/index.js';
import { limit, limitsText, milli, reading, significant, times } from '../../tell/index.js';
import { checkOf, closeWords, type NumberCheck, numberCheck } from '../check.js';
import type { Check, CheckKind } from '../verdict.js';
import {
  type CheckContext,
  expectedLimits,
  expectedOf,
  modelOrigin,
  seenOf,
  segmentOf,
  taughtLimits,
  whyMissing,
} from './context.js';
import { coilIsUsed, IDLE_COIL_A, magnitude } from './rest.js';

/** No limit is drawn tighter than this part of the nominal: two good units of one make differ so much (common practice). */
const LEAST_PART = 0.02;
/** A loss of samples longer than a brush takes to land again could hide a dropout (common practice, no source). */
const LONGEST_UNSEEN_S = 0.005;
/** Brush timing makes good motors differ so much between directions, small ones by the ampere (common practice, no source). */
const ASYMMETRY_PERCENT = 10;
const ASYMMETRY_A = 0.25;

const INRUSH: CheckKind = {
  id: 'inrush',
  of: 'motor',
  rank: 150,
  reads: ['motorCurrentA', 'supplyVoltageV'],
  isOfStart: true,
  usual: 'start',
  above: { resistance: 'down' },
  below: { resistance: 'up' },
};
/** Towards a limit it may stand there already. */
const RUNNING_TO_LIMIT: CheckKind = {
  id: 'running',
  of: 'motor',
  rank: 140,
  reads: ['motorCurrentA', 'supplyVoltageV'],
  isOfTurning: true,
  usual: 'running current',
  above: { friction: 'up' },
  below: { friction: 'down' },
};
const RUNNING: CheckKind = { ...RUNNING_TO_LIMIT, isDeadAtZero: true };
const SETTLING: CheckKind = {
  id: 'settling',
  of: 'motor',
  rank: 180,
  isOfTurning: true,
  isOfStart: true,
  goesWithSupply: true,
  usual: 'run-up time',
};
const SYMMETRY: CheckKind = {
  ...{ id: 'symmetry', of: 'motor', rank: 160 },
  reads: ['motorCurrentA'],
  isOfTurning: true,
  comparesWays: true,
  goesWithSupply: true,
};
/** What it moves may weigh more one way: a good window takes 3.5 A down and 8 A up (published pair). */
const LOADED_SYMMETRY: CheckKind = { ...SYMMETRY, usual: 'difference between directions' };
const START_SYMMETRY: CheckKind = {
  id: 'start-symmetry',
  of: 'motor',
  rank: 160,
  reads: ['motorCurrentA', 'supplyVoltageV'],
  isOfTurning: true,
  isOfStart: true,
  comparesWays: true,
  goesWithSupply: true,
};
const COIL: CheckKind = {
  ...{ id: 'coil-current', of: 'relay', rank: 100 },
  reads: ['coilCurrentA', 'supplyVoltageV'],
};
/** A current that goes to nothing and comes back does so at any gain. */
const DROPOUTS: CheckKind = { id: 'dropouts', of: 'unit', rank: 90, isGross: true };
export const isDropouts = ({ kind }: Check): boolean => kind.id === DROPOUTS.id;

export function currentChecks(context: CheckContext): Check[] {
  const perThrow = context.expectation.throws.flatMap(({ of }): Check[] => {
    // Through the limited feed the current is the feed's, not the motor's: such a throw is there for its lead states.
    if (isStarved(context, of)) return [];
    return [
      ...banded(context, INRUSH, 'inrushPeakA', of, { reads: 'inrush peaks at', named: 'inrush peak' }),
      ...banded(context, hasLimits(context.unit.style) ? RUNNING_TO_LIMIT : RUNNING, 'runningCurrentA', of, {
        reads: 'runs at',
        named: 'running current',
      }),
      ...banded(context, SETTLING, 'settleS', of, { reads: 'is up to speed after', named: 'run-up time' }),
      ...(coilIsUsed(context) ? coilChecks(context, of) : []),
      ...dropouts(context, of),
    ];
  });
  return [...perThrow, ...symmetry(context), ...startSymmetry(context)];
}

/** Starts of one motor repeat within a tenth over the angles that it starts from (common practice); half as much again is a fault. */
const START_ASYMMETRY_PERCENT = 15;

/** Asked where no limit tells what a start should be: one way is held against the other. */
function startSymmetry(context: CheckContext): Check[] {
  const expected = expectedOf(context, 'inrushAsymmetryPercent');
  if (!expected || familyOf(context.unit) === undefined || !drivesBothWays(context)) return [];
  const reach = Math.max(START_ASYMMETRY_PERCENT, Math.abs(expected.lower), Math.abs(expected.upper));
  return [
    waysCheck(START_SYMMETRY, {
      subject: 'Starting forward',
      named: 'Inrush forward against reverse',
      quantity: context.supplyHolds ? seenOf(context, 'inrushAsymmetryPercent') : undefined,
      lower: -reach,
      upper: reach,
      origin: 'generic',
      missing: 'not tested, both directions must start',
    }),
  ];
}

function symmetry(context: CheckContext): Check[] {
  const expected = expectedOf(context, 'runningAsymmetryPercent');
  if (!expected || !drivesBothWays(context)) return [];
  const running = context.expectation.throws.flatMap(
    ({ of }) => seenOf(context, 'runningCurrentA', of)?.value ?? [],
  );
  const mean = running.reduce((sum, value) => sum + value, 0) / Math.max(1, running.length);
  const least = mean > 0 ? (100 * ASYMMETRY_A) / mean : 0;
  const reach = Math.max(ASYMMETRY_PERCENT, least, Math.abs(expected.lower), Math.abs(expected.upper));
  const usual = { lower: -reach, upper: reach, nominal: 0 };
  const limits = taughtLimits(context, 'runningAsymmetryPercent', undefined, usual);
  return [
    waysCheck(isOnMechanism(context.unit) ? LOADED_SYMMETRY : SYMMETRY, {
      subject: 'Running forward',
      named: 'Running current forward against reverse',
      quantity: context.supplyHolds ? seenOf(context, 'runningAsymmetryPercent') : undefined,
      ...(limits ?? { ...usual, origin: modelOrigin(context) }),
      missing: 'not tested, both directions must run',
    }),
  ];
}

/** From this difference on one way hardly draws anything: 200 % is nothing at all. Choice of this program, no source. */
const ONE_WAY_PERCENT = 150;

/** One way against the other, positive where forward draws more. */
function waysCheck(kind: CheckKind, spec: NumberCheck): Check {
  const check = numberCheck(kind, spec);
  const { quantity, lower, upper } = spec;
  if (!quantity) return check;
  const { value, unit, expandedUncertainty } = quantity;
  const [more, less] = value >= 0 ? ['forward', 'reverse'] : ['reverse', 'forward'];
  if (Math.abs(value) >= ONE_WAY_PERCENT)
    return { ...check, sentence: `Current flows one way only: ${more}, and next to none in ${less}.` };
  const isEven = lower !== undefined && upper !== undefined && lower === -upper;
  const limits = isEven
    ? `at most ${limit(upper, expandedUncertainty, unit)} apart`
    : limitsText({ lower, upper }, expandedUncertainty, unit);
  const read = reading(Math.abs(value), expandedUncertainty, unit);
  const by = spec.goodUnits === undefined ? '' : `, of ${spec.goodUnits} good units`;
  const sentence = `${spec.subject} it draws ${read} ${value >= 0 ? 'more' : 'less'} than in reverse (${limits}${by}${closeWords(check.outcome)}).`;
  return { ...check, sentence };
}

/** A circuit of one direction has nothing to compare. */
function drivesBothWays(context: CheckContext): boolean {
  const driven = context.expectation.throws
    .filter(({ of }) => !isStarved(context, of))
    .map(({ of }) => Math.sign(expectedOf(context, 'motorVoltageV', of)?.nominal ?? 0));
  return driven.includes(1) && driven.includes(-1);
}

function isStarved(context: CheckContext, of: RunStretch): boolean {
  const voltage = expectedOf(context, 'motorVoltageV', of);
  return voltage !== undefined && Math.abs(voltage.nominal) < context.expectation.nominalSupplyV / 2;
}

/** `inrush peaks at`, before a reading; `inrush peak`, where there is none. */
interface ReadingWords {
  reads: string;
  named: string;
}

function banded(
  context: CheckContext,
  kind: CheckKind,
  what: QuantityName,
  of: RunStretch,
  words: ReadingWords,
): Check[] {
  const limits = expectedLimits(context, what, of);
  if (!limits) return [];
  const least = LEAST_PART * Math.abs(limits.nominal);
  const quantity = context.supplyHolds ? seenOf(context, what, of) : undefined;
  const segment = segmentOf(context, of);
  const bound = context.bounds && readingOf(context.bounds, what, of);
  if (quantity === undefined && bound)
    return [
      checkOf(kind, {
        ...{ throw: of, origin: limits.origin, outcome: 'not-tested' },
        sentence: `${atStart(of)}: ${words.reads} ${significant(bound.value, 3, bound.unit)} or more; the top itself was not caught.`,
      }),
    ];
  return [
    numberCheck(kind, {
      throw: of,
      subject: `${atStart(of)}: ${words.reads}`,
      named: `${atStart(of)}: ${words.named}`,
      quantity,
      // What the supply or the load took away is told by its own check.
      required: quantity !== undefined || !(segment?.supplyMoves || segment?.loadStep),
      lower: Math.max(0, Math.min(limits.lower, limits.nominal - least)),
      upper: Math.max(limits.upper, limits.nominal + least),
      origin: limits.origin,
      goodUnits: limits.goodUnits,
      missing: whyMissing(context, of),
    }),
  ];
}

function coilChecks(context: CheckContext, of: RunStretch): Check[] {
  const words = { reads: 'the relay coil draws', named: 'coil current' };
  const nominal = expectedOf(context, 'coilCurrentA', of)?.nominal;
  if (nominal === undefined || nominal > IDLE_COIL_A) return banded(context, COIL, 'coilCurrentA', of, words);
  // A throw that uses no coil has no spread to take limits from; it is held to what a resting coil may draw.
  const coil = seenOf(context, 'coilCurrentA', of);
  return [
    numberCheck(COIL, {
      throw: of,
      subject: `${atStart(of)}: ${words.reads}`,
      named: `${atStart(of)}: ${words.named}`,
      quantity: coil && magnitude(coil),
      upper: IDLE_COIL_A,
      origin: 'generic',
      missing: whyMissing(context, of),
    }),
  ];
}

function dropouts(context: CheckContext, of: RunStretch): Check[] {
  if (!expectedOf(context, 'dropoutsMotorSide', of)) return [];
  const motor = seenOf(context, 'dropoutsMotorSide', of);
  const harness = seenOf(context, 'dropoutsHarnessSide', of);
  const words = atStart(of);
  const untold = (why: string, required: boolean): Check[] => [
    checkOf(DROPOUTS, { throw: of, required, outcome: 'not-tested', sentence: `${words}: dropouts ${why}.` }),
  ];
  if (!motor || !harness) {
    const faint = seenOf(context, 'runningCurrentA', of) !== undefined;
    const lone = ['leadAVoltageV', 'leadBVoltageV'].some((lead) =>
      context.seen.notSampled.some((one) => one === lead),
    );
    // A current within the noise cannot show a loss, nor one current whose it is; nobody can ask that of it, so the
    // verdict does not wait for it.
    return faint
      ? untold(
          lone
            ? 'cannot be told, the leads were not sampled'
            : 'cannot be seen, the running current is within the noise',
          false,
        )
      : untold(whyMissing(context, of), true);
  }
  const count = motor.value + harness.value;
  const segment = segmentOf(context, of);
  const lostS = segment ? (segment.lost.motorCurrentA ?? 0) * (segment.toS - segment.fromS) : 0;
  if (count === 0 && lostS > LONGEST_UNSEEN_S)
    return untold(`not tested, ${milli(lostS, 's')} of the current were lost`, true);
  const isMotor = motor.value >= harness.value;
  const side = isMotor
    ? 'the leads keep their voltage, so it is lost inside the motor: brushes'
    : 'a lead loses its voltage too, so it is lost in the harness';
  return [
    checkOf(DROPOUTS, {
      throw: of,
      ...(count === 0 ? {} : { of: isMotor ? 'motor' : 'harness' }),
      sentence:
        count === 0
          ? `${words}: the current never drops out.`
          : `${words}: the current drops out ${times(count)}; ${side}.`,
      value: count,
      unit: '1',
      expandedUncertainty: 0,
      upper: 0,
      outcome: count === 0 ? 'pass' : 'fail',
    }),
  ];
}
