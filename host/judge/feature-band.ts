// Limits of one feature of a good unit, and how they move with the supply that the run had.

import { type Measured, summarise } from '../measure/index.js';

export interface FeatureBand {
  unit: string;
  /** Of the unit with every parameter at its nominal. */
  nominal: number;
  /** Over the draws, at the supply that each draw had. */
  lower: number;
  upper: number;
  /** Over the draws, carried to the nominal unit's own supply reading. */
  conditioned: { lower: number; upper: number; mean: number; deviation: number };
  /** The supply reading that the feature moves with; absent when it does not. */
  movesWith?: string;
  /** The nominal unit's feature over that supply reading, ascending; its reference is the reading of `nominal`. */
  curve?: SupplyCurve;
}

export interface SupplyCurve {
  supplyV: number[];
  value: number[];
  referenceV: number;
}

/** Currents, levels and times of a throw move with the supply read in the same stretch; resistances and counts do not. */
export function supplyReadingFor(name: string, measured: Measured): string | undefined {
  if (/Supply|Ohm$|Side$|Percent$/.test(name)) return undefined;
  const way = /^(?:limitedF|limitedR|f|r)(?:orward|everse)\d*/.exec(name)?.[0];
  if (!way) return undefined;
  const own = /Inrush|Spike/.test(name) ? `${way}InrushSupplyVoltageV` : `${way}SupplyVoltageV`;
  return [own, `${way}SupplyVoltageV`, 'restSupplyVoltageV'].find((key) => measured[key] !== undefined);
}

/** From the runs that show the feature; undefined when fewer than two do, or their supplies do not differ. */
export function supplyCurve(
  name: string,
  movesWith: string,
  runs: readonly Measured[],
  nominal: Measured,
): SupplyCurve | undefined {
  const points: [number, number][] = [];
  for (const run of runs) {
    const [value, supply] = [run[name]?.value, run[movesWith]?.value];
    if (value === undefined || supply === undefined) continue;
    points.push([supply, value]);
  }
  points.sort(([a], [b]) => a - b);
  if (points.length < 2) return undefined;
  if (points.some(([supply], i) => i > 0 && supply - points[i - 1]![0] < 0.01)) return undefined;
  return {
    supplyV: points.map(([supply]) => supply),
    value: points.map(([, value]) => value),
    referenceV: nominal[movesWith]!.value,
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
export function carriedTo(band: FeatureBand, name: string, measured: Measured): number | undefined {
  const value = measured[name]?.value;
  const supply = supplyOf(band, measured);
  if (value === undefined || supply === undefined || !band.curve) return value;
  return moved(band, value, supply, band.curve.referenceV);
}

/** Limits of one feature for a run whose own supply readings are given. */
export function limitsOf(
  band: FeatureBand,
  measured: Measured,
): { lower: number; upper: number; nominal: number } {
  const supply = supplyOf(band, measured);
  if (supply === undefined || !band.curve)
    return { lower: band.lower, upper: band.upper, nominal: band.nominal };
  const move = (reading: number): number => moved(band, reading, band.curve!.referenceV, supply);
  return {
    lower: move(band.conditioned.lower),
    upper: move(band.conditioned.upper),
    nominal: move(band.nominal),
  };
}

const supplyOf = (band: FeatureBand, measured: Measured): number | undefined =>
  band.movesWith === undefined ? undefined : (measured[band.movesWith] ?? measured.restSupplyVoltageV)?.value;

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
