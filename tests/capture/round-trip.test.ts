// A capture written and read again is the same capture, sample for sample (fast-check, seed printed in each name).

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { NOT_A_NUMBER, readDecimal } from '../../host/capture/decimal.js';
import {
  type Capture,
  CHANNELS,
  POSITIONS,
  readCaptureCsv,
  writeCaptureCsv,
} from '../../host/capture/index.js';

const SEED = 20_240_611;

const sample = fc.oneof(
  fc.double({ noDefaultInfinity: true, noNaN: false }),
  fc.double({ min: -100, max: 100 }),
  fc.integer({ min: -40_000, max: 40_000 }).map((n) => n / 1000),
  fc.constant(-0),
);
const cellText = fc.string({
  unit: fc.constantFrom('a', 'Ω', ' ', '"', ',', ';', '\n', '\r', '\t', '1', '.'),
});

const captures = fc
  .record({
    length: fc.integer({ min: 1, max: 40 }),
    startS: fc.double({ min: -10, max: 10, noNaN: true }),
    rateHz: fc.constantFrom(1, 100, 1000, 5000, 44_100),
    present: fc.subarray([...CHANNELS], { minLength: 1 }),
    positionKnown: fc.boolean(),
    samples: fc.array(sample, { minLength: 40 * CHANNELS.length, maxLength: 40 * CHANNELS.length }),
    words: fc.array(fc.constantFrom(...POSITIONS), { minLength: 40, maxLength: 40 }),
    extras: fc.dictionary(
      fc.string({ minLength: 1 }).map((name) => `x ${name}`.trim()),
      fc.array(cellText, { minLength: 40, maxLength: 40 }),
      { maxKeys: 2 },
    ),
  })
  .map(
    ({ length, startS, rateHz, present, positionKnown, samples, words, extras }): Capture => ({
      timeS: Float64Array.from({ length }, (_, i) => startS + i / rateHz),
      position: positionKnown ? words.slice(0, length) : new Array(length).fill('rest'),
      ...(positionKnown ? {} : { positionKnown: false }),
      channels: Object.fromEntries(
        present.map((name, c) => [name, Float64Array.from(samples.slice(c * 40, c * 40 + length))]),
      ),
      gaps: [],
      sampleRateHz: length > 1 ? rateHz : 0,
      notes: [],
      ...(Object.keys(extras).length === 0
        ? {}
        : {
            extraColumns: Object.fromEntries(
              Object.entries(extras).map(([name, cells]) => [name, cells.slice(0, length)]),
            ),
          }),
    }),
  );

describe(`round trip of captures, seed ${SEED}`, () => {
  it('gives back every double, position and unknown column', () => {
    fc.assert(
      fc.property(captures, (capture) => {
        // A header name differing only in case or spaces from another is refused by the reader.
        const names = Object.keys(capture.extraColumns ?? {}).map((name) => name.trim().toLowerCase());
        fc.pre(new Set(names).size === names.length);
        const back = readCaptureCsv(writeCaptureCsv(capture).toString(), 'round-trip.csv');
        expect(sameBits(back.timeS, capture.timeS)).toBe(true);
        expect(Object.keys(back.channels)).toEqual(Object.keys(capture.channels));
        for (const name of CHANNELS) {
          const values = capture.channels[name];
          if (values) expect(sameBits(back.channels[name]!, values)).toBe(true);
        }
        expect(back.position).toEqual(capture.position);
        expect(back.positionKnown).toBe(capture.positionKnown);
        expect(back.extraColumns).toEqual(capture.extraColumns);
        expect(back.sampleRateHz).toBeCloseTo(capture.sampleRateHz, 3);
      }),
      { seed: SEED, numRuns: 400 },
    );
  });

  it('reads any decimal as the language itself reads it (ECMA-262, 7.1.4.1)', () => {
    const decimals = fc.oneof(
      fc.double({ noDefaultInfinity: true, noNaN: true }).map(String),
      fc
        .tuple(fc.bigInt({ min: 0n, max: 10n ** 25n }), fc.integer({ min: 0, max: 30 }))
        .map(([digits, cut]) => {
          const text = digits.toString().padStart(cut + 1, '0');
          return cut === 0 ? text : `${text.slice(0, -cut)}.${text.slice(-cut)}`;
        }),
    );
    fc.assert(
      fc.property(decimals, (text) => {
        expect(Object.is(readDecimal(text, 0, text.length, 46), Number(text))).toBe(true);
      }),
      { seed: SEED, numRuns: 5000 },
    );
  });

  it.each(['1.2.3', '--1', '1e', 'e5', '.', '-', '1 2', '0x1', '1_000', 'Infinity'])(
    'does not take %s for a number',
    (text) => {
      expect(readDecimal(text, 0, text.length, 46)).toBe(NOT_A_NUMBER);
    },
  );
});

function sameBits(a: Float64Array, b: Float64Array): boolean {
  return a.length === b.length && a.every((value, i) => Object.is(value, b[i]));
}
