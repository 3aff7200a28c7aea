// The decision rule at its edges: ILAC-G8:09/2019, 4.2.3, a guard band of one expanded uncertainty on either side of
// either limit. The numbers are chosen so that sums and differences are exact in binary.

import { describe, expect, it } from 'vitest';
import { outcomeOf } from '../../host/judge/decision.js';

const NEAR = 2 ** -20;
const U = 0.5;

describe('a reading beside its upper limit of 10, U 0.5', () => {
  it.each([
    ['inside by U', 9.5, 'pass'],
    ['inside by a hair less than U', 9.5 + NEAR, 'conditional-pass'],
    ['on the limit', 10, 'conditional-pass'],
    ['a hair outside', 10 + NEAR, 'conditional-fail'],
    ['outside by U', 10.5, 'conditional-fail'],
    ['outside by a hair more than U', 10.5 + NEAR, 'fail'],
  ] as const)('%s', (_, value, outcome) => {
    expect(outcomeOf(value, U, undefined, 10)).toBe(outcome);
    expect(outcomeOf(value, U, -1000, 10)).toBe(outcome);
  });
});

describe('a reading beside its lower limit of -10, U 0.5', () => {
  it.each([
    ['inside by U', -9.5, 'pass'],
    ['inside by a hair less than U', -9.5 - NEAR, 'conditional-pass'],
    ['on the limit', -10, 'conditional-pass'],
    ['a hair outside', -10 - NEAR, 'conditional-fail'],
    ['outside by U', -10.5, 'conditional-fail'],
    ['outside by a hair more than U', -10.5 - NEAR, 'fail'],
  ] as const)('%s', (_, value, outcome) => {
    expect(outcomeOf(value, U, -10, undefined)).toBe(outcome);
    expect(outcomeOf(value, U, -10, 1000)).toBe(outcome);
  });
});

describe('a reading that is exact', () => {
  it.each([
    [10, 'pass'],
    [-10, 'pass'],
    [10 + NEAR, 'fail'],
    [-10 - NEAR, 'fail'],
  ] as const)('of %f between -10 and 10 has no conditional outcome: %s', (value, outcome) => {
    expect(outcomeOf(value, 0, -10, 10)).toBe(outcome);
  });
});

describe('what cannot be decided', () => {
  it('is a reading that is no number, or runs off', () => {
    for (const value of [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY])
      expect(outcomeOf(value, U, -10, 10)).toBe('not-tested');
  });

  it('is a reading whose uncertainty is no number, or negative', () => {
    expect(outcomeOf(0, Number.NaN, -10, 10)).toBe('not-tested');
    expect(outcomeOf(0, -NEAR, -10, 10)).toBe('not-tested');
  });

  it('is never passed nor failed for sure, where the uncertainty is endless', () => {
    expect(outcomeOf(0, Number.POSITIVE_INFINITY, -10, 10)).toBe('conditional-pass');
    expect(outcomeOf(11, Number.POSITIVE_INFINITY, -10, 10)).toBe('conditional-fail');
  });
});

it('without limits everything that is a number passes', () => {
  expect(outcomeOf(1e12, U, undefined, undefined)).toBe('pass');
});
