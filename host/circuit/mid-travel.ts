// Where a drive with limit switches starts, so that it meets none while it is looked at.

import { type CircuitStyle, endsOfTravelRad } from '../profile/index.js';

const STEP_OFF_RAD = 5;

/** Near the limit behind it; `sign` is the way in which the motor is about to turn. */
export function midTravel(style: CircuitStyle, sign: 1 | -1): number {
  const { reverse, forward } = endsOfTravelRad(style);
  const behind = sign === 1 ? reverse : forward;
  return behind === undefined ? 0 : behind + sign * STEP_OFF_RAD;
}
