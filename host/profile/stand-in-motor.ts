// The motor of a unit that has none: ratings to read, and figures of a rotor that cannot turn, so that whoever takes
// it for a motor sees nothing start.

import type { MotorProfile } from './schema.js';

/** What the ratings are taken from: a load, a relay, or the unit itself. */
export interface Rated {
  id: string;
  title: string;
  nominalVoltageV?: number;
  origin?: MotorProfile['origin'];
  longestHoldS?: number;
}

/** Of a system when nothing says otherwise. */
const NOMINAL_V = 12;
/** What a contact or coil may be held for on the bench when nothing on it says less (common practice, no source). */
const LONGEST_HOLD_S = 5;

export function standInMotor(rated: Rated): MotorProfile {
  return {
    id: rated.id,
    title: rated.title,
    kind: 'motor',
    nominalVoltageV: rated.nominalVoltageV ?? NOMINAL_V,
    origin: rated.origin ?? 'generic',
    longestHoldS: rated.longestHoldS ?? LONGEST_HOLD_S,
    resistanceOhm: 1e6,
    inductanceH: 1e-3,
    backEmfVsPerRad: 1e-6,
    torqueNmPerA: 1e-6,
    inertiaKgM2: 1,
    viscousNms: 0,
    coulombNm: 1e3,
    brushDropV: 0,
    brushKneeA: 0.2,
  };
}
