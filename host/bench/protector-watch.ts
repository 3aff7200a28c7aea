// While a rotor is held for its protector: whether that has opened, so that nobody goes on holding a motor for nothing.

import type { Watched } from './gone-watch.js';

/** Published: under 1 A counts as opened. What is held carries far more. */
const OPENED_A = 1;
const HELD_A = 2;
/** Long enough for the judging, and for a brush that only jumped. */
const GONE_S = 0.3;

export const PROTECTOR_OPENED: Watched = {
  goneForS: GONE_S,
  look: ({ motorCurrentA }) =>
    motorCurrentA === undefined
      ? undefined
      : { isThere: Math.abs(motorCurrentA) > HELD_A, isGone: Math.abs(motorCurrentA) < OPENED_A },
};
