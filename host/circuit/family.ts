// The usual motors of a family, where only generic numbers are known: anywhere in the range of currents that the family
// runs at and is held at, each way by itself on what it moves. A motor of the profile's shape, moved to those currents.

import { itemAt } from '../arrays/index.js';
import { type MotorProfile, plainValues, type ResolvedUnit } from '../profile/index.js';
import { motorAt } from './copper.js';
import type { SeededRandom } from './tolerance-random.js';
import type { UnitCircuitInput } from './unit-input.js';

type Values = UnitCircuitInput['motor'];
export type Family = NonNullable<MotorProfile['family']>;

/** Where one motor of a family lies; each of the first three from 0, the least usual, to 1, the most. */
export interface FamilyPlace {
  held: number;
  running: number;
  /** The other way, where the motor sits on what it moves. */
  runningReverse: number;
  /** Of the profile's own mechanical time constant, of L over R, and of the back-EMF constant. */
  runUp: number;
  coil: number;
  flux: number;
}

/** Published currents of such motors are told at 12 to 14.5 V. */
const FAMILY_V = 13;
/**
 * What the currents leave open. Mechanical time constants of 9 to 23 ms bare and settling in 50 to 200 ms on what it
 * moves (derived, and common practice); inductances from 0.8 to 3 mH over 0.5 to 3 Ohm; speeds by judgement, no source.
 */
const RUN_UP = [0.4, 2] as const;
const COIL = [0.6, 1.7] as const;
const FLUX = [0.6, 1.6] as const;
/** No motor of a family runs at more than this part of the current that holds it: it would hardly start. Choice of this program, no source. */
export const MOST_RUNNING_PART = 0.75;

/** The family whose range stands for a specification; undefined where the profile's numbers are more than generic. */
export function familyOf({ motor, load }: ResolvedUnit): Family | undefined {
  return motor.origin === 'generic' && load === undefined ? motor.family : undefined;
}

/** Whether what hangs on the motor may weigh more one way than the other. */
export const isOnMechanism = ({ unit }: ResolvedUnit): boolean =>
  unit.onMechanism ?? unit.subject === 'harness-with-motor';

const within = ({ least, most }: { least: number; most: number }, place: number): number =>
  least + (most - least) * place;
/** Between two factors, by their logarithm. */
const factor = ([least, most]: readonly [number, number], place: number): number =>
  least * (most / least) ** place;

/** `motor` at one place of its family. */
export function familyMotor(motor: Values, family: Family, place: FamilyPlace): Values {
  const { brushDropV } = motor;
  const heldA = within(family.heldA, place.held);
  const resistanceOhm = (FAMILY_V - brushDropV) / heldA;
  const most = MOST_RUNNING_PART * heldA;
  const forwardA = Math.min(most, within(family.runningA, place.running));
  const reverseA = Math.min(most, within(family.runningA, place.runningReverse));
  const flux = factor(FLUX, place.flux);
  const [ke, kt] = [motor.backEmfVsPerRad * flux, motor.torqueNmPerA * flux];
  const speed = (currentA: number): number => (FAMILY_V - brushDropV - currentA * resistanceOhm) / ke;
  // The part of the torque that grows with speed is the profile's, of the way that runs more lightly.
  const lightA = Math.min(forwardA, reverseA);
  const viscousNms = (viscousPart(motor) * kt * lightA) / speed(lightA);
  const constant = (currentA: number): number => kt * currentA - viscousNms * speed(currentA);
  const timeConstant =
    (motor.inertiaKgM2 * motor.resistanceOhm) / (motor.backEmfVsPerRad * motor.torqueNmPerA);
  return {
    ...motor,
    resistanceOhm,
    inductanceH: (motor.inductanceH / motor.resistanceOhm) * resistanceOhm * factor(COIL, place.coil),
    backEmfVsPerRad: ke,
    torqueNmPerA: kt,
    inertiaKgM2: (timeConstant * factor(RUN_UP, place.runUp) * ke * kt) / resistanceOhm,
    viscousNms,
    coulombNm: constant(forwardA),
    reverseFrictionRatio: constant(reverseA) / constant(forwardA),
  };
}

/** Part of the profile's running torque that grows with speed. */
function viscousPart(motor: Values): number {
  const { resistanceOhm, brushDropV, backEmfVsPerRad, torqueNmPerA, viscousNms, coulombNm } = motor;
  const volts = FAMILY_V - brushDropV;
  // kt i = coulomb + viscous w, and ke w = V - R i.
  const currentA =
    (coulombNm + (viscousNms * volts) / backEmfVsPerRad) /
    (torqueNmPerA + (viscousNms * resistanceOhm) / backEmfVsPerRad);
  return 1 - coulombNm / (torqueNmPerA * currentA);
}

