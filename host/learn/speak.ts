// What learned limits say of one run: at its own supply, and nothing outside the supply and temperature that were seen.

import { keyOf, type Measured, QUANTITIES, type QuantityName, type RunStretch } from '../measure/index.js';
import type { Learned } from '../profile/index.js';
import { fixed } from '../tell/index.js';
import { restSupply, supplyOf } from './run.js';
import { carriedBack } from './scale.js';

/** A bench supply is set no closer, and the law carries so far well enough, V. Choice of this program, no source. */
const SUPPLY_BEYOND_V = 0.5;
/** The same of a workshop's temperature, C. Choice of this program, no source. */
const AMBIENT_BEYOND_C = 3;
/** Half width above which nobody read a thermometer, C. */
const UNTOLD_C = 10;

export interface LearnedLimits {
  lower: number | undefined;
  upper: number | undefined;
  centre: number;
  units: number;
}

/** The limits at the supply that the run had; undefined where the file has none of this reading. */
export function learnedLimits(
  learned: Learned,
  measured: Measured,
  what: QuantityName,
  of?: RunStretch,
): LearnedLimits | undefined {
  const taught = learned.quantities[keyOf(what, of)];
  if (taught === undefined || taught.unit !== QUANTITIES[what].unit) return undefined;
  const supplyV = supplyOf({ what, ...(of ? { of } : {}) }, measured);
  const { lower, upper, centre, units } = taught;
  const at = (value: number): number => carriedBack(taught, value, supplyV);
  return {
    lower: lower === undefined ? undefined : at(lower),
    upper: upper === undefined ? undefined : at(upper),
    centre: at(centre),
    units,
  };
}

/** Why the limits say nothing of this run, as a clause; undefined where they speak. */
export function silentBecause(
  { supplyV, temperatureC }: Learned,
  measured: Measured,
  ambientC: { nominal: number; plusMinus: number },
): string | undefined {
  const supply = restSupply(measured);
  if (supply === undefined) return 'the supply was not sampled';
  if (supply < supplyV.from - SUPPLY_BEYOND_V || supply > supplyV.to + SUPPLY_BEYOND_V)
    return `the supply stands at ${fixed(supply, 1)} V, and they are of ${fixed(supplyV.from, 1)} to ${fixed(supplyV.to, 1)} V`;
  const { nominal, plusMinus } = ambientC;
  if (!temperatureC.told || plusMinus > UNTOLD_C) return undefined;
  if (nominal < temperatureC.from - AMBIENT_BEYOND_C || nominal > temperatureC.to + AMBIENT_BEYOND_C)
    return `it is ${fixed(nominal, 0)} °C, and they are of ${fixed(temperatureC.from, 0)} to ${fixed(temperatureC.to, 0)} °C`;
  return undefined;
}

export const isAmbientTold = ({ plusMinus }: { plusMinus: number }): boolean => plusMinus <= UNTOLD_C;
