// Two groups and skewed populations are named, normal ones are not; against published examples and drawn truth.

import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../host/circuit/index.js';
import {
  bestSplit,
  deviateOf,
  namedShape,
  skewnessDeviate,
  splitChance,
} from '../../host/learn/population-shape.js';
import { namedOf, SHAPES } from './shapes.js';

const SEED = 7001;

describe('skewness', () => {
  it.each([
    // Documentation of SciPy 1.1, scipy.stats.skewtest, after D'Agostino, Belanger and D'Agostino Jr. (1990).
    [[2, 8, 0, 4, 1, 9, 9, 0], 0.44626385374196975],
    [[1, 2, 3, 4, 5, 6, 7, 8000], 3.571773510360407],
  ])('of %j is the published deviate', (values, deviate) => {
    expect(skewnessDeviate(values)).toBeCloseTo(deviate, 9);
  });

  it('of 1 to 8 is none', () => {
    expect(skewnessDeviate([1, 2, 3, 4, 5, 6, 7, 8])).toBeCloseTo(0, 9);
    // The same page prints 1.0108 there, for it puts 1 in place of a standardised skewness of nothing.
    expect(deviateOf(1 / Math.sqrt((9 * 11) / 36), 8)).toBeCloseTo(1.0108048609177787, 9);
  });

  it('of 62 readings of cholesterol is that of the paper', () => {
    // D'Agostino, Belanger and D'Agostino Jr. (1990): n = 62, skewness 1.02, Z = 3.14. Value from memory.
    expect(deviateOf(1.02, 62)).toBeCloseTo(3.14, 1);
  });
});

describe('the best split', () => {
  it('of a normal population leaves 1 - 2/pi of the spread within', () => {
    // Hartigan, Annals of Statistics 6 (1978) 117: asymptotic of one normal population.
    const random = seededRandom(SEED);
    const values = Array.from({ length: 20_000 }, () => random.normal()).sort((a, b) => a - b);
    expect(bestSplit(values).within).toBeCloseTo(1 - 2 / Math.PI, 2);
  });

  it('is the one of all splits that leaves least, by trying each', () => {
    const random = seededRandom(SEED + 1);
    const spread = (values: readonly number[]): number => {
      const mean = values.reduce((sum, v) => sum + v, 0) / values.length;
      return values.reduce((sum, v) => sum + (v - mean) ** 2, 0);
    };
    for (let n = 0; n < 20; n++) {
      const values = Array.from({ length: 12 }, () => random.normal()).sort((a, b) => a - b);
      const tried = [3, 4, 5, 6, 7, 8, 9].map(
        (low) => (spread(values.slice(0, low)) + spread(values.slice(low))) / spread(values),
      );
      expect(bestSplit(values).within).toBeCloseTo(Math.min(...tried), 9);
    }
  });

  it('has a chance that is evenly spread where the population is one normal one', () => {
    const random = seededRandom(SEED + 2);
    const chances = Array.from({ length: 1000 }, () => {
      const values = Array.from({ length: 10 }, () => random.normal()).sort((a, b) => a - b);
      return splitChance(bestSplit(values), 10);
    });
    for (const part of [0.05, 0.25, 0.5]) {
      const below = chances.filter((chance) => chance <= part).length / chances.length;
      // Three standard deviations of counting a thousand.
      expect(Math.abs(below - part)).toBeLessThan(3 * Math.sqrt((part * (1 - part)) / 1000) + 0.005);
    }
  });
});

describe('a population', () => {
  const wrongly = 0.01;
  const named = (nth: number, units: number, sets = 300) => {
    const shape = SHAPES[nth];
    if (shape === undefined) throw new RangeError('no such shape');
    return namedOf(shape, { units, sets, seed: SEED, wrongly });
  };

  it('that is normal is hardly ever named otherwise', () => {
    for (const units of [8, 15, 30]) {
      const { 'two groups': two, skewed } = named(0, units, 1000);
      expect(two).toBeLessThan(0.02);
      expect(skewed).toBeLessThan(0.03);
    }
  });

  it('of two clear groups is named from ten units on, and never called skewed by mistake of a third', () => {
    expect(named(3, 10)['two groups']).toBeGreaterThan(0.8);
    expect(named(3, 20)['two groups']).toBeGreaterThan(0.95);
    expect(named(3, 20).skewed).toBeLessThan(0.05);
  });

  it('that is skewed is named so, and hardly two groups', () => {
    const { 'two groups': two, skewed } = named(6, 30);
    expect(skewed).toBeGreaterThan(0.7);
    expect(two).toBeLessThan(0.2);
  });

  it('of fewer than eight units, or of equal readings, is not named', () => {
    expect(namedShape([1, 1.1, 0.9, 5, 5.1, 4.9, 5], wrongly)).toEqual({ kind: 'unknown' });
    expect(
      namedShape(
        Array.from({ length: 12 }, () => 3),
        wrongly,
      ),
    ).toEqual({ kind: 'unknown' });
  });

  it('in two groups tells who lies in which', () => {
    const values = [5.1, 1, 1.1, 4.9, 0.9, 5, 1.05, 5.05, 0.95, 4.95];
    expect(namedShape(values, wrongly)).toEqual({
      kind: 'two groups',
      low: [4, 8, 1, 6, 2],
      high: [3, 9, 5, 7, 0],
    });
  });
});
