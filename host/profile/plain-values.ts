// Profiles with every tolerance replaced by its nominal: what one concrete motor, relay or rig is.

import type { LoadProfile, MotorProfile, RelayProfile, RigProfile } from './schema.js';

/** `{ nominal, tolerancePercent }` becomes a number, everywhere inside T. */
export type Plain<T> = T extends number | string | boolean | undefined
  ? T
  : T extends { nominal: number; tolerancePercent: number }
    ? number
    : T extends readonly (infer E)[]
      ? Plain<E>[]
      : { [K in keyof T]: Plain<T[K]> };

export type MotorValues = Plain<MotorProfile>;
export type LoadValues = Plain<LoadProfile>;
export type RelayValues = Plain<RelayProfile>;
export type RigValues = Plain<RigProfile>;

/** Copies `profile` with nominals in place of tolerances; the original is left as it is. */
export function plainValues<T>(profile: T): Plain<T> {
  return plain(profile) as Plain<T>;
}

function plain(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(plain);
  if (typeof value !== 'object' || value === null) return value;
  if ('nominal' in value && 'tolerancePercent' in value) return value.nominal;
  return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, plain(inner)]));
}
