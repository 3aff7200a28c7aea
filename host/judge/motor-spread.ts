// How the good motors of a profile spread in what a capture can tell of them: resistance, inertia as the capacitance
// that the terminals see, viscous friction as a conductance, constant friction as a current. No simulation.

import type { Capture } from '../capture/index.js';
import { drawInput, motorAt, nominalInput, seededRandom, type UnitCircuitInput } from '../circuit/index.js';
import { fitMotor, type MotorFit } from '../measure/index.js';
import { type ResolvedUnit, ripplesOf } from '../profile/index.js';
import { type JointSpread, jointSpread } from './joint.js';

/** Of the motor fit, and all positive in a motor that turns with friction of both kinds. */
export const MOTOR_PARAMETERS = [
  'resistanceOhm',
  'inertiaAsCapacitanceF',
  'viscousConductanceS',
  'coulombCurrentA',
] as const;

const DRAWS = 1000;

/** A fit to the nominal unit further off than this part would accuse good motors: diodes or limits in the motor's leads. Choice of this program, no source. */
const HOLDS_WITHIN = 0.05;

function parametersOf({ motor, temperatureC }: UnitCircuitInput): number[] {
  const { resistanceOhm, backEmfVsPerRad, torqueNmPerA: kt } = motorAt(motor, temperatureC);
  const square = kt * backEmfVsPerRad;
  return [resistanceOhm, motor.inertiaKgM2 / square, motor.viscousNms / square, motor.coulombNm / kt];
}

/** The motor as this capture shows it, with what the profile knows of brushes and ripple. */
export function fitOf({ rig, motor }: ResolvedUnit, capture: Capture): MotorFit {
  return fitMotor(capture, {
    rig,
    motor: {
      brushDropV: motor.brushDropV,
      brushKneeA: motor.brushKneeA,
      ...ripplesOf(motor),
    },
  });
}

/** Whether a fit to the terminals of the nominal unit gives back the motor that is in it. */
export function fitHolds(unit: ResolvedUnit, nominal: Capture): boolean {
  const { model, describes } = fitOf(unit, nominal);
  const truth = parametersOf(nominalInput(unit));
  return (
    describes !== 'no' &&
    MOTOR_PARAMETERS.every((name, i) => {
      const value = model[name]?.value ?? 0;
      return value > 0 && Math.abs(Math.log(value / truth[i]!)) < HOLDS_WITHIN;
    })
  );
}

/** Undefined for a motor that has no friction of one kind: it has no logarithm to spread. */
export function motorSpread(unit: ResolvedUnit, seed: number): JointSpread | undefined {
  const random = seededRandom(seed);
  const rows: number[][] = [];
  for (let n = 0; n < DRAWS; n++) {
    rows.push(parametersOf(drawInput(unit, random)));
  }
  return jointSpread(MOTOR_PARAMETERS, rows);
}
