import { describe, expect, it } from 'vitest';
import { type Check, outcomeOf, verdictOf } from '../../host/judge/index.js';
import { reading } from '../../host/tell/index.js';

// ILAC-G8:09/2019, 4.2.3: non-binary statement with guard band w = U. Upper tolerance limit 10, U = 0.5:
// pass up to 9.5, conditional pass to 10, conditional fail to 10.5, fail above.
describe('decision with a guard band equal to the expanded uncertainty', () => {
  it.each([
    [9.4, 'pass'],
    [9.5, 'pass'],
    [9.6, 'conditional-pass'],
    [10, 'conditional-pass'],
    [10.1, 'conditional-fail'],
    [10.5, 'conditional-fail'],
    [10.6, 'fail'],
  ] as const)('calls %f against an upper limit of 10, U 0.5, a %s', (value, outcome) => {
    expect(outcomeOf(value, 0.5, undefined, 10)).toBe(outcome);
    // The mirror image at a lower limit.
    expect(outcomeOf(-value, 0.5, -10, undefined)).toBe(outcome);
  });

  it('takes the nearer of two limits', () => {
    expect(outcomeOf(5, 0.5, 4, 10)).toBe('pass');
    expect(outcomeOf(4.2, 0.5, 4, 10)).toBe('conditional-pass');
    expect(outcomeOf(3.7, 0.5, 4, 10)).toBe('conditional-fail');
    expect(outcomeOf(3.4, 0.5, 4, 10)).toBe('fail');
  });

  it('never passes a reading whose uncertainty is wider than the limits', () => {
    for (let value = 3; value <= 6; value += 0.1) expect(outcomeOf(value, 2, 4, 5)).not.toBe('pass');
  });

  it('does not test a reading that is no number', () => {
    expect(outcomeOf(Number.NaN, 0.1, 0, 1)).toBe('not-tested');
  });
});

const check = (outcome: Check['outcome'], required = true): Check => ({
  id: 'some-check',
  kind: { id: 'some-check', of: 'unit', rank: 0 },
  of: 'unit',
  sentence: '',
  outcome,
  required,
  origin: 'model',
});

describe('verdict', () => {
  it('fails when one required check fails, whatever else', () => {
    expect(verdictOf([check('pass'), check('fail'), check('not-tested')], true)).toBe('fail');
  });
  it('passes only when every required check passed', () => {
    expect(verdictOf([check('pass'), check('pass')], true)).toBe('pass');
    expect(verdictOf([check('pass'), check('not-tested')], true)).toBe('cannot-tell');
    expect(verdictOf([check('pass'), check('conditional-fail')], true)).toBe('cannot-tell');
    expect(verdictOf([], true)).toBe('cannot-tell');
  });
  it('counts a conditional pass as the profile says', () => {
    expect(verdictOf([check('pass'), check('conditional-pass')], true)).toBe('pass');
    expect(verdictOf([check('pass'), check('conditional-pass')], false)).toBe('cannot-tell');
  });
  it('is not held up by a check that is not required', () => {
    expect(verdictOf([check('pass'), check('not-tested', false), check('fail', false)], true)).toBe('pass');
  });
});

describe('readings as they are told', () => {
  it.each([
    [4.0345, 0.117, 'A', '4.03 ± 0.12 A'],
    [12.684, 0.046, 'V', '12.68 ± 0.05 V'],
    [0.1512, 0.004, 'A', '151 ± 4 mA'],
    [0.0312, 0.0021, 'Ohm', '31.2 ± 2.1 mΩ'],
    [-0.004, 0.06, 'V', '0.00 ± 0.06 V'],
    [3, 0, '1', '3'],
  ])('%f with U %f %s reads "%s"', (value, u, unit, text) => {
    expect(reading(value, u, unit)).toBe(text);
  });
});
