// Populations of known shape, drawn, and how they are named: for the test and for the table of `npm run learning`.

import { type SeededRandom, seededRandom } from '../../host/circuit/index.js';
import { namedShape, type Shape } from '../../host/learn/index.js';

export interface DrawnShape {
  words: string;
  draw: (random: SeededRandom) => number;
}

const twoGroups = (apart: number, part: number): DrawnShape => ({
  words: `two groups, ${apart} spreads apart, ${Math.round(100 * part)} % in one`,
  draw: (random) => random.normal() + (random.uniform() < part ? apart : 0),
});

export const SHAPES: readonly DrawnShape[] = [
  { words: 'normal', draw: (random) => random.normal() },
  twoGroups(3, 0.5),
  twoGroups(5, 0.5),
  twoGroups(8, 0.5),
  twoGroups(8, 0.25),
  { words: 'skewed, logarithm of spread 0.5', draw: (random) => Math.exp(0.5 * random.normal()) },
  { words: 'skewed, logarithm of spread 1', draw: (random) => Math.exp(random.normal()) },
];

/** Part of the drawn sets that are named so. */
export function namedOf(
  { draw }: DrawnShape,
  { units, sets, seed, wrongly }: { units: number; sets: number; seed: number; wrongly: number },
): Record<Shape['kind'], number> {
  const counts: Record<Shape['kind'], number> = {
    ...{ unknown: 0, normal: 0, other: 0, skewed: 0, 'two groups': 0 },
  };
  const random = seededRandom(seed);
  for (let n = 0; n < sets; n++)
    counts[
      namedShape(
        Array.from({ length: units }, () => draw(random)),
        wrongly,
      ).kind
    ] += 1 / sets;
  return counts;
}

export function* shapeTable(asked: { seed: number; sets: number; wrongly: number }): Generator<string> {
  yield `units  ${'population'.padEnd(40)}  two groups    skewed     other    normal`;
  for (const units of [8, 10, 15, 20, 30]) {
    for (const shape of SHAPES) {
      const named = namedOf(shape, { ...asked, units });
      const cells = (['two groups', 'skewed', 'other', 'normal'] as const).map((kind) =>
        `${(100 * named[kind]).toFixed(1)} %`.padStart(10),
      );
      yield `${String(units).padStart(5)}  ${shape.words.padEnd(40)}  ${cells.join('')}`;
    }
  }
}
