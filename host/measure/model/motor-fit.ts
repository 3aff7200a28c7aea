// What a motor fit may be told beforehand, and what it gives.

import type { RigProfile } from '../../profile/index.js';
import type { Instrument } from '../instrument.js';
import type { Told } from '../reading.js';
import type { ResidualTest } from './residual-test.js';

export interface FitMotorOptions {
  /** Scales of the rig; without it gains count as exact and offsets as small. */
  rig?: RigProfile;
  /** Accuracy of the instrument that took it, in place of the rig's. */
  instrument?: Instrument;
  motor?: {
    /** Ripples of the current in a turn of the shaft: makes speed, and with it ke, known. */
    segments?: number;
    /** The same, where the ripples in a turn were counted instead; goes before `segments`. */
    ripplesPerTurn?: number;
    /** A known inertia makes ke known when speed is not. */
    inertiaKgM2?: number;
    /** What the brushes drop together; taken as known to BRUSH_SPREAD. */
    brushDropV?: number;
    brushKneeA?: number;
    /** kt over ke; 1 unless told. Terminal readings and speed cannot tell them apart without a torque. */
    torqueRatio?: number;
  };
  /** All of the feed's current goes through the motor while it is thrown: it stands in where the motor's was not sampled. */
  feedIsMotorCurrent?: boolean;
  /** Of the winding, with its standard uncertainty; R and ke are then also given at 25 C. */
  temperatureC?: number;
  temperatureUncertaintyC?: number;
}

export interface MotorFit {
  /** Absent is what the capture cannot tell. */
  model: Told;
  /** Of the fitted parameters, named as in `names`. */
  correlation: { names: string[]; matrix: number[][] };
  /** `no`: residuals show what this model does not hold; the parameters then describe no motor. */
  describes: 'yes' | 'no' | 'cannot-tell';
  residuals?: ResidualTest;
  notes: string[];
}
