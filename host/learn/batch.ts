// A batch of units held against limits that others taught: every start and unit as a dot, how many lie outside, and how
// the batch sits within the limits.

import { stretchWords } from '../measure/index.js';
import type { Learned, LearnedQuantity } from '../profile/index.js';
import { type Capability, capability } from './capability.js';
import { namedShape } from './population-shape.js';
import type { Column } from './run.js';
import { carried } from './scale.js';
import { spreadParts } from './spread-parts.js';

/** Fewer have a spread that is chance for the most part. Choice of this program, no source. */
const LEAST_FOR_CAPABILITY = 5;
/** Of normal batches, so many are told no Cpk for their shape. Choice of this program, no source. */
const WRONGLY = 0.01;

export interface BatchUnit {
  unit: string;
  /** Of its starts, at the supply of the limits. */
  starts: number[];
  mean: number;
  isOutside: boolean;
}

/** One reading of the whole batch. */
export interface BatchRow {
  key: string;
  words: string;
  /** Symbol. */
  unit: string;
  lower?: number;
  upper?: number;
  centre: number;
  units: BatchUnit[];
  capability?: Capability;
  /** Why there is none. */
  why?: string;
}

/** Readings without limits are left out. */
export function batchRows(
  columns: readonly Column[],
  { quantities }: Pick<Learned, 'quantities'>,
): BatchRow[] {
  return columns.flatMap((column): BatchRow[] => {
    const limits = quantities[column.key];
    if (limits === undefined || limits.unit !== column.unit) return [];
    const { lower, upper, centre } = limits;
    const units = unitsOf(column, limits);
    const { words, of } = column;
    return [
      {
        ...{ key: column.key, unit: column.unit, centre, units },
        words: of === undefined ? words : `${stretchWords(of)}: ${words}`,
        ...(lower === undefined ? {} : { lower }),
        ...(upper === undefined ? {} : { upper }),
        ...within(units, limits),
      },
    ];
  });
}

function unitsOf({ starts }: Column, limits: LearnedQuantity): BatchUnit[] {
  const { lower = Number.NEGATIVE_INFINITY, upper = Number.POSITIVE_INFINITY } = limits;
  const tags = new Map<string, number[]>();
  for (const { unit, value, supplyV } of starts)
    tags.set(unit, [...(tags.get(unit) ?? []), carried(limits, value, supplyV)]);
  return [...tags].map(([unit, own]) => ({
    ...{ unit, starts: own, mean: own.reduce((sum, value) => sum + value, 0) / own.length },
    isOutside: own.some((value) => value < lower || value > upper),
  }));
}

/** On the scale on which the limits were drawn. */
function within(
  units: readonly BatchUnit[],
  { spread, centre, lower, upper }: LearnedQuantity,
): Pick<BatchRow, 'capability' | 'why'> {
  if (units.length < LEAST_FOR_CAPABILITY) return { why: `takes ${LEAST_FOR_CAPABILITY} units` };
  const sign = Math.sign(centre);
  const isLog = spread === 'of the logarithm';
  const scaled = (value: number): number => (isLog ? Math.log(sign * value) : value);
  const starts = units.map((unit) => unit.starts.map(scaled));
  const ends = [lower, upper].map((end) => (end === undefined ? undefined : scaled(end)));
  if (![...starts.flat(), ...ends.filter((end) => end !== undefined)].every(Number.isFinite))
    return { why: 'some read the other way round' };
  const { kind } = namedShape(
    starts.map((own) => own.reduce((sum, value) => sum + value, 0) / own.length),
    WRONGLY,
  );
  if (kind === 'two groups' || kind === 'skewed' || kind === 'other')
    return { why: kind === 'other' ? 'no normal population' : kind };
  const { centre: mean, total: deviation, known } = spreadParts(starts);
  if (!(deviation > 0)) return { why: 'every unit reads the same' };
  // The logarithm of a negative reading's limits runs the other way.
  const [low, high] = sign < 0 && isLog ? [ends[1], ends[0]] : ends;
  const batch = { mean, deviation, units: units.length, freedom: known.freedom };
  return { capability: capability(batch, { lower: low, upper: high }) };
}
