// Two tags that read like one unit: a known good unit counted twice makes limits look surer than they are. Told by what
// no two motors share: currents, volts and ripple that agree far closer than units do.

import type { Column } from './run.js';
import { byUnit, scaleOf } from './scale.js';

/** Part of the usual spread between units within which one unit repeats. Choice of this program, no source. */
const REPEATS_PART = 0.15;
/** Readings that must agree so closely; forward and reverse of one motor go together. Choice of this program, no source. */
const LEAST_READINGS = 5;

export interface LookAlike {
  units: [string, string];
  readings: number;
}

const meanOf = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length;

/** Pairs of tags whose every shared reading agrees within what one unit repeats. Needs three units for a spread. */
export function lookAlikes(columns: readonly Column[]): LookAlike[] {
  const apart = columns.flatMap((column) => {
    const units = [...byUnit(scaleOf(column), column.starts)].map(
      ([unit, own]) => [unit, meanOf(own)] as const,
    );
    if (units.length < 3) return [];
    const means = units.map(([, mean]) => mean);
    const centre = meanOf(means);
    const spread = Math.sqrt(means.reduce((sum, v) => sum + (v - centre) ** 2, 0) / (means.length - 1));
    return spread > 0 ? [{ means: new Map(units), spread: Math.SQRT2 * spread }] : [];
  });
  const tags = [...new Set(apart.flatMap(({ means }) => [...means.keys()]))];
  return tags.flatMap((a, i) =>
    tags.slice(i + 1).flatMap((b): LookAlike[] => {
      const parts = apart.flatMap(({ means, spread }) => {
        const [one, other] = [means.get(a), means.get(b)];
        return one === undefined || other === undefined ? [] : [Math.abs(one - other) / spread];
      });
      const isAlike = parts.length >= LEAST_READINGS && parts.every((part) => part < REPEATS_PART);
      return isAlike ? [{ units: [a, b], readings: parts.length }] : [];
    }),
  );
}
