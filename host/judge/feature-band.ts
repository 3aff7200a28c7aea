// Limits of one reading of a good unit, and how they move with the supply that the run had.

import {
  keyOf,
  type Measured,
  type QuantityName,
  type Reading,
  type RunStretch,
  readingOf,
  summarise,
  supplyIn,
  supplyReadingFor,
  UNSEEN_SUPPLY,
} from '../measure/index.js';

export interface FeatureBand {
  what: QuantityName;
  of?: RunStretch;
  /** Of the unit with every parameter at its nominal. */
  nominal: number;
  /** Over the draws, at the supply that each draw had. */
  lower: number;
  upper: number;
  /** Over the draws, carried to the nominal unit's own supply reading. */
  conditioned: { lower: number; upper: number; mean: number; deviation: number };
  /** How it moves with the supply; absent when it does not. */
  curve?: SupplyCurve;
}

export interface SupplyCurve {
  /** The supply reading that it moves with, of the same throw. */
  by: QuantityName;
  /** The nominal unit's reading over that supply, ascending; `referenceV` is the one that it had itself. */
  supplyV: number[];
  value: number[];
  referenceV: number;
}

/** From the runs that show the feature; undefined when fewer than two do, or their supplies do not differ. */
export function supplyCurve(
  { what, of }: Reading,
  runs: readonly Measured[],
  nominal: Measured,
): SupplyCurve | undefined {
  const key = keyOf(what, of);
  const by = nominal[key] && supplyReadingFor(nominal[key], nominal);
  const referenceV = by && supplyIn(nominal, by, of);
  if (by === undefined || referenceV === undefined) return undefined;
  const points: [number, number][] = [];
  for (const run of runs) {
    const [value, supply] = [run[key]?.value, supplyIn(run, by, of)];
    if (value !== undefined && supply !== undefined) points.push([supply, value]);
  }
  points.sort(([a], [b]) => a - b);
  if (points.length < 2) return undefined;
  if (points.some(([supply], i) => i > 0 && supply - points[i - 1]![0] < 0.01)) return undefined;
  return {
    by,
    supplyV: points.map(([supply]) => supply),
    value: points.map(([, value]) => value),
    referenceV,
  };
}

/** Straight between the points, and on in the direction of the last two beyond them. */
function at({ supplyV, value }: SupplyCurve, voltageV: number): number {
  let i = supplyV.findIndex((supply) => supply > voltageV);
  if (i < 0) i = supplyV.length - 1;
  if (i === 0) i = 1;
  const part = (voltageV - supplyV[i - 1]!) / (supplyV[i]! - supplyV[i - 1]!);
  return value[i - 1]! + part * (value[i]! - value[i - 1]!);
}

/** Readings that keep their sign move as a whole, spread and all; others are shifted. */
function moved(band: FeatureBand, reading: number, fromV: number, toV: number): number {
  const { curve } = band;
  if (!curve) return reading;
  const [from, to] = [at(curve, fromV), at(curve, toV)];
  const keepsSign = curve.value.every((value) => value * band.nominal > 0) && from * to > 0;
  return keepsSign ? (reading * to) / from : reading + to - from;
}

/** A reading carried to the supply that its limits are stated for; undefined when it was not measured. */
export function carriedTo(band: FeatureBand, measured: Measured): number | undefined {
  const value = readingOf(measured, band.what, band.of)?.value;
  const supply = supplyOf(band, measured);
  if (value === undefined || supply === undefined || !band.curve) return value;
  return moved(band, value, supply, band.curve.referenceV);
}

export interface Limits {
  lower: number;
  upper: number;
  nominal: number;
}

/** Limits of one reading for a run whose own supply readings are given; where nobody saw the supply, those of any that a bench may have. */
export function limitsOf(
  band: FeatureBand,
  measured: Measured,
  { isSupplyUnseen = false }: { isSupplyUnseen?: boolean } = {},
): Limits {
  const { curve, lower, upper, nominal, conditioned } = band;
  const supply = supplyOf(band, measured);
  if (!curve || (supply === undefined && !isSupplyUnseen)) return { lower, upper, nominal };
  if (supply === undefined) {
    const ends = [UNSEEN_SUPPLY.least, UNSEEN_SUPPLY.most].flatMap((part) =>
      [conditioned.lower, conditioned.upper].map((reading) =>
        moved(band, reading, curve.referenceV, part * curve.referenceV),
      ),
    );
    return { lower: Math.min(lower, ...ends), upper: Math.max(upper, ...ends), nominal };
  }
  const move = (reading: number): number => moved(band, reading, curve.referenceV, supply);
  return { lower: move(conditioned.lower), upper: move(conditioned.upper), nominal: move(nominal) };
}

const supplyOf = ({ curve, of }: FeatureBand, measured: Measured): number | undefined =>
  curve && supplyIn(measured, curve.by, of);

/** Normal tolerance interval of `factor` deviations, of the logarithm where the sign is fixed; never narrower than the values. */
export function interval(values: readonly number[], factor: number): FeatureBand['conditioned'] {
  const { mean, deviation } = summarise(values);
  const least = Math.min(...values);
  const most = Math.max(...values);
  let lower = mean - factor * deviation;
  let upper = mean + factor * deviation;
  // Currents, times and resistances are quotients and products of tolerances: skewed to the right, normal in the logarithm.
  const sign = least > 0 ? 1 : most < 0 ? -1 : 0;
  if (sign !== 0 && deviation < 0.5 * Math.abs(mean)) {
    const logs = summarise(values.map((value) => Math.log(sign * value)));
    const ends = [logs.mean - factor * logs.deviation, logs.mean + factor * logs.deviation].map(
      (end) => sign * Math.exp(end),
    );
    lower = Math.min(...ends);
    upper = Math.max(...ends);
  }
  return { lower: Math.min(lower, least), upper: Math.max(upper, most), mean, deviation };
}

/** Beyond the draws nearest to the ends of a family, which are round figures. Choice of this program, no source. */
const BEYOND = 0.1;

/** The ends of draws that fill a range evenly, a little widened. */
export function reach(values: readonly number[]): FeatureBand['conditioned'] {
  const { mean, deviation } = summarise(values);
  const [least, most] = [Math.min(...values), Math.max(...values)];
  const beyond = BEYOND * Math.max(-least, most);
  return {
    lower: least - (least > 0 ? BEYOND * least : beyond),
    upper: most + (most < 0 ? -BEYOND * most : beyond),
    mean,
    deviation,
  };
}
