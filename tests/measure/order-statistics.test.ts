// Quantiles and independent counts against the plain way to get them: sorting, and one lag after the other.

import fc from 'fast-check';
import { expect, it } from 'vitest';
import { quantile } from '../../host/measure/index.js';
import { select } from '../../host/measure/select.js';
import { independentCount, summarise } from '../../host/measure/statistics.js';

const SEED = 44;
/** Many equal ones, as a rounded channel gives. */
const readings = fc.array(
  fc.oneof(fc.double({ noNaN: true, min: -1e3, max: 1e3 }), fc.integer({ min: -2, max: 2 })),
  {
    minLength: 1,
    maxLength: 200,
  },
);

it(`finds the value of a rank that sorting finds (seed ${SEED})`, () => {
  fc.assert(
    fc.property(readings, fc.nat(), (values, at) => {
      const rank = at % values.length;
      const sorted = Float64Array.from(values).sort();
      expect(select(Float64Array.from(values), values.length, rank)).toBeCloseTo(sorted[rank]!, 12);
    }),
    { seed: SEED, numRuns: 500 },
  );
});

it(`interpolates between order statistics, missing samples left out (seed ${SEED})`, () => {
  fc.assert(
    fc.property(readings, fc.double({ noNaN: true, min: 0, max: 1 }), (values, part) => {
      const sorted = Float64Array.from(values).sort();
      const at = part * (sorted.length - 1);
      const [low, high] = [sorted[Math.floor(at)]!, sorted[Math.min(sorted.length - 1, Math.floor(at) + 1)]!];
      const gappy = values.flatMap((value) => [Number.NaN, value]);
      expect(quantile(gappy, part)).toBeCloseTo(low + (at - Math.floor(at)) * (high - low), 9);
    }),
    { seed: SEED, numRuns: 500 },
  );
});

/** n / (1 + 2 sum r_k), lag by lag, until a correlation is below 0.05; first-order formula after 40 lags. */
function plainCount(values: readonly number[]): number {
  const { count, mean, deviation, lag1 } = summarise(values);
  if (!(lag1 > 0)) return Math.max(2, count);
  let sum = lag1;
  for (let lag = 2; lag <= 40; lag++) {
    const products = values
      .slice(lag)
      .map((value, i) => (value - mean) * (values[i]! - mean))
      .filter((product) => !Number.isNaN(product));
    const r =
      products.length > 0 ? products.reduce((a, b) => a + b, 0) / products.length / deviation ** 2 : 0;
    if (r < 0.05) return Math.max(2, count / (1 + 2 * sum));
    sum += r;
  }
  const r = Math.min(0.999, lag1);
  return Math.max(2, (count * (1 - r)) / (1 + r));
}

it.each([
  ['slow decay', (i: number) => Math.exp(-i / 60)],
  ['short memory', (i: number) => Math.sin(i * 1.3) + Math.sin(i / 4)],
  ['samples lost', (i: number) => (i % 7 === 3 ? Number.NaN : Math.exp(-i / 20))],
  ['a ramp of five samples', (i: number) => i, 5],
  ['a ramp of three samples', (i: number) => i, 3],
] as const)('counts independent samples as lag by lag does: %s', (_name, at, size: number = 400) => {
  const values = Array.from({ length: size }, (_, i) => at(i));
  expect(independentCount(Float64Array.from(values), summarise(values))).toBeCloseTo(plainCount(values), 9);
});
