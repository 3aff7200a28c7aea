// A capture file is read through a window that moves along it: where the window's ends fall must never show. And rows
// taken straight into columns read as the same rows taken field by field (fast-check, seed printed in each name).

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ByteWindow } from '../../host/capture/byte-window.js';
import { readCapture } from '../../host/capture/capture-csv.js';
import { type Capture, readCaptureCsv } from '../../host/capture/index.js';

const SEED = 20_261_125;

const through = (text: string, windowBytes: number): Capture | string => {
  try {
    return readCapture(ByteWindow.over(text, windowBytes), text.length, 'bench.csv');
  } catch (error) {
    return (error as Error).message;
  }
};

const lineEnd = fc.constantFrom('\n', '\r\n', '\r');
const numberText = fc.oneof(
  fc.double({ noDefaultInfinity: true, noNaN: true }).map(String),
  fc.integer({ min: -99_999, max: 99_999 }).map((n) => (n / 1000).toFixed(3)),
  fc.integer({ min: 0, max: 999_999_999 }).map((n) => `-${n}.5`),
  fc.constantFrom(
    '',
    ' ',
    '1e-5',
    '+2',
    ' 3.25 ',
    '-0',
    '.5',
    '"1.5"',
    'NaN',
    '000000000000000001',
    '12345678901234567890',
  ),
);
const word = fc.constantFrom('rest', 'forward', 'reverse', 'Rest', ' forward ', '"reverse"');

describe(`windows over a capture file, seed ${SEED}`, () => {
  it('reads the same through a window of any size', () => {
    const files = fc
      .record({
        end: lineEnd,
        rows: fc.array(fc.tuple(word, numberText, numberText), { minLength: 1, maxLength: 12 }),
        isClosed: fc.boolean(),
        blank: fc.nat(12),
        remark: fc.option(fc.constantFrom('plain', '"two\r\nlines"', '"said ""go"""', 'Ω é', '"a,b"')),
      })
      .map(({ end, rows, isClosed, blank, remark }) => {
        const lines = rows.map(([position, a, b], i) =>
          [String(i / 10), position, a, b, ...(remark === null ? [] : [remark])].join(','),
        );
        lines.splice(blank, 0, '');
        const header = [
          'time_s',
          'position',
          'motor_current_A',
          'lead_a_V',
          ...(remark === null ? [] : ['note']),
        ];
        return `${header.join(',')}${end}${lines.join(end)}${isClosed ? end : ''}`;
      });
    fc.assert(
      fc.property(files, fc.integer({ min: 4, max: 90 }), (text, windowBytes) => {
        expect(through(text, windowBytes)).toEqual(through(text, 1 << 16));
      }),
      { seed: SEED, numRuns: 100 },
    );
  });

  it('reads plain rows and the same rows in quotes as the same doubles', () => {
    const rows = fc.array(fc.tuple(numberText, numberText), { minLength: 1, maxLength: 30 });
    fc.assert(
      fc.property(rows, (cells) => {
        const bare = cells.map((pair) => pair.map((cell) => cell.replaceAll('"', '')));
        const file = (quote: string): string =>
          `time_s,motor_current_A,lead_a_V\n${bare
            .map((pair, i) => [String(i), ...pair.map((cell) => `${quote}${cell}${quote}`)].join(','))
            .join('\n')}\n`;
        expect(readCaptureCsv(file(''), 'bench.csv')).toEqual(readCaptureCsv(file('"'), 'bench.csv'));
      }),
      { seed: SEED, numRuns: 150 },
    );
  });

  it.each([
    ['a word for a number', 'time_s,lead_a_V\n0,1\n1,1\n2,1\n3,oops\n', "bench.csv:5: lead_a_V: 'oops'"],
    [
      'a time that goes back',
      'time_s,lead_a_V\r\n0,1\r\n1,1\r\n2,1\r\n1.5,1\r\n3,1\r\n',
      'bench.csv:5: time_s: the time goes back',
    ],
    ['a row cut short', 'time_s,lead_a_V\n0,1\n\n1,1\n2\n', 'bench.csv:5: 1 fields where the header has 2'],
    ['a quote never closed', 'time_s,lead_a_V\n0,1\n1,1\n2,"1\n', 'bench.csv:4: a quote is never closed'],
    [
      'a position unknown',
      'time_s,position,lead_a_V\n0,rest,1\n1,rest,1\n2,resting,1\n',
      "bench.csv:4: position: 'resting' is no position",
    ],
  ])('names the line of %s through windows of 4 to 60 bytes', (_name, text, message) => {
    for (let windowBytes = 4; windowBytes <= 60; windowBytes++)
      expect(through(text, windowBytes)).toContain(message);
  });

  it('refuses a file of its own form that is not UTF-8', () => {
    const bytes = (list: number[]): ByteWindow => {
      const all = Uint8Array.from(list);
      let done = 0;
      return new ByteWindow((into, at, length) => {
        const part = all.subarray(done, done + length);
        into.set(part, at);
        done += part.length;
        return part.length;
      });
    };
    const latin = [...Buffer.from('time_s,lead_a_V,note\n0,1,'), 0xe9, 10];
    expect(() => readCapture(bytes(latin), latin.length, 'bench.csv')).toThrow(
      'bench.csv: is not UTF-8 text; save it as CSV in UTF-8',
    );
  });
});

describe('the column of feeds', () => {
  it('is read beside the positions, in any case, and an empty cell keeps the feed before it', () => {
    const capture = readCaptureCsv(
      'time_s,position,feed,lead_a_V\n0,rest,off,0\n1,rest,Limited,3\n2,forward,,3\n3,forward,full,12\n',
      'bench.csv',
    );
    expect(capture.feed).toEqual(['off', 'limited', 'limited', 'full']);
    expect(capture.position).toEqual(['rest', 'rest', 'forward', 'forward']);
    expect(capture.extraColumns).toBeUndefined();
    expect(capture.notes).toEqual(['1 empty feeds were taken as the one before.']);
  });

  it('names line and mend for a word that is no feed, and for a first one missing', () => {
    const read = (cell: string) => readCaptureCsv(`time_s,feed,lead_a_V\n0,${cell},0\n`, 'bench.csv');
    expect(() => read('limted')).toThrow("bench.csv:2: feed: 'limted' is no feed; did you mean limited?");
    expect(() => read('')).toThrow('bench.csv:2: feed: the feed is missing; write off, limited, full');
  });
});
