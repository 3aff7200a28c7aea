// The motor of a run as the run itself shows it, where the profile has generic numbers only: what a harness, a relay or
// a brush does wrong is held against this motor, not against a usual one.

import { type Capture, sliceCapture } from '../capture/index.js';
import { familyOf, type MotorAsSeen, motorAsSeen, motorNumbers, nearestUsual } from '../circuit/index.js';
import type { OwnMotor } from '../diagnose/index.js';
import { known } from '../fields/index.js';
import {
  isFullThrow,
  type MeasureResult,
  type MotorFit,
  type QuantityName,
  REST,
  readingOf,
  unloadedSupply,
} from '../measure/index.js';
import { plainValues, type ResolvedUnit } from '../profile/index.js';
import { hasNoLeads, type UsualFeed, withAssumedLeads } from './assumed-leads.js';
import { type CheckContext, expectedOf } from './checks/context.js';
import { fitOf } from './motor-spread.js';

/** Undefined where the profile's numbers are a specification, and where the run does not show its motor. */
export function ownMotor(context: CheckContext, isOther: boolean): OwnMotor | undefined {
  const { unit, seen, capture } = context;
  const family = familyOf(unit);
  if (family === undefined || unit.unit.subject === 'harness') return undefined;
  const feed = hasNoLeads(capture) ? usualFeed(context) : undefined;
  const fitted = byFits(fitsOf(unit, seen, capture, feed));
  const shown = shownBy(fitted, unit, seen, feed);
  if (shown === undefined) return undefined;
  const found = motorAsSeen(unit, shown);
  const near = nearestUsual(unit, family, shown);
  const resistance = wayOf(shown.resistanceOhm, near.resistanceOhm);
  const friction = wayOf(frictionA(shown), frictionA(near));
  const usual = motorNumbers(motorAsSeen(unit, near));
  return {
    unit: { ...unit, motor: { ...unit.motor, ...found } },
    isOther,
    ...(feed && fitted === undefined ? { isRough: true } : {}),
    ...(resistance || friction ? { beyond: { usual, ...known({ resistance, friction }) } } : {}),
  };
}

/** A motor this near to its family is in it. Choice of this program, no source. */
const IN_FAMILY = 0.02;

const wayOf = (value: number, usual: number): 'up' | 'down' | undefined =>
  Math.abs(value / usual - 1) < IN_FAMILY ? undefined : value > usual ? 'up' : 'down';

/** At a usual speed, of both ways. */
const frictionA = ({ coulombCurrentA: { forward, reverse }, viscousConductanceS }: MotorAsSeen): number =>
  forward + reverse + 2 * USUAL_BACK_EMF_V * viscousConductanceS;
const USUAL_BACK_EMF_V = 10;

/** A throw that leaves the motor less shows nothing of its friction. Choice of this program, no source. */
const LEAST_DRIVE_V = 3;
/** Of the least that its family runs at: less is a motor that stands. Choice of this program, no source. */
const RUNS_PART = 0.2;
/** A start peaks at this part of the held current, 0.83 to 0.89 as the motor goes (derived for small PM motors). */
const START_PART = 0.86;
/** Time constants until a motor is up to speed. Choice of this program, no source. */
const SETTLED = 4;

/** Of a good unit at the supply of the run, where that was sampled. */
function usualFeed(context: CheckContext): UsualFeed | undefined {
  const usualSupplyV = expectedOf(context, 'supplyVoltageV', REST)?.nominal;
  const way = context.expectation.throws
    .map(({ of }) => [expectedOf(context, 'motorVoltageV', of), expectedOf(context, 'runningCurrentA', of)])
    .find(([voltage, current]) => voltage !== undefined && current !== undefined);
  if (usualSupplyV === undefined || way === undefined) return undefined;
  const [motorV = 0, runningA = 0] = way.map((band) => Math.abs(band?.nominal ?? 0));
  return {
    supplyV: unloadedSupply(context.seen.measured)?.value ?? usualSupplyV,
    wayOhm: runningA > 0 ? Math.max(0, (usualSupplyV - motorV) / runningA) : 0,
  };
}

