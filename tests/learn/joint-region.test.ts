// Shrunk correlation and joint limit against outside numbers. Data: perspiration of twenty women, Johnson and Wichern,
// Applied Multivariate Statistical Analysis, Table 5.1; mean vector and covariance matrix of the NIST/SEMATECH e-Handbook
// 6.5.4.1. Shrunk values: scikit-learn 1.9.1, covariance.ledoit_wolf on the standardised columns.

import { describe, expect, it } from 'vitest';
import { jointLimitSquared, standardised } from '../../host/learn/joint-region.js';
import { shrunkCorrelation } from '../../host/learn/shrinkage.js';
import { dot, inverseOf, times } from '../../host/learn/symmetric.js';

const PERSPIRATION = [
  ...[
    [3.7, 48.5, 9.3],
    [5.7, 65.1, 8.0],
    [3.8, 47.2, 10.9],
    [3.2, 53.2, 12.0],
    [3.1, 55.5, 9.7],
  ],
  ...[
    [4.6, 36.1, 7.9],
    [2.4, 24.8, 14.0],
    [7.2, 33.1, 7.6],
    [6.7, 47.4, 8.5],
    [5.4, 54.1, 11.3],
  ],
  ...[
    [3.9, 36.9, 12.7],
    [4.5, 58.8, 12.3],
    [3.5, 27.8, 9.8],
    [4.5, 40.2, 8.4],
    [1.5, 13.5, 10.1],
  ],
  ...[
    [8.5, 56.4, 7.1],
    [4.5, 71.6, 8.2],
    [6.5, 52.8, 10.9],
    [4.1, 44.1, 11.2],
    [5.5, 40.9, 9.4],
  ],
];
// NIST/SEMATECH e-Handbook 6.5.4.1: length, width, height of five parts (value from memory).
const PARTS = [
  [4, 2, 0.6],
  [4.2, 2.1, 0.59],
  [3.9, 2, 0.58],
  [4.3, 2.1, 0.62],
  [4.1, 2.2, 0.63],
];
const alone = (size: number): number[][] =>
  Array.from({ length: size }, (_, i) => Array.from({ length: size }, (__, j) => (i === j ? 1 : 0)));

describe('correlation from few units', () => {
  it('is drawn towards none as Ledoit and Wolf do', () => {
    const women = shrunkCorrelation(standardised(PERSPIRATION).standard);
    expect(women.part).toBeCloseTo(0.5750455941, 9);
    expect(women.correlation[0]).toEqual([1, expect.closeTo(0.17735467, 7), expect.closeTo(-0.23786566, 7)]);
    const parts = shrunkCorrelation(standardised(PARTS).standard);
    expect(parts.part).toBeCloseTo(0.4745431154, 9);
    expect(parts.correlation[1]?.[2]).toBeCloseTo(0.40887222, 7);
  });

  it('can be inverted where three units show eight quantities', () => {
    const rows = [1, 2, 3].map((n) => Array.from({ length: 8 }, (_, k) => Math.sin(7 * n * (k + 1))));
    const { part, correlation } = shrunkCorrelation(standardised(rows).standard);
    expect(part).toBeGreaterThan(0);
    const back = inverseOf(correlation);
    const unit = times(
      correlation,
      back.map((row) => row[2] ?? 0),
    );
    unit.forEach((value, k) => {
      expect(value).toBeCloseTo(k === 2 ? 1 : 0, 9);
    });
  });
});

describe('distance of readings taken together', () => {
  it('is the T squared of the handbooks: 9.74 from 4, 50 and 10 for twenty women (Johnson and Wichern, example 5.2)', () => {
    const { mean, spread, standard } = standardised(PERSPIRATION);
    const correlation = standard[0]?.map((_, i) =>
      (standard[0] ?? []).map(
        (__, j) => standard.reduce((sum, row) => sum + (row[i] ?? 0) * (row[j] ?? 0), 0) / standard.length,
      ),
    );
    const off = [4, 50, 10].map((wanted, k) => ((mean[k] ?? 0) - wanted) / (spread[k] ?? 1));
    expect(20 * dot(off, times(inverseOf(correlation ?? []), off))).toBeCloseTo(9.74, 2);
  });

  it.each([
    // Krishnamoorthy and Mondal's factor worked out apart from this program: numpy's Wishart eigenvalues, 40,000 sets.
    [10, 2, 0.95, 0.9, 17.249],
    [20, 3, 0.95, 0.9, 14.946],
    [30, 8, 0.975, 0.95, 39.985],
  ])(
    'of %i units and %i quantities is limited for %d with %d at %d',
    (units, size, coverage, confidence, factor) => {
      const limit = jointLimitSquared({
        ...{ units, stated: { coverage, confidence }, populations: [alone(size)], isShrunk: false },
      });
      // 800 sets know it to about 3 %.
      expect(Math.abs(limit / factor - 1)).toBeLessThan(0.06);
    },
  );
});
