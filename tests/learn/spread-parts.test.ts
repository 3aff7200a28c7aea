// One-way random effects against a worked case and against drawn populations; the shape test against its own table.

import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../host/circuit/index.js';
import { andersonDarling, shapeOf } from '../../host/learn/normal-shape.js';
import { spreadParts } from '../../host/learn/spread-parts.js';

describe('spread between and within units', () => {
  it('is that of the analysis of variance, worked by hand for two starts each', () => {
    // Means 2, 5, 8; mean squares 2 * 9 = 18 between, 2 within: between units (18 - 2) / 2 = 8.
    const parts = spreadParts([
      [1, 3],
      [4, 6],
      [7, 9],
    ]);
    expect(parts).toMatchObject({ centre: 5, units: 3, starts: 6 });
    expect(parts.within).toBeCloseTo(Math.sqrt(2), 12);
    expect(parts.between).toBeCloseTo(Math.sqrt(8), 12);
    expect(parts.total).toBeCloseTo(Math.sqrt(10), 12);
    // Starts of one unit make no further units.
    expect(parts.known).toEqual({ freedom: 2, centreOf: 3 });
  });

  it('does not take the starts of one unit for units', () => {
    const once = spreadParts([[1], [2], [4]]);
    expect(once).toMatchObject({ units: 3, starts: 3, known: { freedom: 2, centreOf: 3 } });
    expect(once.within).toBeUndefined();
    const often = spreadParts([[1, 1, 1], [2], [4, 4]]);
    expect(often.total).toBeCloseTo(once.total, 12);
    expect(often.known).toEqual(once.known);
  });

  it('refuses a single unit', () => {
    expect(() => spreadParts([[1, 2, 3]])).toThrow(RangeError);
  });
});

describe('the shape test', () => {
  it('turns away one normal population in a hundred (2,000 drawn, 12 units each, seed 41)', () => {
    const random = seededRandom(41);
    let away = 0;
    for (let n = 0; n < 2000; n++) {
      const values = Array.from({ length: 12 }, () => random.normal());
      if (shapeOf(values) === 'not normal') away++;
    }
    // Stephens 1986: 1.035 at 1 %; 20 +- 4.5 expected.
    expect(away).toBeGreaterThan(6);
    expect(away).toBeLessThan(38);
  });

  it('sees two populations in one, and says nothing of seven units', () => {
    const two = [1, 1.01, 0.99, 1.02, 0.98, 2, 2.01, 1.99, 2.02, 1.98];
    expect(andersonDarling(two)).toBeGreaterThan(1.035);
    expect(shapeOf(two)).toBe('not normal');
    expect(shapeOf(two.slice(0, 7))).toBe('unknown');
  });
});
