// What a measurement of a relay must know of the bench around it.

import type { RigProfile } from '../../profile/index.js';

/** A value of the bench with its standard uncertainty. */
export interface KnownOhm {
  ohm: number;
  standardUncertainty: number;
}

export interface RelayMeasureOptions {
  /** Scales of the rig that took the capture; without it only scatter counts in the uncertainties. */
  rig?: RigProfile;
  /** In series with the coil between the supply's sense point and its terminals: shunt, fuse, wires. Default none. */
  coilPath?: KnownOhm;
  /** In series besides, when the test current flows; without it the test current tells nothing. */
  coilTest?: KnownOhm;
  /** Temperature of the coil and how far it may be off; without it nothing is carried to 20 or 25 C. */
  temperatureC?: { nominal: number; plusMinus: number };
  /** Nominal supply for thresholds where none was sampled. */
  nominalVoltageV?: number;
}
