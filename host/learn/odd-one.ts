// A unit that stands apart from the others, named before it spoils their limits: each unit held against the spread of
// the others (deleted residual, Student's t with two units fewer). What its quantities say is put together by Cauchy's
// combination (Liu and Xie 2020), which holds whatever hangs together, and shared over the units by Bonferroni.

import { type QuantityName, studentBeyond } from '../measure/index.js';
import type { Column } from './run.js';
import { byUnit, scaleOf, unscaled } from './scale.js';

/** Of twenty sets of good units one has a unit named that only happens to lie at the end. Choice of this program, no source. */
const WRONGLY = 0.05;
/** Fewer have no others to be apart from. */
const LEAST_OTHERS = 3;

/** One unit in the reading in which it stands furthest from the others. */
export interface LeftOut {
  unit: string;
  column: Column;
  /** Its own mean and the others' ends, in the quantity's unit, at one supply. */
  value: number;
  least: number;
  most: number;
  /** Of some unit of as many good ones standing so far apart, over all quantities; at most 1. */
  chance: number;
  isOdd: boolean;
}

const meanOf = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length;

/** Means of the units, by tag, in the scale of the column. */
const meansOf = (column: Column): Map<string, number> =>
  new Map([...byUnit(scaleOf(column), column.starts)].map(([unit, own]) => [unit, meanOf(own)]));

function againstOthers(means: ReadonlyMap<string, number>, unit: string): number {
  const rest = [...means].filter(([tag]) => tag !== unit).map(([, mean]) => mean);
  const centre = meanOf(rest);
  const spread = Math.sqrt(rest.reduce((sum, v) => sum + (v - centre) ** 2, 0) / (rest.length - 1));
  const apart = Math.abs((means.get(unit) ?? centre) - centre);
  return apart > 0 ? apart / (spread * Math.sqrt(1 + 1 / rest.length)) : 0;
}

/** Each unit judged by the others; empty below four units. */
export function leftOut(columns: readonly Column[]): LeftOut[] {
  const tags = [...new Set(columns.flatMap(({ starts }) => starts.map(({ unit }) => unit)))];
  const others = tags.length - 1;
  if (others < LEAST_OTHERS) return [];
  // What a unit shows one way it shows the other way too: throws of one quantity are taken together.
  const kinds = new Map<QuantityName, { column: Column; means: Map<string, number> }[]>();
  for (const column of columns) {
    const means = meansOf(column);
    if (means.size === tags.length)
      kinds.set(column.what, [...(kinds.get(column.what) ?? []), { column, means }]);
  }
  if (kinds.size === 0) return [];
  return tags.flatMap((unit): LeftOut[] => {
    const found = [...kinds.values()].map((throws) => {
      const together = new Map(
        tags.map((tag) => [tag, meanOf(throws.map(({ means }) => means.get(tag) ?? 0))]),
      );
      const shown = furthest(throws, ({ means }) => againstOthers(means, unit));
      return { t: againstOthers(together, unit), shown };
    });
    const most = furthest(found, ({ t }) => t)?.shown;
    const alone = combined(found.map(({ t }) => studentBeyond(t, others - 1)));
    return most === undefined ? [] : [told(unit, most, Math.min(1, tags.length * alone))];
  });
}

/** One probability of several that may hang together (Liu and Xie 2020). */
function combined(chances: readonly number[]): number {
  const mean = meanOf(chances.map((p) => Math.tan((0.5 - Math.min(1 - 1e-9, Math.max(1e-15, p))) * Math.PI)));
  return 0.5 - Math.atan(mean) / Math.PI;
}

function furthest<T>(items: readonly T[], by: (item: T) => number): T | undefined {
  return items.reduce<T | undefined>((a, b) => (a === undefined || by(b) > by(a) ? b : a), undefined);
}

function told(
  unit: string,
  { column, means }: { column: Column; means: ReadonlyMap<string, number> },
  chance: number,
): LeftOut {
  const scale = scaleOf(column);
  const rest = [...means].filter(([tag]) => tag !== unit).map(([, mean]) => unscaled(scale, mean));
  return {
    ...{ unit, column, value: unscaled(scale, means.get(unit) ?? Number.NaN), chance },
    ...{ isOdd: chance < WRONGLY, least: Math.min(...rest), most: Math.max(...rest) },
  };
}
