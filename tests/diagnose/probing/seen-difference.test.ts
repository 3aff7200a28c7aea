// How far apart two readings are to a person with a meter: 0.15 V, 0.15 A, 15 mA of a coil, or 5 %; a tenth of a decade of
// resistance. Choices of the program.

import { describe, expect, it } from 'vitest';
import { seenDifference } from '../../../host/diagnose/index.js';
import type { ProbeReading } from '../../../host/diagnose/probing/probe.js';

const seen = (unit: ProbeReading['unit'], value: number, good: number, label = 'Lead A'): number =>
  seenDifference({ label, value, unit }, good);

describe('a difference', () => {
  it('of volts or amperes counts by 0.15', () => {
    expect(seen('V', 1.3, 1)).toBeCloseTo(2, 12);
    expect(seen('V', 1, 1.3)).toBeCloseTo(2, 12);
    expect(seen('A', 0.6, 0)).toBeCloseTo(4, 12);
  });
  it('of a coil’s current counts by 15 mA', () => {
    expect(seen('A', 0.03, 0, 'Coil current at rest')).toBeCloseTo(2, 12);
    expect(seen('A', 0.03, 0, 'Highest coil current')).toBeCloseTo(2, 12);
    expect(seen('V', 0.3, 0, 'Across the coil')).toBeCloseTo(2, 12);
  });
  it('counts by 5 % of a large reading', () => {
    expect(seen('V', 11, 10)).toBeCloseTo(2, 12);
    expect(seen('V', -11, -10)).toBeCloseTo(2, 12);
    expect(seen('V', 2, 2.9)).toBeCloseTo(6, 12);
  });
  it('of ohms counts by the tenth of a decade, from 50 mΩ to a megohm', () => {
    expect(seen('Ohm', 10, 1)).toBeCloseTo(10, 12);
    expect(seen('Ohm', 1, 10)).toBeCloseTo(10, 12);
    expect(seen('Ohm', 0.001, 0.05)).toBe(0);
    expect(seen('Ohm', Number.POSITIVE_INFINITY, 1e5)).toBeCloseTo(10, 12);
    expect(seen('Ohm', Number.POSITIVE_INFINITY, 1e7)).toBe(0);
  });
  it('counts for no more than sixty', () => {
    expect(seen('V', 100, 0)).toBe(60);
    expect(seen('Ohm', Number.POSITIVE_INFINITY, 0)).toBe(60);
  });
  it('is none where nothing was read, or the same', () => {
    expect(seen('V', Number.NaN, 3)).toBe(0);
    expect(seen('V', 3, Number.NaN)).toBe(0);
    expect(seen('Ohm', Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY)).toBe(0);
  });
});
