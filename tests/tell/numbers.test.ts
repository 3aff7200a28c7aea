// Limits as a person reads them: both at one scale, so that no number stands without its unit.

import { describe, expect, it } from 'vitest';
import { limitsText, significant } from '../../host/tell/index.js';

describe('limits on either side', () => {
  it.each([
    [0.4, 0.6, 0.01, 'A', 'expected 0.40 to 0.60 A'],
    [-0.6, 0.4, 0.01, 'A', 'expected -0.60 to 0.40 A'],
    [0.6, 1.1, 0.01, 's', 'expected 0.60 to 1.10 s'],
    [0.9, 1.2, 0.02, 'Ohm', 'expected 0.90 to 1.20 Ω'],
  ])(
    'that would be told at two scales are told at the larger one: %f to %f ± %f %s',
    (lower, upper, u, unit, text) => {
      expect(limitsText({ lower, upper }, u, unit)).toBe(text);
    },
  );

  it.each([
    [0.3, 0.45, 0.01, 'A', 'expected 300 to 450 mA'],
    [3, 6, 0.01, 'A', 'expected 3.00 to 6.00 A'],
    [0.0015, 0.12, 0.001, 's', 'expected 1.5 to 120 ms'],
  ])('of one scale keep it: %f to %f ± %f %s', (lower, upper, u, unit, text) => {
    expect(limitsText({ lower, upper }, u, unit)).toBe(text);
  });

  it('of a drop are told by the thousandth where that is asked for', () => {
    expect(limitsText({ lower: 0.2, upper: 1.5 }, 0.01, 'V', { asMilli: true })).toBe(
      'expected 200 to 1500 mV',
    );
  });
});

describe('so many significant digits', () => {
  it.each([
    [0.3141, 2, 'Ohm', '0.31 Ω'],
    [999.4, 3, 'Ohm', '999 Ω'],
    [22_000, 2, 'Ohm', '22 kΩ'],
    [1_000_000, 2, 'Ohm', '1000 kΩ'],
    [123_456, 2, 'rpm', '120000 rpm'],
    [12.34, 3, '', '12.3'],
  ])('are told without powers of ten: %f to %d, %s', (value, digits, unit, text) => {
    expect(significant(value, digits, unit)).toBe(text);
  });
});
