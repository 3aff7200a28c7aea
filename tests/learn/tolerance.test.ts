// Tolerance factors against the NIST/SEMATECH e-Handbook 7.2.6.3 and against exact factors of tables.

import { describe, expect, it } from 'vitest';
import { oneSidedFactor, sharedBy, twoSidedFactor, unitsWithoutShape } from '../../host/learn/tolerance.js';

const plain = (count: number) => ({ freedom: count - 1, centreOf: count });

describe('tolerance factors', () => {
  it('are those of the handbook for 43 wafers, 90 % with 99 % confidence', () => {
    const stated = { coverage: 0.9, confidence: 0.99 };
    // NIST/SEMATECH e-Handbook 7.2.6.3: 2.217 by Howe; 1.8740 by noncentral t.
    expect(twoSidedFactor(plain(43), stated)).toBeCloseTo(2.2173, 3);
    expect(oneSidedFactor(plain(43), stated)).toBeCloseTo(1.874, 3);
    // Its limits for a mean of 97.07 and a spread of 0.0268: 97.011 to 97.129.
    const reach = 0.0268 * twoSidedFactor(plain(43), stated);
    expect(97.07 - reach).toBeCloseTo(97.0106, 3);
    expect(97.07 + reach).toBeCloseTo(97.1294, 3);
  });

  it.each([
    // n, coverage, confidence, one-sided exact (Owen's tables for 95/95; the others worked out from noncentral t), Howe.
    [5, 0.95, 0.95, 4.2027, 5.0935],
    [5, 0.99, 0.99, 8.939, 10.3533],
    [10, 0.95, 0.95, 2.911, 3.3819],
    [10, 0.9, 0.95, 2.3546, 2.8382],
    [20, 0.95, 0.95, 2.396, 2.7523],
    [100, 0.99, 0.99, 2.8496, 3.0956],
  ])('of %i units at %d with %d are %d and %d', (count, coverage, confidence, oneSided, howe) => {
    const stated = { coverage, confidence };
    expect(oneSidedFactor(plain(count), stated)).toBeCloseTo(oneSided, 3);
    expect(twoSidedFactor(plain(count), stated)).toBeCloseTo(howe, 3);
  });

  it('are shared so that the limits together hold what is stated', () => {
    const shared = sharedBy({ coverage: 0.95, confidence: 0.9 }, 8);
    expect(shared.coverage).toBeCloseTo(1 - 0.05 / 8, 12);
    expect(shared.confidence).toBeCloseTo(1 - 0.1 / 8, 12);
  });

  it('need 93 units without any shape, 95 % with 95 % (Wilks; value from memory)', () => {
    expect(unitsWithoutShape({ coverage: 0.95, confidence: 0.95 })).toBe(93);
  });
});
