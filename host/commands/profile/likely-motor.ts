// All parameters of a motor from the few that a workshop can measure, by the motor's own equations; what was not measured
// keeps the proportions of a motor of its kind.

import type { MotorProfile, MotorValues } from '../../profile/index.js';

export interface Measured {
  nominalVoltageV: number;
  /** Between the two pins. */
  resistanceOhm?: number | undefined;
  /** Free, at the nominal voltage. */
  runningA?: number | undefined;
  /** Of the armature, free. */
  speedRpm?: number | undefined;
}

export type LikelyMotor = Pick<
  MotorValues,
  | 'nominalVoltageV'
  | 'resistanceOhm'
  | 'inductanceH'
  | 'backEmfVsPerRad'
  | 'torqueNmPerA'
  | 'inertiaKgM2'
  | 'viscousNms'
  | 'coulombNm'
  | 'brushDropV'
> & { runningA: number; heldA: number; speedRpm: number };

/** Of the supply, what resistance and brushes may take while the motor runs free. */
const MOST_LOST = 0.6;
const RPM = 30 / Math.PI;

/** Free running of a motor at a voltage: V = drop + R i + k w and kt i = Tc + B w. */
export function freeRunning(motor: MotorValues, voltageV: number): { currentA: number; speedRadS: number } {
  const { resistanceOhm, backEmfVsPerRad, torqueNmPerA, viscousNms, coulombNm, brushDropV } = motor;
  const speedRadS =
    ((voltageV - brushDropV) * torqueNmPerA - resistanceOhm * coulombNm) /
    (backEmfVsPerRad * torqueNmPerA + resistanceOhm * viscousNms);
  return { speedRadS, currentA: (coulombNm + viscousNms * speedRadS) / torqueNmPerA };
}

/** The most that a motor of this resistance can run on, A. */
export const mostRunningA = (voltageV: number, resistanceOhm: number): number =>
  (MOST_LOST * voltageV) / resistanceOhm;

/**
 * A motor that runs free on the measured current. Time constants (L/R, R J / k²), the part of the friction that grows with
 * speed, and kt over k are those of `like`; speed too, unless it was measured.
 */
export function likelyMotor(measured: Measured, like: MotorValues & Pick<MotorProfile, 'id'>): LikelyMotor {
  const voltageV = measured.nominalVoltageV;
  const { brushDropV } = like;
  const volts = voltageV / like.nominalVoltageV;
  // A winding for twice the voltage has four times the resistance and takes half the current.
  const own = freeRunning(like, like.nominalVoltageV);
  const resistanceOhm = measured.resistanceOhm ?? like.resistanceOhm * volts ** 2;
  const runningA =
    measured.runningA ?? Math.min(own.currentA / volts, mostRunningA(voltageV, resistanceOhm) / 2);
  const speedRadS = measured.speedRpm === undefined ? own.speedRadS : measured.speedRpm / RPM;
  const backEmf = (voltageV - brushDropV - runningA * resistanceOhm) / speedRadS;
  const torque = backEmf * (like.torqueNmPerA / like.backEmfVsPerRad);
  const frictionNm = torque * runningA;
  const withSpeed = (like.viscousNms * own.speedRadS) / (like.torqueNmPerA * own.currentA);
  const settlingS = (like.resistanceOhm * like.inertiaKgM2) / (like.backEmfVsPerRad * like.torqueNmPerA);
  return {
    nominalVoltageV: voltageV,
    resistanceOhm,
    inductanceH: (like.inductanceH / like.resistanceOhm) * resistanceOhm,
    backEmfVsPerRad: backEmf,
    torqueNmPerA: torque,
    inertiaKgM2: (settlingS * backEmf * torque) / resistanceOhm,
    viscousNms: (withSpeed * frictionNm) / speedRadS,
    coulombNm: (1 - withSpeed) * frictionNm,
    brushDropV,
    runningA,
    heldA: (voltageV - brushDropV) / resistanceOhm,
    speedRpm: speedRadS * RPM,
  };
}
