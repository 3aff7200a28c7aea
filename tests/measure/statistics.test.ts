import { describe, expect, it } from 'vitest';
import {
  chiSquaredQuantile,
  combine,
  coverageFactor95,
  fisherQuantile,
  quantile,
  quantityOf,
  studentCoverageFactor,
  summarise,
  toleranceFactor,
} from '../../host/measure/index.js';

// NIST StRD univariate summary statistics, certified values (as held in the GNU Scientific Library, statistics/test_nist.c).
const pairs = (first: number, low: number, high: number): number[] => [
  first,
  ...Array.from({ length: 1000 }, (_, i) => (i % 2 === 0 ? low : high)),
];
const MAVRO = [
  2.0018, 2.0017, 2.0018, 2.0019, 2.0018, 2.0017, 2.0015, 2.0014, 2.0015, 2.0015, 2.0017, 2.0018, 2.0018,
  2.0019, 2.0019, 2.0021, 2.002, 2.0016, 2.0014, 2.0013, 2.0013, 2.0015, 2.0015, 2.0016, 2.0015, 2.0014,
  2.0013, 2.0014, 2.0015, 2.0014, 2.0015, 2.0016, 2.0015, 2.0016, 2.0019, 2.002, 2.002, 2.0021, 2.0022,
  2.0023, 2.0024, 2.0025, 2.0027, 2.0026, 2.0026, 2.0026, 2.0027, 2.0026, 2.0025, 2.0024,
];

describe('mean and deviation', () => {
  it.each([
    ['NumAcc1', [10000001, 10000003, 10000002], 10000002, 1, -0.5, 1e-14],
    ['NumAcc2', pairs(1.2, 1.1, 1.3), 1.2, 0.1, -0.999, 1e-13],
    ['NumAcc3', pairs(1000000.2, 1000000.1, 1000000.3), 1000000.2, 0.1, -0.999, 1e-9],
    ['NumAcc4', pairs(10000000.2, 10000000.1, 10000000.3), 10000000.2, 0.1, -0.999, 1e-7],
    ['Mavro', MAVRO, 2.001856, 0.000429123454003053, 0.937989183438248, 1e-12],
  ] as const)('hold the certified values of %s', (_name, data, mean, sd, lag1, relative) => {
    const seen = summarise(data);
    expect(Math.abs(seen.mean / mean - 1)).toBeLessThan(1e-14);
    expect(Math.abs(seen.deviation / sd - 1)).toBeLessThan(relative);
    expect(Math.abs(seen.lag1 / lag1 - 1)).toBeLessThan(Math.max(relative, 1e-10));
  });

  it('leaves missing samples out', () => {
    expect(summarise([1, Number.NaN, 3])).toMatchObject({ count: 2, mean: 2 });
    expect(summarise([Number.NaN]).count).toBe(0);
    expect(quantile([5, Number.NaN, 1, 3], 0.5)).toBe(3);
  });
});

// NIST Technical Note 1297 (1994), Appendix B, Table B.1: t_p(v) for p = 68.27, 90, 95, 95.45, 99, 99.73 %.
// The cell v = 35, p = 90 % is printed 1.70; the exact value is 1.690, so that one cell is left to the exact value.
const TABLE_B1: Record<number, number[]> = {
  1: [1.84, 6.31, 12.71, 13.97, 63.66, 235.8],
  2: [1.32, 2.92, 4.3, 4.53, 9.92, 19.21],
  3: [1.2, 2.35, 3.18, 3.31, 5.84, 9.22],
  4: [1.14, 2.13, 2.78, 2.87, 4.6, 6.62],
  5: [1.11, 2.02, 2.57, 2.65, 4.03, 5.51],
  8: [1.07, 1.86, 2.31, 2.37, 3.36, 4.28],
  10: [1.05, 1.81, 2.23, 2.28, 3.17, 3.96],
  16: [1.03, 1.75, 2.12, 2.17, 2.92, 3.54],
  20: [1.03, 1.72, 2.09, 2.13, 2.85, 3.42],
  35: [1.01, 1.69, 2.03, 2.07, 2.72, 3.23],
  50: [1.01, 1.68, 2.01, 2.05, 2.68, 3.16],
  100: [1.005, 1.66, 1.984, 2.025, 2.626, 3.077],
};
const COVERAGES = [0.682689492, 0.9, 0.95, 0.954499736, 0.99, 0.9973002];

describe('coverage', () => {
  it.each(Object.entries(TABLE_B1))(
    'factor at %s degrees of freedom is the one NIST TN 1297 Table B.1 prints',
    (dof, row) => {
      row.forEach((printed, column) => {
        const tolerance = printed > 100 ? 0.02 : Number(dof) === 100 ? 0.0006 : 0.0051;
        expect(Math.abs(studentCoverageFactor(COVERAGES[column]!, Number(dof)) - printed)).toBeLessThan(
          tolerance,
        );
      });
    },
  );

  it('factor for exact uncertainty is the normal one (Table B.1, last row)', () => {
    expect(coverageFactor95(Number.POSITIVE_INFINITY)).toBeCloseTo(1.96, 3);
  });

  it('effective degrees of freedom follow Welch-Satterthwaite (JCGM 100:2008 H.1: 5.8/24, 3.9/5, 6.7/8 give 9.68 at 25.4)', () => {
    const total = combine([
      { standardUncertainty: 5.8, degreesOfFreedom: 24 },
      { standardUncertainty: 3.9, degreesOfFreedom: 5 },
      { standardUncertainty: 6.7, degreesOfFreedom: 8 },
    ]);
    expect(Math.abs(total.standardUncertainty / 9.681941954 - 1)).toBeLessThan(1e-8);
    expect(Math.abs(total.degreesOfFreedom / 25.44725078 - 1)).toBeLessThan(1e-8);
    expect(quantityOf(215, 'nm', [total]).expandedUncertainty).toBeCloseTo(2.06 * 9.682, 1);
  });

  it.each([
    [30, 0.99, 0.95, 3.3508],
    [50, 0.99, 0.95, 3.1262],
    [100, 0.99, 0.95, 2.9344],
    [10, 0.95, 0.95, 3.3819],
    [43, 0.9, 0.99, 2.2173159],
  ])(
    "tolerance factor for %i readings, %f covered with %f confidence is Howe's (NIST/SEMATECH e-Handbook 7.2.6.3)",
    (n, p, c, k) => {
      expect(toleranceFactor(n, p, c)).toBeCloseTo(k, 3);
    },
  );

  it('Fisher 95 % points are 4.96 (1, 10), 3.33 (5, 10) and 2.87 (4, 20) (printed tables)', () => {
    expect(fisherQuantile(0.95, 1, 10)).toBeCloseTo(4.96, 2);
    expect(fisherQuantile(0.95, 5, 10)).toBeCloseTo(3.33, 2);
    expect(fisherQuantile(0.95, 4, 20)).toBeCloseTo(2.87, 2);
  });

  it('chi-squared 5 % point at 10 degrees of freedom is 3.940 (printed tables)', () => {
    expect(chiSquaredQuantile(0.05, 10)).toBeCloseTo(3.94, 3);
  });
});
