// Several readings taken together, held to a published example: perspiration of twenty women, Johnson and Wichern,
// Applied Multivariate Statistical Analysis, Table 5.1 and Example 5.2. Its numbers are handed in as logarithms.

import { describe, expect, it } from 'vitest';
import {
  type JointSpread,
  jointDistance,
  jointLimit,
  jointSpread,
  mahalanobis,
} from '../../host/judge/joint.js';

const NAMES = ['sweat rate', 'sodium', 'potassium'];
const PERSPIRATION = [
  [3.7, 48.5, 9.3],
  [5.7, 65.1, 8.0],
  [3.8, 47.2, 10.9],
  [3.2, 53.2, 12.0],
  [3.1, 55.5, 9.7],
  [4.6, 36.1, 7.9],
  [2.4, 24.8, 14.0],
  [7.2, 33.1, 7.6],
  [6.7, 47.4, 8.5],
  [5.4, 54.1, 11.3],
  [3.9, 36.9, 12.7],
  [4.5, 58.8, 12.3],
  [3.5, 27.8, 9.8],
  [4.5, 40.2, 8.4],
  [1.5, 13.5, 10.1],
  [8.5, 56.4, 7.1],
  [4.5, 71.6, 8.2],
  [6.5, 52.8, 10.9],
  [4.1, 44.1, 11.2],
  [5.5, 40.9, 9.4],
];
const exp = (row: readonly number[]): number[] => row.map(Math.exp);

function spreadOf(rows: readonly (readonly number[])[] = PERSPIRATION, names = NAMES): JointSpread {
  const spread = jointSpread(names, rows.map(exp));
  if (spread === undefined) throw new Error('no spread');
  return spread;
}

describe('the spread of good units', () => {
  it('has the mean and the covariance that are published', () => {
    const { names, mean, covariance, count } = spreadOf();
    expect(names).toEqual(NAMES);
    expect(count).toBe(20);
    [4.64, 45.4, 9.965].forEach((value, i) => void expect(mean[i]).toBeCloseTo(value, 9));
    const published = [
      [2.879, 10.01, -1.81],
      [10.01, 199.788, -5.64],
      [-1.81, -5.64, 3.628],
    ];
    published.forEach(
      (row, i) => void row.forEach((value, j) => void expect(covariance[i]?.[j]).toBeCloseTo(value, 2)),
    );
  });

  it('is not told from fewer than four units for each reading, or from one reading', () => {
    const rows = PERSPIRATION.map(exp);
    expect(jointSpread(NAMES, rows.slice(0, 12))).toBeDefined();
    expect(jointSpread(NAMES, rows.slice(0, 11))).toBeUndefined();
    expect(jointSpread(['one'], rows)).toBeUndefined();
    expect(jointSpread(['one', 'two'], rows)).toBeDefined();
  });

  it('is not told where one reading of one unit is not positive', () => {
    const rows = PERSPIRATION.map(exp);
    for (const bad of [0, -1, Number.NaN]) expect(jointSpread(NAMES, [...rows, [1, bad, 1]])).toBeUndefined();
  });
});

describe('the distance from the usual good unit', () => {
  // T squared of the mean against 4, 50, 10 is 9.74, of 20 units: of a single one 9.74 / 20.
  it('is the published one', () => {
    const { distance } = jointDistance(spreadOf(), exp([4, 50, 10]), [0, 0, 0]);
    expect(20 * distance ** 2).toBeCloseTo(9.74, 1);
    const { covariance, mean } = spreadOf();
    const offset = [4, 50, 10].map((value, i) => value - mean[i]!);
    expect(20 * mahalanobis(covariance, offset) ** 2).toBeCloseTo(9.74, 1);
  });

  /** By hand: correlation one half, so the inverse is 4/3 and -2/3. */
  const HALF: JointSpread = {
    names: ['a', 'b'],
    mean: [Math.log(2), 0],
    covariance: [
      [1, 0.5],
      [0.5, 1],
    ],
    count: 40,
  };
  it.each([
    [1, 0, Math.sqrt(4 / 3)],
    [1, 1, Math.sqrt(4 / 3)],
    [1, -1, 2],
    [0, 2, Math.sqrt(16 / 3)],
    [0, 0, 0],
  ])('of offsets %f and %f is that by hand', (a, b, distance) => {
    expect(mahalanobis(HALF.covariance, [a, b])).toBeCloseTo(distance, 3);
    const told = jointDistance(HALF, exp([a + Math.log(2), b]), [0, 0]);
    expect(told.distance).toBeCloseTo(distance, 3);
  });

  it('needs no order of the readings: a small spread before a large one', () => {
    // By hand: 0.01 and 100 without correlation; offsets 0.2 and 10 are two and one spreads.
    const covariance = [
      [0.01, 0, 0],
      [0, 100, 0],
      [0, 0, 1],
    ];
    expect(mahalanobis(covariance, [0.2, 10, 0])).toBeCloseTo(Math.sqrt(5), 3);
    // The first of three tied to the second more than to itself.
    const tied = [
      [1, 3, 0],
      [3, 10, 0],
      [0, 0, 4],
    ];
    // Inverse by hand of the upper left: 10, -3, -3, 1.
    expect(mahalanobis(tied, [1, 2, 2])).toBeCloseTo(Math.sqrt(10 - 12 + 4 + 1), 2);
    const turned = [
      [4, 0, 0],
      [0, 1, 3],
      [0, 3, 10],
    ];
    expect(mahalanobis(turned, [2, 1, 2])).toBeCloseTo(Math.sqrt(10 - 12 + 4 + 1), 2);
  });

  it('of readings that always move together is far for one that does not', () => {
    const covariance = [
      [0.01, 0.01],
      [0.01, 0.01],
    ];
    expect(mahalanobis(covariance, [0.1, 0.1])).toBeCloseTo(1, 1);
    expect(mahalanobis(covariance, [0.1, -0.1])).toBeGreaterThan(50);
    expect(Number.isFinite(mahalanobis(covariance, [0.1, -0.1]))).toBe(true);
  });

  it('carries the readings’ uncertainty', () => {
    // By hand, d = sqrt(4/3 a^2 - 4/3 ab + 4/3 b^2): at 1, -1 d(d)/da = (8/3 + 4/3) / (2 x 2) = 1 and d(d)/db = -1.
    const { standardUncertainty } = jointDistance(HALF, exp([1 + Math.log(2), -1]), [0.03, 0.04]);
    expect(standardUncertainty).toBeCloseTo(0.05, 4);
  });

  it('at the usual one has no direction to carry an uncertainty in', () => {
    expect(jointDistance(HALF, [2, 1], [0.03, 0.04])).toEqual({ distance: 0, standardUncertainty: 0 });
  });

  it('is 0, not a root of less, for a covariance that rounding has spoilt', () => {
    const spoilt: JointSpread = {
      ...HALF,
      covariance: [
        [1, 2],
        [2, 1],
      ],
    };
    expect(mahalanobis(spoilt.covariance, [1, -1])).toBe(0);
    expect(jointDistance(spoilt, exp([1 + Math.log(2), -1]), [0.03, 0.04]).distance).toBe(0);
  });
});

describe('the limit for one new unit', () => {
  it('is that of the mean in the published example, for one instead of twenty', () => {
    // 3 x 19 / 17 x F(3, 17) = 8.18 at 10 %; for a new unit (20 + 1) / 20 x 20 times as much in single units.
    expect(jointLimit(spreadOf(), 0.9) ** 2).toBeCloseTo((8.18 * 21) / 20, 1);
  });
});
