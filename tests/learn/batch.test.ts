// A batch beside limits: what lies outside is counted, and no Cpk is told where it would mean nothing.

import { describe, expect, it } from 'vitest';
import { type BatchRow, batchRows, type Column } from '../../host/learn/index.js';
import { REST } from '../../host/measure/index.js';
import type { LearnedQuantity } from '../../host/profile/index.js';

const LIMITS: LearnedQuantity = {
  ...{ words: 'running current', unit: 'A', centre: 16, lower: 8, upper: 20 },
  ...{ betweenUnits: 2, spread: 'plain', shape: 'normal', units: 10, starts: 10 },
};
// Mean 16 and deviation 2, by hand: 16 -+ d with d^2 summing to 4 (n - 1).
const NINE = [13, 14, 14.5, 15.5, 16, 16.5, 17.5, 18, 19];

const row = (values: readonly number[], limits: LearnedQuantity = LIMITS, starts = 1): BatchRow => {
  const column: Column = {
    ...{ key: 'k', what: 'runningCurrentA', of: REST, unit: 'A', words: 'running current' },
    starts: values.flatMap((value, i) =>
      Array.from({ length: starts }, () => ({
        ...{ unit: `V-01${10 + i}`, value, expandedUncertainty: 0.01, supplyV: undefined },
      })),
    ),
  };
  const [found] = batchRows([column], { quantities: { k: limits } });
  if (found === undefined) throw new Error('no row');
  return found;
};

describe('a batch beside limits', () => {
  it('has the Cp and Cpk of the handbook for its mean and deviation', () => {
    const squares = NINE.reduce((sum, v) => sum + (v - 16) ** 2, 0);
    const deviation = Math.sqrt(squares / 8);
    const { capability } = row(NINE);
    // NIST/SEMATECH e-Handbook 6.1.6: (20 - 8) / 6 s and (20 - 16) / 3 s.
    expect(capability?.cp?.value).toBeCloseTo(12 / (6 * deviation), 9);
    expect(capability?.cpk.value).toBeCloseTo(4 / (3 * deviation), 9);
  });

  it('counts a unit as outside by any of its starts, and starts of one unit as one unit', () => {
    const found = row([...NINE, 20.5], LIMITS, 3);
    expect(found.units).toHaveLength(10);
    expect(found.units.filter(({ isOutside }) => isOutside).map(({ unit }) => unit)).toEqual(['V-0119']);
  });

  it('is told none for few units, two groups, or a reading that turned its sign', () => {
    expect(row(NINE.slice(0, 4)).why).toBe('takes 5 units');
    expect(row([12, 12.1, 12.2, 11.9, 12, 18, 18.1, 18.2, 17.9, 18]).why).toBe('two groups');
    const logarithm = { ...LIMITS, spread: 'of the logarithm' as const };
    expect(row([...NINE.slice(1), -16], logarithm).why).toBe('some read the other way round');
  });

  it('on a logarithm is reckoned there', () => {
    const { capability } = row(NINE.map(Math.exp), {
      ...LIMITS,
      ...{ spread: 'of the logarithm', centre: Math.exp(16), lower: Math.exp(8), upper: Math.exp(20) },
    });
    expect(capability?.cpk.value).toBeCloseTo(row(NINE).capability?.cpk.value ?? 0, 9);
    // Of a negative reading the limits stand the other way round.
    const turned = row(
      NINE.map((v) => -Math.exp(v)),
      {
        ...LIMITS,
        ...{ spread: 'of the logarithm', centre: -Math.exp(16), lower: -Math.exp(20), upper: -Math.exp(8) },
      },
    );
    expect(turned.capability?.cpk.value).toBeCloseTo(row(NINE).capability?.cpk.value ?? 0, 9);
  });
});
