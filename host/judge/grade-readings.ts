// What a grade is made of: readings of one run held against each other.

import { isFullThrow, type Measured, type QuantityName } from '../measure/index.js';
import type { MotorProfile } from '../profile/index.js';

export type Grade = 'good' | 'fair' | 'poor' | 'not-told';

export interface GradeReason {
  about: 'fault' | 'starts' | 'directions' | 'brushes' | 'ripple' | 'release' | 'leakage' | 'usual' | 'motor';
  grade: Grade;
  /** One sentence with the reading. */
  sentence: string;
}

export interface GradeSource {
  measured: Measured;
  motor: Pick<MotorProfile, 'resembles'>;
  /** What it moves may weigh more one way. */
  isOnMechanism: boolean;
  /** Some current lies outside all families together. */
  otherThanUsual: boolean;
  /** Resistance of the fitted motor with its brush drop; absent where no fit describes it. */
  resistanceOhm?: number;
}

/** Sizes of a reading in the throws with the full feed, in their order; of one way, or of both. */
export const valuesOf = (
  { measured }: Pick<GradeSource, 'measured'>,
  what: QuantityName,
  way?: 'forward' | 'reverse',
): number[] =>
  Object.values(measured)
    .filter((reading) => reading.what === what && reading.of !== undefined && isFullThrow(reading.of))
    .filter(({ of }) => way === undefined || of?.position === way)
    .map(({ value }) => Math.abs(value));

export const meanOf = (values: readonly number[]): number | undefined =>
  values.length === 0 ? undefined : values.reduce((sum, value) => sum + value, 0) / values.length;

/** Furthest from the mean, as a part of it; undefined for fewer than two. */
export function spreadOf(values: readonly number[]): number | undefined {
  const mean = meanOf(values);
  if (mean === undefined || mean === 0 || values.length < 2) return undefined;
  return Math.max(...values.map((value) => Math.abs(value - mean))) / mean;
}

/** How far two lie apart, as a part of their mean. */
export const part = (one: number | undefined, other: number | undefined): number | undefined =>
  one === undefined || other === undefined || one + other === 0
    ? undefined
    : (2 * Math.abs(one - other)) / (one + other);
