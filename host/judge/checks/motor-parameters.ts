// What the motor is, fitted to the whole capture, against what the profile's good motors are, all parameters together.
// Finds a motor that stays within every limit of a single reading and is none of the good ones all the same.

import { chiSquaredQuantile, QUANTITIES } from '../../measure/index.js';
import { hasLimits } from '../../profile/index.js';
import { fixed, significant } from '../../tell/index.js';
import { checkOf } from '../check.js';
import { mahalanobis } from '../joint.js';
import { fitOf, MOTOR_PARAMETERS } from '../motor-spread.js';
import type { Check, CheckKind } from '../verdict.js';
import { type CheckContext, expectedOf, modelOrigin, seenOf } from './context.js';

/** One good motor in ten thousand exceeds it. */
const PART = 0.9999;
/** What the fit's own model leaves open in each parameter (ripple, start angle, drift of friction), as a part of it. Common practice, no source. */
const OPEN_PART = 0.02;

const PARAMETERS: CheckKind = {
  id: 'motor-parameters',
  of: 'motor',
  rank: 170,
  isOfTurning: true,
  usual: "the motor's own parameters",
};
export const isMotorParameters = ({ kind }: Check): boolean => kind.id === PARAMETERS.id;

/** What a shaft did unseen is in what comes behind: from a gap this long on nothing is concluded. Choice of this program, no source. */
const LONGEST_GAP_S = 0.1;

function hasLongGap({ capture: { channels, sampleRateHz } }: CheckContext): boolean {
  let lost = 0;
  return (channels.motorCurrentA ?? []).some((value) => {
    lost = Number.isNaN(value) ? lost + 1 : 0;
    return lost > LONGEST_GAP_S * sampleRateHz;
  });
}

/** A start off a limit goes through the diode of its switch: the fit takes that for the motor. */
const startsElsewhere = (context: CheckContext): boolean =>
  hasLimits(context.unit.style) &&
  context.expectation.throws.some(
    ({ of }) => !expectedOf(context, 'stopsAfterS', of) || !seenOf(context, 'stopsAfterS', of),
  );

/** Costs more than all other checks together. */
export function motorParameterCheck(context: CheckContext): Check[] {
  const spread = context.expectation.motor;
  if (!spread) return [];
  if (hasLongGap(context) || startsElsewhere(context)) return [];
  const fit = fitOf(context.unit, context.capture);
  if (fit.describes === 'no') return [];
  const fitted = MOTOR_PARAMETERS.flatMap((name) => {
    const quantity = fit.model[name];
    return quantity && quantity.value > 0
      ? [{ name, quantity, place: fit.correlation.names.indexOf(name) }]
      : [];
  });
  if (fitted.length < MOTOR_PARAMETERS.length) return [];
  const parameters = fitted.map(({ name, quantity, place }, i) => {
    const relative = quantity.standardUncertainty / quantity.value;
    return { name, value: quantity.value, relative, place, mean: spread.mean[i]! };
  });
  const covariance = parameters.map((a, i) =>
    parameters.map((b, j) => {
      const correlation = i === j ? 1 : (fit.correlation.matrix[a.place]?.[b.place] ?? 0);
      return (
        spread.covariance[i]![j]! + correlation * a.relative * b.relative + (i === j ? OPEN_PART ** 2 : 0)
      );
    }),
  );
  const offset = parameters.map(({ value, mean }) => Math.log(value) - mean);
  const distance = mahalanobis(covariance, offset);
  const upper = Math.sqrt(chiSquaredQuantile(PART, parameters.length));
  const by = (i: number): number => Math.abs(offset[i]!) / Math.sqrt(covariance[i]![i]!);
  const far = parameters.reduce((most, _, i) => (by(i) > by(most) ? i : most), 0);
  const { name, value, mean } = parameters[far]!;
  const { words, unit } = QUANTITIES[name];
  const passes = distance <= upper;
  const off = ` Furthest off: ${words}, ${significant(value, 2, unit)} in place of ${significant(Math.exp(mean), 2, unit)}.`;
  return [
    checkOf(PARAMETERS, {
      sentence: `Taken together, the motor's own numbers are ${passes ? 'those of' : 'far from'} a normal motor (distance ${fixed(distance, 1)}, at most ${fixed(upper, 1)}).${passes ? '' : off}`,
      ...{ value: distance, unit: '1', expandedUncertainty: 0, upper },
      outcome: passes ? 'pass' : 'fail',
      origin: modelOrigin(context),
    }),
  ];
}
