// A column that a logger fills in every so many rows, numbers that stand for no reading, and the words of switches for a
// position. What marks infinity is SCPI-99, volume 1, 7.2.1.4 (9.9E37); other numbers as large and the words are common practice.

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readCaptureCsv } from '../../host/capture/index.js';

const table = (rows: number, cells: (row: number) => string, head = 'time (s),current (A),supply (V)') =>
  `${head}\n${Array.from({ length: rows }, (_, row) => `${(row / 1000).toFixed(3)},${cells(row)}`).join('\n')}\n`;

describe('a column that is filled seldom', () => {
  it('is drawn straight between its readings where it is the supply, wherever those stand', () => {
    fc.assert(
      fc.property(fc.integer({ min: 2, max: 60 }), fc.nat(59), (every, first) => {
        const from = first % every;
        const csv = table(
          1000,
          (row) => `${row % 7},${row % every === from ? (12 + row / 1000).toFixed(4) : ''}`,
        );
        const { channels, gaps, notes } = readCaptureCsv(csv, 'logger.csv');
        const last = from + every * Math.floor((999 - from) / every);
        channels.supplyVoltageV?.forEach((value, row) => {
          const at = Math.min(last, Math.max(from, row));
          expect(value).toBeCloseTo(12 + at / 1000, 3);
        });
        expect(gaps).toEqual([]);
        expect(notes.join(' ')).toContain('in between it is drawn straight');
      }),
      { numRuns: 40 },
    );
  });

  it('is left out where it is a current, for its peaks lie between', () => {
    const csv = table(
      1000,
      (row) => `${row % 7},${row % 50 === 0 ? 1 : ''}`,
      'time (s),motor current (A),feed current (A)',
    );
    const { channels, notes } = readCaptureCsv(csv, 'logger.csv');
    expect(channels.motorCurrentA).toHaveLength(1000);
    expect(channels.feedCurrentA).toBeUndefined();
    expect(notes.join(' ')).toMatch(/read in 20 of 1000 rows only, 20 times a second: too seldom/);
  });

  it('is lost samples where it merely stops or has holes', () => {
    for (const isThere of [(row: number) => row < 300, (row: number) => row < 300 || row > 700]) {
      const csv = table(1000, (row) => `${row % 7},${isThere(row) ? 12 : ''}`);
      const { channels, gaps } = readCaptureCsv(csv, 'logger.csv');
      expect(channels.supplyVoltageV?.[500]).toBeNaN();
      expect(gaps).toHaveLength(1);
    }
  });
});

describe('a number that no instrument reads', () => {
  it.each(['9.9e37', '1e+37', '3.40282e38', '9.9E+37'])('%s is beyond the range', (mark) => {
    const csv = table(100, (row) => (row === 50 ? mark : `${row % 7}`), 'time (s),current (A)');
    const { channels, beyondRange } = readCaptureCsv(csv, 'logger.csv');
    expect(channels.motorCurrentA?.[50]).toBe(6);
    expect(beyondRange?.motorCurrentA).toEqual({ above: 6 });
  });
});

describe('a position in the words of a switch', () => {
  it.each([
    ['OFF', 'rest'],
    ['Neutral', 'rest'],
    ['0', 'rest'],
    ['FWD', 'forward'],
    ['1', 'forward'],
    ['REV', 'reverse'],
    ['-1', 'reverse'],
  ])('%s is %s', (word, position) => {
    const csv = table(3, () => `${word},1`, 'time_s,position,motor_current_A');
    expect(readCaptureCsv(csv, 'bench.csv').position).toEqual([position, position, position]);
  });

  it.each(['UP', 'DOWN'])('%s is no direction of a motor', (word) => {
    const csv = table(3, () => `${word},1`, 'time_s,position,motor_current_A');
    expect(() => readCaptureCsv(csv, 'bench.csv')).toThrow(
      `bench.csv:2: position: '${word}' is no position; write rest, forward, reverse`,
    );
  });
});
