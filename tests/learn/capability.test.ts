// Cp and Cpk against the handbook's and a textbook's example, and their intervals against counting.

import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../host/circuit/index.js';
import { capability } from '../../host/learn/index.js';

describe('capability', () => {
  it('is that of the handbook', () => {
    // NIST/SEMATECH e-Handbook 6.1.6: limits 8 and 20, mean 16, deviation 2: Cp 1.0, Cpk 0.6667.
    const { cp, cpk } = capability({ mean: 16, deviation: 2, units: 50 }, { lower: 8, upper: 20 });
    expect(cp?.value).toBeCloseTo(1, 9);
    expect(cpk.value).toBeCloseTo(0.6666667, 6);
  });

  it('has the interval of a textbook exercise', () => {
    // Exercise after Montgomery (solutioninn.com): limits 90 and 100, 30 units, mean 97, s 1.6; the answer computed with
    // Cpk (1 +- z sqrt(1/(9 n Cpk^2) + 1/(2 (n - 1)))), the normal approximation that the handbook has too.
    const { cpk } = capability({ mean: 97, deviation: 1.6, units: 30 }, { lower: 90, upper: 100 });
    expect(cpk.value).toBeCloseTo(0.625, 9);
    expect(cpk.least).toBeCloseTo(0.42475, 4);
    expect(cpk.most).toBeCloseTo(0.82525, 4);
  });

  it('of one limit is the distance to that one, and has no Cp', () => {
    const { cp, cpk } = capability({ mean: 1, deviation: 0.5, units: 20 }, { upper: 4 });
    expect(cp).toBeUndefined();
    expect(cpk.value).toBeCloseTo(2, 9);
  });

  it('refuses limits that are exchanged, none, and a batch without spread', () => {
    // A published page prints Cp = -0.024 for exchanged limits (7 and 9).
    expect(() => capability({ mean: 8, deviation: 1, units: 10 }, { lower: 9, upper: 7 })).toThrow(
      RangeError,
    );
    expect(() => capability({ mean: 8, deviation: 1, units: 10 }, {})).toThrow(RangeError);
    expect(() => capability({ mean: 8, deviation: 0, units: 10 }, { upper: 9 })).toThrow(RangeError);
    expect(() => capability({ mean: 8, deviation: 1, units: 1 }, { upper: 9 })).toThrow(RangeError);
  });

  it.each([10, 30])('of %s drawn units holds the true index as often as it says', (units) => {
    const random = seededRandom(616);
    const sets = 2000;
    let [ofCp, ofCpk] = [0, 0];
    for (let n = 0; n < sets; n++) {
      const values = Array.from({ length: units }, () => 16 + 2 * random.normal());
      const mean = values.reduce((sum, v) => sum + v, 0) / units;
      const deviation = Math.sqrt(values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / (units - 1));
      const { cp, cpk } = capability({ mean, deviation, units }, { lower: 8, upper: 20 });
      if (cp !== undefined && cp.least <= 1 && 1 <= cp.most) ofCp++;
      if (cpk.least <= 2 / 3 && 2 / 3 <= cpk.most) ofCpk++;
    }
    // Exact for Cp: three standard deviations of counting. The other is an approximation, good to two in a hundred.
    expect(Math.abs(ofCp / sets - 0.95)).toBeLessThan(3 * Math.sqrt((0.95 * 0.05) / sets));
    expect(Math.abs(ofCpk / sets - 0.95)).toBeLessThan(0.02);
  });
});
