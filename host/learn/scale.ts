// The scale on which a quantity's readings are compared: carried to one supply by the quantity's own law, and as a
// logarithm where it cannot change its sign (currents, times and resistances are products of tolerances).

import { QUANTITIES, summarise } from '../measure/index.js';
import { type Column, type Start, sidesOf } from './run.js';

export interface Scale {
  spread: 'of the logarithm' | 'plain';
  /** Of a logarithm: 1 or -1. */
  sign: number;
  supplyPower?: number;
  atSupplyV?: number;
}

/** Wider, a logarithm makes long tails of what is noise for the most part; as for the limits of a model's draws. */
const LOG_PART = 0.5;

export function scaleOf({ what, unit, starts }: Column): Scale {
  const values = starts.map(({ value }) => value);
  const sign = values.every((value) => value > 0) ? 1 : values.every((value) => value < 0) ? -1 : 0;
  const { mean, deviation } = summarise(values);
  // Resistances of a way are sums, and so is what misreads them.
  const isLog =
    unit !== '%' && sign !== 0 && sidesOf(what) !== 'upper' && !(deviation > LOG_PART * Math.abs(mean));
  const supplies = starts.flatMap(({ supplyV }) => (supplyV !== undefined && supplyV > 0 ? [supplyV] : []));
  const power = QUANTITIES[what].law?.supply;
  const carries = power !== undefined && power !== 0 && supplies.length === starts.length;
  return {
    spread: isLog ? 'of the logarithm' : 'plain',
    sign: isLog ? sign : 1,
    ...(carries
      ? { supplyPower: power, atSupplyV: supplies.reduce((sum, v) => sum + v, 0) / supplies.length }
      : {}),
  };
}

/** What a value at `supplyV` would be at the scale's own supply. */
export const carried = (
  { supplyPower, atSupplyV }: { supplyPower?: number | undefined; atSupplyV?: number | undefined },
  value: number,
  supplyV: number | undefined,
): number =>
  supplyPower === undefined || atSupplyV === undefined || supplyV === undefined
    ? value
    : value * (atSupplyV / supplyV) ** supplyPower;

/** What a value at the scale's own supply would be at `supplyV`. */
export const carriedBack = (
  { supplyPower, atSupplyV }: { supplyPower?: number | undefined; atSupplyV?: number | undefined },
  value: number,
  supplyV: number | undefined,
): number =>
  supplyPower === undefined || atSupplyV === undefined || supplyV === undefined
    ? value
    : value * (supplyV / atSupplyV) ** supplyPower;

/** NaN for a value that the scale cannot hold. */
export function scaled(scale: Scale, { value, supplyV }: Pick<Start, 'value' | 'supplyV'>): number {
  const at = carried(scale, value, supplyV);
  return scale.spread === 'plain' ? at : Math.log(scale.sign * at);
}

/** Back in the quantity's own unit. */
export const unscaled = (scale: Scale, value: number): number =>
  scale.spread === 'plain' ? value : scale.sign * Math.exp(value);

/** Readings by unit, each unit's starts together, in the order of the units. */
export function byUnit(scale: Scale, starts: readonly Start[]): Map<string, number[]> {
  const units = new Map<string, number[]>();
  for (const start of starts) units.set(start.unit, [...(units.get(start.unit) ?? []), scaled(scale, start)]);
  return units;
}
