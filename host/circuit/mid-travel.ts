// Where a drive with limit switches starts, so that it meets none while it is looked at.

import type { CircuitStyle } from '../profile/index.js';

const STEP_OFF_RAD = 5;

/** Near the limit behind it; `sign` is the way in which the motor is about to turn. */
export function midTravel({ elements }: CircuitStyle, sign: 1 | -1): number {
  const limits = elements.filter((element) => element.kind === 'limit');
  const behind = limits.flatMap(({ opensAboveRad, opensBelowRad }) =>
    sign === 1 ? (opensBelowRad ?? []) : (opensAboveRad ?? []),
  );
  return behind[0] === undefined ? 0 : behind[0] + sign * STEP_OFF_RAD;
}
