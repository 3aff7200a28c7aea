// Two tags that read like one unit: a known good unit counted twice makes limits look surer than they are. Told by what
// no two motors share: currents, volts and ripple that agree far closer than units do.

import type { Column } from './run.js';
import { byUnit, type Scale, scaleOf } from './scale.js';

/** Part of the usual spread between units within which one unit repeats. Choice of this program, no source. */
const REPEATS_PART = 0.15;
/** Of a reading: so close come no two starts, let alone units, but the same capture saved twice. Choice of this program, no source. */
const SAME_PART = 1e-3;
/** Readings that must agree so closely; forward and reverse of one motor go together. Choice of this program, no source. */
const LEAST_READINGS = 5;

export interface LookAlike {
  units: [string, string];
  readings: number;
}

const PLAIN: Scale = { spread: 'plain', sign: 1 };

const meanOf = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length;

/**
 * Pairs of tags whose every shared reading agrees within what one unit repeats. That takes three units for a spread; two
 * that agree to a thousandth are alike without any.
 */
export function lookAlikes(columns: readonly Column[]): LookAlike[] {
  const means = columns.map((column) => ({
    scaled: meansOf(scaleOf(column), column),
    plain: meansOf(PLAIN, column),
  }));
  const tags = [...new Set(means.flatMap(({ plain }) => [...plain.keys()]))];
  return tags.flatMap((a, i) =>
    tags.slice(i + 1).flatMap((b): LookAlike[] => {
      const agree = means.flatMap(({ scaled, plain }) => {
        const [one, other] = [plain.get(a), plain.get(b)];
        if (one === undefined || other === undefined) return [];
        const isSame = Math.abs(one - other) <= SAME_PART * Math.max(Math.abs(one), Math.abs(other));
        return [isSame || isRepeated(scaled, a, b)];
      });
      const isAlike = agree.length >= LEAST_READINGS && agree.every((agrees) => agrees);
      return isAlike ? [{ units: [a, b], readings: agree.length }] : [];
    }),
  );
}

/** The mean of each unit. */
const meansOf = (scale: Scale, { starts }: Column): Map<string, number> =>
  new Map([...byUnit(scale, starts)].map(([unit, own]) => [unit, meanOf(own)]));

function isRepeated(means: ReadonlyMap<string, number>, a: string, b: string): boolean {
  if (means.size < 3) return false;
  const values = [...means.values()];
  const centre = meanOf(values);
  const spread = Math.sqrt(values.reduce((sum, v) => sum + (v - centre) ** 2, 0) / (values.length - 1));
  const [one = Number.NaN, other = Number.NaN] = [means.get(a), means.get(b)];
  return Math.abs(one - other) < REPEATS_PART * Math.SQRT2 * spread;
}

/** Pairs of different tags that differ by case, spaces and signs alone: V-0107, v0107, `V 0107`. */
export function typedAlike(tags: readonly string[]): [string, string][] {
  const seen = new Map<string, string>();
  return [...new Set(tags)].flatMap((tag): [string, string][] => {
    // A tag of signs alone is only itself.
    const bare = (tag.toLowerCase().match(/\p{L}+|\p{N}+/gu) ?? [tag]).join(' ');
    const first = seen.get(bare);
    if (first !== undefined) return [[first, tag]];
    seen.set(bare, tag);
    return [];
  });
}
