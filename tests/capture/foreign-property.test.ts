// Any table written in any of the usual shapes reads back as the same numbers in SI units (fast-check, seed printed).

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readCaptureCsv } from '../../host/capture/index.js';

const SEED = 20_261_129;

interface Shape {
  rows: [number, number, number][];
  separator: string;
  decimalComma: boolean;
  lineEnd: string;
  timeUnit: readonly [string, number];
  currentUnit: readonly [string, number];
  voltageUnit: readonly [string, number];
  style: 'brackets' | 'square' | 'in' | 'row' | 'slash' | 'underscore';
  order: number;
  startS: number;
  stepS: number;
  preamble: number;
  trailing: boolean;
  quoted: boolean;
  exponents: boolean;
  mark: string;
}

const PREAMBLE = [
  'Instrument,bench one',
  'Comment: cold, second try, 3.5 mm drive',
  'Channels,2',
  '',
  'Scale;1.0;2.0',
  '# taken by hand',
];

const shapes: fc.Arbitrary<Shape> = fc.record({
  rows: fc.array(
    fc.tuple(
      fc.integer(),
      fc.integer({ min: -40_000, max: 40_000 }),
      fc.integer({ min: -20_000, max: 20_000 }),
    ),
    { minLength: 3, maxLength: 60 },
  ) as fc.Arbitrary<[number, number, number][]>,
  separator: fc.constantFrom(',', ';', '\t', '|', '  ', '    '),
  decimalComma: fc.boolean(),
  lineEnd: fc.constantFrom('\n', '\r\n', '\r'),
  timeUnit: fc.constantFrom(
    ['s', 1],
    ['ms', 1e-3],
    ['us', 1e-6],
    ['\u00b5s', 1e-6],
    ['\u03bcs', 1e-6],
    ['sec', 1],
  ),
  currentUnit: fc.constantFrom(['A', 1], ['mA', 1e-3], ['kA', 1e3], ['Amps', 1]),
  voltageUnit: fc.constantFrom(['V', 1], ['mV', 1e-3], ['Volts', 1]),
  style: fc.constantFrom('brackets', 'square', 'in', 'row', 'slash', 'underscore'),
  order: fc.nat(5),
  startS: fc.constantFrom(0, -0.01, 0.5, -2),
  stepS: fc.constantFrom(0.0002, 0.001, 0.00005, 0.1),
  preamble: fc.nat(PREAMBLE.length),
  trailing: fc.boolean(),
  quoted: fc.boolean(),
  exponents: fc.boolean(),
  mark: fc.constantFrom('', 'NaN', '---', 'N/A'),
});

const ORDERS = [
  [0, 1, 2],
  [0, 2, 1],
  [1, 0, 2],
  [1, 2, 0],
  [2, 0, 1],
  [2, 1, 0],
] as const;

/** Twelve digits are what the cells carry. */
const close = (value: number, wanted: number): boolean =>
  Number.isNaN(wanted)
    ? Number.isNaN(value)
    : Math.abs(value - wanted) <= 1e-9 * Math.max(1, Math.abs(wanted));

