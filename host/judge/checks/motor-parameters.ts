// What the motor is, fitted to the whole capture, against what the profile's good motors are, all parameters together.
// Finds a motor that stays within every limit of a single reading and is none of the good ones all the same.

import { chiSquaredQuantile, type MotorFit } from '../../measure/index.js';
import { type JointSpread, mahalanobis } from '../joint.js';
import { MOTOR_PARAMETERS } from '../motor-spread.js';
import type { Check } from '../verdict.js';
import { type CheckContext, modelOrigin } from './context.js';

/** One good motor in ten thousand exceeds it. */
const PART = 0.9999;
/** What the fit's own model leaves open in each parameter (ripple, start angle, drift of friction), as a part of it. Common practice, no source. */
const OPEN_PART = 0.02;

const WORDS: Record<(typeof MOTOR_PARAMETERS)[number], [string, string]> = {
  resistanceOhm: ['resistance', 'Ω'],
  inertiaAsCapacitanceF: ['run-up (inertia against flux)', 'F'],
  viscousConductanceS: ['friction that grows with speed', 'S'],
  coulombCurrentA: ['constant friction', 'A'],
};

export function motorParameterCheck(context: CheckContext, spread: JointSpread, fit: MotorFit): Check[] {
  if (fit.describes === 'no') return [];
  const quantities = MOTOR_PARAMETERS.map((name) => fit.model[name]);
  if (quantities.some((quantity) => !quantity || !(quantity.value > 0))) return [];
  const values = quantities.map((quantity) => quantity!.value);
  const relative = quantities.map((quantity) => quantity!.standardUncertainty / quantity!.value);
  const place = MOTOR_PARAMETERS.map((name) => fit.correlation.names.indexOf(name));
  const covariance = spread.covariance.map((row, i) =>
    row.map((tolerance, j) => {
      const correlation = i === j ? 1 : (fit.correlation.matrix[place[i]!]?.[place[j]!] ?? 0);
      return tolerance + correlation * relative[i]! * relative[j]! + (i === j ? OPEN_PART ** 2 : 0);
    }),
  );
  const offset = values.map((value, i) => Math.log(value) - spread.mean[i]!);
  const distance = mahalanobis(covariance, offset);
  const upper = Math.sqrt(chiSquaredQuantile(PART, MOTOR_PARAMETERS.length));
  const far = MOTOR_PARAMETERS.map((name, i) => ({
    name,
    i,
    by: Math.abs(offset[i]!) / Math.sqrt(covariance[i]![i]!),
  })).sort((a, b) => b.by - a.by)[0]!;
  const [words, unit] = WORDS[far.name];
  const passes = distance <= upper;
  return [
    {
      id: 'motor-parameters',
      sentence: `The motor's own parameters lie ${distance.toFixed(1)} spreads from the usual good motor (at most ${upper.toFixed(1)})${
        passes
          ? ''
          : `; furthest off: ${words}, ${values[far.i]!.toPrecision(2)} ${unit} against ${Math.exp(spread.mean[far.i]!).toPrecision(2)} ${unit}`
      }.`,
      value: distance,
      unit: '1',
      expandedUncertainty: 0,
      upper,
      outcome: passes ? 'pass' : 'fail',
      required: true,
      origin: modelOrigin(context),
    },
  ];
}