/** Held and running currents at their ends, with a light and a heavy rotor: drawn first, so that few draws reach them. */
const ENDS: readonly Omit<FamilyPlace, 'coil' | 'flux'>[] = [0, 1].flatMap((held) =>
  [0, 1].flatMap((running) => [0, 1].map((runUp) => ({ held, running, runningReverse: running, runUp }))),
);

/** The `draw`th place of a family; the ends come first. */
export function familyPlace(draw: number, random: SeededRandom, onMechanism: boolean): FamilyPlace {
  const any = { held: random.uniform(), running: random.uniform(), runUp: random.uniform() };
  const other = random.uniform();
  const open = { coil: random.uniform(), flux: random.uniform() };
  if (draw >= ENDS.length) return { ...any, ...open, runningReverse: onMechanism ? other : any.running };
  const end = itemAt(ENDS, draw);
  // Heavy one way, light the other.
  return { ...end, ...open, ...(onMechanism && end.runUp === 1 ? { runningReverse: 1 - end.running } : {}) };
}

/** What parts one motor of a family from another, as its element in a circuit has it. */
export const motorNumbers = ({
  resistanceOhm,
  inductanceH,
  backEmfVsPerRad,
  torqueNmPerA,
  inertiaKgM2,
  viscousNms,
  coulombNm,
  reverseFrictionRatio = 1,
}: Values) => ({
  ...{ resistanceOhm, inductanceH, backEmfVsPerRad, torqueNmPerA },
  ...{ inertiaKgM2, viscousNms, coulombNm, reverseFrictionRatio },
});

/** A motor as its own run shows it, at the temperature of its profile's bench; currents of either way positive. */
export interface MotorAsSeen {
  resistanceOhm: number;
  inductanceH: number;
  /** What the terminals see of its inertia. */
  inertiaAsCapacitanceF: number;
  /** Friction that grows with speed, and what does not, as a current. */
  viscousConductanceS: number;
  coulombCurrentA: { forward: number; reverse: number };
}

/** The profile's motor with what was seen of it in place of its own numbers. Scale of speed is the profile's. */
export function motorAsSeen({ motor: profile, unit }: ResolvedUnit, seen: MotorAsSeen): Values {
  const motor = plainValues(profile);
  const warm = motorAt(motor, unit.temperatureC.nominal);
  const square = warm.backEmfVsPerRad * warm.torqueNmPerA;
  const { forward, reverse } = seen.coulombCurrentA;
  return {
    ...motor,
    resistanceOhm: (seen.resistanceOhm * motor.resistanceOhm) / warm.resistanceOhm,
    inductanceH: seen.inductanceH,
    inertiaKgM2: seen.inertiaAsCapacitanceF * square,
    viscousNms: seen.viscousConductanceS * square,
    coulombNm: forward * warm.torqueNmPerA,
    reverseFrictionRatio: reverse / forward,
  };
}

/** The nearest to what was seen that is still usual: resistance and friction of each way brought back into the family. */
export function nearestUsual(unit: ResolvedUnit, family: Family, seen: MotorAsSeen): MotorAsSeen {
  const voltageV = FAMILY_V - unit.motor.brushDropV;
  const clamped = (value: number, { least, most }: { least: number; most: number }): number =>
    Math.min(most, Math.max(least, value));
  const resistanceOhm = voltageV / clamped(voltageV / seen.resistanceOhm, family.heldA);
  const { viscousConductanceS: g, coulombCurrentA } = seen;
  // Steady: i = f (i0 + g (V - R i)); what of the friction is the motor's at the current that it is brought to.
  const way = (constantA: number): { part: number; backEmfV: number; constantA: number } => {
    const runs = (constantA + g * voltageV) / (1 + g * seen.resistanceOhm);
    const usualA = Math.min(MOST_RUNNING_PART * (voltageV / resistanceOhm), clamped(runs, family.runningA));
    const backEmfV = voltageV - resistanceOhm * usualA;
    return { part: usualA / (constantA + g * backEmfV), backEmfV, constantA };
  };
  const ways = { forward: way(coulombCurrentA.forward), reverse: way(coulombCurrentA.reverse) };
  const shared = Math.min(ways.forward.part, ways.reverse.part);
  /** What a way's friction lacks with the share of speed that both have. */
  const own = ({ part, backEmfV, constantA }: (typeof ways)['forward']): number =>
    Math.max(LEAST_CONSTANT * constantA, part * constantA + (part - shared) * g * backEmfV);
  return {
    ...seen,
    resistanceOhm,
    inductanceH: (seen.inductanceH * resistanceOhm) / seen.resistanceOhm,
    viscousConductanceS: shared * g,
    coulombCurrentA: { forward: own(ways.forward), reverse: own(ways.reverse) },
  };
}

/** Some friction is left in every motor. Choice of this program, no source. */
const LEAST_CONSTANT = 0.05;
