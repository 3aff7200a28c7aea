// What the numbers of one part owe each other: each is plausible by itself, and together they are no part that could be
// made. Held against files only; a record of old days is read as it is.

import { nearestName } from '../input/index.js';
import { listed, shortly } from '../tell/index.js';
import { plainValues } from './plain-values.js';
import {
  MOTOR_NUMBERS,
  type MotorProfile,
  type RelayProfile,
  type RigProfile,
  type VirtualCase,
} from './schema.js';
import type { KeyPath } from './yaml-file.js';

/** Where, what is wrong, and what would be right. */
export type PartRefusal = [path: KeyPath, what: string, mend: string];

/** A held rotor takes this at the least, and at the most (a mirror motor, a winch; common practice, no source). */
const HELD_A = { least: 0.1, most: 600 };
/** Torque over back-EMF, both in SI: 1 without iron loss. Wider for what measuring leaves open. */
const TORQUE_RATIO = { least: 0.5, most: 1.2 };
/** Armatures turn at some thousands a minute; half and more of a million is a wrong unit. */
const TOP_RAD_S = 6000;

export function* motorRules(motor: MotorProfile): Iterable<PartRefusal> {
  const { nominalVoltageV, resistanceOhm, backEmfVsPerRad, torqueNmPerA, coulombNm, brushDropV } =
    plainValues(motor);
  const heldA = (nominalVoltageV - brushDropV) / resistanceOhm;
  if (!(heldA >= HELD_A.least && heldA <= HELD_A.most)) {
    const right = `${shortly(nominalVoltageV / HELD_A.most, '')} to ${shortly(nominalVoltageV / HELD_A.least, 'Ohm')}`;
    yield [
      ['resistanceOhm'],
      `${shortly(resistanceOhm, 'Ohm')} lets ${shortly(heldA, 'A')} through a held rotor at ${nominalVoltageV} V`,
      `write ${right}`,
    ];
  }
  const speed = nominalVoltageV / backEmfVsPerRad;
  if (speed > TOP_RAD_S)
    yield [
      ['backEmfVsPerRad'],
      `at ${nominalVoltageV} V the armature would turn at ${Math.round((speed * 30) / Math.PI)} rpm`,
      `write ${shortly(nominalVoltageV / TOP_RAD_S)} or more: volts over rad/s, and 1000 rpm are 104.7 rad/s`,
    ];
  const ratio = torqueNmPerA / backEmfVsPerRad;
  if (ratio < TORQUE_RATIO.least || ratio > TORQUE_RATIO.most)
    yield [
      ['torqueNmPerA'],
      `${shortly(torqueNmPerA)} N m/A does not go with a back-EMF of ${shortly(backEmfVsPerRad)} V s/rad`,
      `write about ${shortly(0.97 * backEmfVsPerRad)}: in these units both are the same but for iron loss`,
    ];
  const runningA = coulombNm / torqueNmPerA;
  if (runningA >= heldA)
    yield [
      ['coulombNm'],
      `${shortly(coulombNm)} N m of friction need ${shortly(runningA, 'A')}, and a held rotor takes only ${shortly(heldA, 'A')}: it never turns`,
      `write less than ${shortly(heldA * torqueNmPerA)}: running current times torqueNmPerA`,
    ];
  const { family, protector } = motor;
  if (family && family.runningA.most > family.heldA.most)
    yield [
      ['family', 'heldA', 'most'],
      `${family.heldA.most} A held is less than ${family.runningA.most} A running`,
      'give the current of a held rotor, which is the larger one',
    ];
  if (protector && protector.opensFromS >= protector.opensToS)
    yield [
      ['protector'],
      `opens from ${protector.opensFromS} s to ${protector.opensToS} s`,
      'give the earlier time as opensFromS',
    ];
}

export function* relayRules(relay: RelayProfile): Iterable<PartRefusal> {
  const { nominalVoltageV, pullInVoltageV, dropOutVoltageV, limits } = plainValues(relay);
  if (dropOutVoltageV >= pullInVoltageV)
    yield [
      ['dropOutVoltageV'],
      `drops out at ${shortly(dropOutVoltageV, 'V')}, above its pull-in of ${shortly(pullInVoltageV, 'V')}`,
      `write less than ${shortly(pullInVoltageV)}: a relay lets go at a lower voltage than it pulls in at`,
    ];
  if (pullInVoltageV >= nominalVoltageV)
    yield [
      ['pullInVoltageV'],
      `pulls in at ${shortly(pullInVoltageV, 'V')}, and its coil is for ${nominalVoltageV} V`,
      `write less than ${nominalVoltageV}: published, at most two thirds of it`,
    ];
  const coil = limits?.coilResistanceOhm;
  if (coil && coil.least >= coil.most)
    yield [
      ['limits', 'coilResistanceOhm'],
      `${coil.least} to ${coil.most} Ohm is no range`,
      'give the smaller figure as least',
    ];
}

/** A trip beyond its scale is for `checkRig`, which knows what the converter reads. */
export function* rigRules(rig: RigProfile): Iterable<PartRefusal> {
  const { supply, leadClampV, scales, adcBits } = plainValues(rig);
  if (rig.doubted !== undefined)
    yield [['doubted'], 'is found by throwbench calibrate check, not stated', 'remove it'];
  if (rig.neverCalibrated !== undefined)
    yield [['neverCalibrated'], 'is found when a run begins, not stated', 'remove it'];
  if (rig.proven !== undefined)
    yield [['proven'], 'is what the rig finds before a run, not stated', 'remove it'];
  if (rig.readFinely !== undefined) yield [['readFinely'], 'is found by each run, not stated', 'remove it'];
  if (leadClampV <= supply.voltageV)
    yield [
      ['leadClampV'],
      `${leadClampV} V conducts already at the supply of ${supply.voltageV} V`,
      `write more than ${shortly(1.1 * supply.voltageV)}: a suppressor opens above the supply, 24 to 33 V`,
    ];
  const { atZeroCount, perCount } = scales.supplyVoltageV;
  const topV = atZeroCount + perCount * (2 ** adcBits - 1);
  if (topV <= supply.voltageV)
    yield [
      ['scales', 'supplyVoltageV', 'perCount'],
      `the scale ends at ${shortly(topV, 'V')}, and the supply has ${supply.voltageV} V`,
      `write more than ${shortly((supply.voltageV - atZeroCount) / (2 ** adcBits - 1))}`,
    ];
}

export function* caseRules({ motorScale }: VirtualCase): Iterable<PartRefusal> {
  const names: readonly string[] = MOTOR_NUMBERS;
  for (const name of Object.keys(motorScale)) {
    if (names.includes(name)) continue;
    const near = nearestName(name, names);
    yield [
      ['motorScale', name],
      'unknown key',
      near ? `did you mean ${near}?` : `a factor goes on ${listed(names, 'or')}`,
    ];
  }
}
