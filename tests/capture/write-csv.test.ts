// Numbers no longer than they mean: each within half of its last digit, and read back by the reader of captures.

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Capture, readCaptureCsv, writeCaptureCsv } from '../../host/capture/index.js';

const captureOf = (motorCurrentA: readonly number[], rateHz = 5000): Capture => ({
  timeS: Float64Array.from(motorCurrentA, (_, i) => i / rateHz),
  position: motorCurrentA.map((_, i) => (i % 2 === 0 ? 'rest' : 'forward')),
  channels: { motorCurrentA: Float64Array.from(motorCurrentA) },
  gaps: [],
  sampleRateHz: rateHz,
  notes: [],
});
const textOf = (capture: Capture, resolution = 1e-7, more = {}): string =>
  writeCaptureCsv(capture, { precision: { resolution }, more }).toString();
const cells = (capture: Capture, column: number, resolution?: number): string[] =>
  textOf(capture, resolution)
    .trim()
    .split('\r\n')
    .slice(1)
    .map((row) => row.split(',')[column] ?? '');

describe('a column of numbers', () => {
  it('is written to the parts of its largest that were asked for, trailing zeros left out', () => {
    expect(cells(captureOf([0, 12.5, -12.3456789, 0.00012345, -1e-9, 13]), 2, 1e-6)).toEqual([
      '0',
      '12.5',
      '-12.34568',
      '0.00012',
      '0',
      '13',
    ]);
  });

  it('of whole thousands has no decimals, one of millionths as many as it needs', () => {
    expect(cells(captureOf([1234.56, -98765.4]), 2, 1e-4)).toEqual(['1235', '-98765']);
    expect(cells(captureOf([1.2345e-6, -2e-6]), 2, 1e-3)).toEqual(['0.000001235', '-0.000002']);
    expect(cells(captureOf([0, 0]), 2)).toEqual(['0', '0']);
  });

  it('has times to the nanosecond', () => {
    expect(cells(captureOf([0, 0, 0, 0], 3000), 0)).toEqual(['0', '0.000333333', '0.000666667', '0.001']);
  });

  it('leaves a missing sample empty and refuses one that no instrument gives', () => {
    expect(cells(captureOf([1, Number.NaN, 2]), 2)).toEqual(['1', '', '2']);
    expect(() => textOf(captureOf([1, Number.POSITIVE_INFINITY]))).toThrow(/motor_current_A must be finite/);
  });

  it('is within half of its last digit, whatever its size (50 columns, seed 5)', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: 1, maxLength: 40 }),
        fc.integer({ min: -6, max: 5 }),
        fc.integer({ min: 3, max: 9 }),
        (shares, magnitude, digits) => {
          const values = shares.map((share) => share * 10 ** magnitude);
          const most = Math.max(...values.map(Math.abs));
          const told = cells(captureOf(values), 2, 10 ** -digits).map(Number);
          for (const [i, value] of values.entries()) {
            expect(Math.abs(told[i]! - value)).toBeLessThanOrEqual(0.5001 * most * 10 ** -digits + 1e-15);
          }
        },
      ),
      { seed: 5, numRuns: 50 },
    );
  });
});

it('reads back as a capture, with further columns kept, over more rows than one piece holds', () => {
  const capture = captureOf(Array.from({ length: 20_001 }, (_, i) => 10 * Math.sin(i / 50)));
  const speed = capture.timeS.map((timeS) => 320 * timeS);
  const again = readCaptureCsv(textOf(capture, 1e-7, { speed_rad_s: speed }), 'again.csv');
  expect(again.timeS).toEqual(capture.timeS);
  expect(again.position).toEqual(capture.position);
  expect(Number(again.extraColumns?.speed_rad_s?.at(-1))).toBeCloseTo(1280, 3);
  const worst = capture.channels.motorCurrentA!.reduce(
    (most, value, i) => Math.max(most, Math.abs(value - again.channels.motorCurrentA![i]!)),
    0,
  );
  expect(worst).toBeLessThan(1e-6);
  expect(worst).toBeGreaterThan(0);
});