function shownBy(
  fitted: Numbers | undefined,
  unit: ResolvedUnit,
  { measured, segments }: MeasureResult,
  feed: UsualFeed | undefined,
): MotorAsSeen | undefined {
  const { brushDropV } = unit.motor;
  const leastA = RUNS_PART * (unit.motor.family?.runningA.least ?? 0);
  const driven = segments
    .filter(({ of }) => isFullThrow(of))
    .flatMap(({ of }) => {
      const read = (what: QuantityName): number | undefined => readingOf(measured, what, of)?.value;
      const currentA = Math.abs(read('runningCurrentA') ?? 0);
      const assumedV = feed ? feed.supplyV - feed.wayOhm * currentA : 0;
      const signedV = read('motorVoltageV') ?? (of.position === 'reverse' ? -assumedV : assumedV);
      const voltageV = Math.abs(signedV);
      return currentA < leastA || voltageV < LEAST_DRIVE_V
        ? []
        : [{ isForward: signedV > 0, currentA, voltageV, read }];
    });
  const numbers = fitted ?? byReadings(unit, driven, feed);
  if (numbers === undefined) return undefined;
  const { resistanceOhm } = numbers;
  /** No friction that grows with speed asks for more than the motor takes. */
  const viscousConductanceS = Math.min(
    numbers.viscousConductanceS,
    ...driven.map(
      ({ currentA, voltageV }) =>
        (MOST_VISCOUS * currentA) / Math.max(1e-3, voltageV - brushDropV - resistanceOhm * currentA),
    ),
  );
  /** Of the throws that drive one way: what the running current is more than the speed asks. */
  const constantA = (isForward: boolean): number | undefined => {
    const found = driven
      .filter((one) => one.isForward === isForward)
      .map(
        ({ currentA, voltageV }) =>
          currentA - viscousConductanceS * (voltageV - brushDropV - resistanceOhm * currentA),
      );
    return found.length > 0 ? found.reduce((sum, one) => sum + one, 0) / found.length : undefined;
  };
  const forward = constantA(true) ?? constantA(false);
  const reverse = constantA(false) ?? forward;
  if (forward === undefined || reverse === undefined) return undefined;
  const needed = [resistanceOhm, numbers.inductanceH, numbers.inertiaAsCapacitanceF, forward, reverse];
  return needed.every((one) => one > 0)
    ? { ...numbers, viscousConductanceS, coulombCurrentA: { forward, reverse } }
    : undefined;
}

/** Of the running torque. Choice of this program, no source. */
const MOST_VISCOUS = 0.95;

type Numbers = Omit<MotorAsSeen, 'coulombCurrentA'>;

/** Of each way by itself, for friction may differ: its last throw with the rest behind it. */
function fitsOf(
  unit: ResolvedUnit,
  { segments, measured }: MeasureResult,
  capture: Capture,
  feed: UsualFeed | undefined,
): MotorFit[] {
  const endS = capture.timeS.at(-1) ?? 0;
  return (['forward', 'reverse'] as const).flatMap((position) => {
    const at = segments.findLastIndex(
      ({ of, brief }) => isFullThrow(of) && of.position === position && !brief,
    );
    const thrown = segments[at];
    if (thrown === undefined) return [];
    const restS = segments[at + 1]?.toS ?? endS;
    const brakes = readingOf(measured, 'brakePeakA', thrown.of) !== undefined;
    const alone = feed
      ? withAssumedLeads(capture, thrown, feed, { beforeS: BEFORE_S, brakedS: brakes ? restS : undefined })
      : sliceCapture(capture, thrown.fromS - BEFORE_S, restS);
    return alone === undefined ? [] : [fitOf(unit, alone)];
  });
}

/** Of the rest before a throw, for its start to be seen. Choice of this program, no source. */
const BEFORE_S = 0.05;

/** The mean of those that describe the motor; undefined where none does. */
function byFits(fits: readonly MotorFit[]): Numbers | undefined {
  const found = fits.filter(({ describes }) => describes === 'yes').map(({ model }) => model);
  if (found.length === 0) return undefined;
  const mean = (name: keyof MotorFit['model']): number =>
    found.reduce((sum, model) => sum + (model[name]?.value ?? 0), 0) / found.length;
  return {
    resistanceOhm: mean('resistanceOhm'),
    inductanceH: mean('inductanceH'),
    inertiaAsCapacitanceF: mean('inertiaAsCapacitanceF'),
    viscousConductanceS: Math.max(0, mean('viscousConductanceS')),
  };
}

/** Where the fit does not settle, from the start and the run of one throw; what they leave open is as in the profile. */
function byReadings(
  unit: ResolvedUnit,
  driven: readonly Driven[],
  feed: UsualFeed | undefined,
): Numbers | undefined {
  const motor = plainValues(unit.motor);
  for (const { currentA, voltageV, read } of driven) {
    const [peakA, settleS] = [read('inrushPeakA'), read('settleS')];
    const supplyV = read('inrushSupplyVoltageV') ?? read('supplyVoltageV') ?? feed?.supplyV;
    if (peakA === undefined || settleS === undefined || supplyV === undefined) continue;
    const wayOhm = feed?.wayOhm ?? (read('feedResistanceOhm') ?? 0) + (read('groundResistanceOhm') ?? 0);
    const loopOhm = (START_PART * (supplyV - motor.brushDropV)) / peakA;
    const resistanceOhm = loopOhm - wayOhm;
    const backEmfV = voltageV - motor.brushDropV - resistanceOhm * currentA;
    if (resistanceOhm <= 0 || backEmfV <= 0) continue;
    return {
      resistanceOhm,
      inductanceH: (motor.inductanceH / motor.resistanceOhm) * resistanceOhm,
      inertiaAsCapacitanceF: settleS / SETTLED / loopOhm,
      viscousConductanceS: (VISCOUS_PART * currentA) / backEmfV,
    };
  }
  return undefined;
}

/** Of the running torque that grows with speed: about half (published pair of currents over voltage). */
const VISCOUS_PART = 0.5;

interface Driven {
  isForward: boolean;
  currentA: number;
  voltageV: number;
  read(what: QuantityName): number | undefined;
}
