// How a batch sits within its limits: Cp and Cpk with what so few units leave open (NIST/SEMATECH e-Handbook 6.1.6).

import { chiSquaredQuantile, normalCoverageFactor } from '../measure/index.js';

export interface Interval {
  value: number;
  least: number;
  most: number;
}

export interface Capability {
  /** Width of the limits over six spreads; absent where only one side is limited. */
  cp?: Interval;
  /** From the centre to the nearer limit over three spreads. */
  cpk: Interval;
}

export interface Batch {
  mean: number;
  /** Of one unit from the next. */
  deviation: number;
  units: number;
  /** Degrees of freedom of the deviation; units less one where it is not told. */
  freedom?: number;
}

/**
 * @param limits one at the least
 * @param confidence that the intervals hold
 * @throws RangeError for limits that are exchanged or absent, and for a batch without spread
 */
export function capability(
  { mean, deviation, units, freedom = units - 1 }: Batch,
  { lower, upper }: { lower?: number | undefined; upper?: number | undefined },
  confidence = 0.95,
): Capability {
  if (lower === undefined && upper === undefined) throw new RangeError('capability: give a limit');
  if (lower !== undefined && upper !== undefined && !(lower < upper))
    throw new RangeError(`capability: the lower limit ${lower} is not below the upper one, ${upper}`);
  if (!(deviation > 0) || units < 2) throw new RangeError('capability: two units at the least, which differ');
  const ends = [
    ...(upper === undefined ? [] : [(upper - mean) / (3 * deviation)]),
    ...(lower === undefined ? [] : [(mean - lower) / (3 * deviation)]),
  ];
  const cpk = Math.min(...ends);
  const reach = normalCoverageFactor(confidence) * Math.sqrt(1 / (9 * units) + cpk ** 2 / (2 * freedom));
  return {
    ...(lower === undefined || upper === undefined
      ? {}
      : { cp: byChiSquared((upper - lower) / (6 * deviation), freedom, confidence) }),
    cpk: { value: cpk, least: cpk - reach, most: cpk + reach },
  };
}

function byChiSquared(value: number, freedom: number, confidence: number): Interval {
  const at = (probability: number): number =>
    value * Math.sqrt(chiSquaredQuantile(probability, freedom) / freedom);
  return { value, least: at((1 - confidence) / 2), most: at((1 + confidence) / 2) };
}