function written(shape: Shape): { text: string; timeS: number[]; currentA: number[]; voltageV: number[] } {
  const isBlank = shape.separator.startsWith(' ');
  const comma = shape.decimalComma && shape.separator !== ',';
  const gap = isBlank && shape.mark === '' ? 'NaN' : shape.mark;
  const number = (value: number): string => {
    const text = shape.exponents ? value.toExponential(9) : String(Number(value.toPrecision(12)));
    const plain = text.includes('e') && !shape.exponents ? value.toFixed(12) : text;
    return comma ? plain.replace('.', ',') : plain;
  };
  const timeS = shape.rows.map((_, k) => shape.startS + k * shape.stepS);
  // A gap here and there; the first row tells what the columns hold.
  const currentA = shape.rows.map(([a, b], k) => (k > 0 && a % 7 === 0 ? Number.NaN : b / 1000));
  const voltageV = shape.rows.map(([, , c]) => c / 1000);
  const cell = (value: number): string => (Number.isNaN(value) ? gap : number(value));
  const names = ['Time', 'Motor current', 'Supply voltage'];
  const units = [shape.timeUnit, shape.currentUnit, shape.voltageUnit];
  const style = isBlank && (shape.style === 'in' || shape.style === 'row') ? 'square' : shape.style;
  const heading = (c: number): string => {
    const name = names[c]!;
    const unit = units[c]![0];
    if (style === 'brackets') return `${name} (${unit})`;
    if (style === 'square') return `${name}[${unit}]`.replaceAll(' ', isBlank ? '_' : ' ');
    if (style === 'in') return `${name} in ${unit}`;
    if (style === 'slash') return `${name}/${unit}`;
    return style === 'underscore' ? `${name.replaceAll(' ', '_')}_${unit}` : name;
  };
  const quote = (text: string): string => (shape.quoted && !isBlank ? `"${text}"` : text);
  const order = ORDERS[shape.order]!;
  const line = (cells: string[]): string =>
    order.map((c) => quote(cells[c]!)).join(shape.separator) +
    (shape.trailing && !isBlank ? shape.separator : '');
  const lines = [
    ...PREAMBLE.slice(0, shape.preamble),
    line([heading(0), heading(1), heading(2)]),
    ...(style === 'row' ? [line(units.map(([unit]) => unit))] : []),
    ...shape.rows.map((_, k) =>
      line([
        number(timeS[k]! / shape.timeUnit[1]),
        cell(currentA[k]! / shape.currentUnit[1]),
        cell(voltageV[k]! / shape.voltageUnit[1]),
      ]),
    ),
    '',
  ];
  return { text: lines.join(shape.lineEnd), timeS, currentA, voltageV };
}

describe(`tables in foreign shapes, seed ${SEED}`, () => {
  it('read back as the same numbers in SI units', () => {
    fc.assert(
      fc.property(shapes, (shape) => {
        const { text, timeS, currentA, voltageV } = written(shape);
        // Groups of three digits behind a comma are refused elsewhere: here the sign is told.
        const capture = readCaptureCsv(
          text,
          'export.csv',
          shape.decimalComma && shape.separator !== ',' ? { decimal: 'comma' } : {},
        );
        expect(capture.timeS.length).toBe(timeS.length);
        expect(capture.timeS.every((value, k) => close(value, timeS[k]!))).toBe(true);
        expect(capture.channels.motorCurrentA!.every((value, k) => close(value, currentA[k]!))).toBe(true);
        expect(capture.channels.supplyVoltageV!.every((value, k) => close(value, voltageV[k]!))).toBe(true);
        expect(Object.keys(capture.channels)).toEqual(['motorCurrentA', 'supplyVoltageV']);
      }),
      { seed: SEED, numRuns: 1500 },
    );
  });

  it('never gives other numbers where the decimal sign is not told: the same ones, or one clear line', () => {
    let read = 0;
    fc.assert(
      fc.property(shapes, (shape) => {
        const { text, timeS, currentA } = written({ ...shape, decimalComma: true });
        try {
          const capture = readCaptureCsv(text, 'export.csv');
          expect(capture.timeS.every((value, k) => close(value, timeS[k]!))).toBe(true);
          expect(capture.channels.motorCurrentA!.every((value, k) => close(value, currentA[k]!))).toBe(true);
          read += 1;
        } catch (error) {
          expect((error as Error).message).toMatch(/--decimal|thousands/);
        }
      }),
      { seed: SEED + 1, numRuns: 600 },
    );
    expect(read).toBeGreaterThan(400);
  });

  it('tell every fault of a damaged file in one line, and never hang or throw anything else', () => {
    fc.assert(
      fc.property(shapes, fc.nat(), fc.string({ maxLength: 6 }), (shape, place, dirt) => {
        const { text } = written(shape);
        const at = place % text.length;
        try {
          readCaptureCsv(text.slice(0, at) + dirt + text.slice(at + dirt.length), 'export.csv');
        } catch (error) {
          expect((error as Error).name).toBe('InputError');
          expect((error as Error).message).not.toMatch(/[\r\n]/);
        }
      }),
      { seed: SEED + 2, numRuns: 1000 },
    );
  });
});
