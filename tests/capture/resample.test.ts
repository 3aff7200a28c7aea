// Non-uniform captures: straight lines between samples, holes kept, positions held.

import { describe, expect, it } from 'vitest';
import { readCaptureCsv, sliceCapture, uniformRateHz } from '../../host/capture/index.js';

const csv = (rows: (readonly [number, string, number | ''])[]): string =>
  `time_s,position,motor_current_A\n${rows.map((row) => row.join(',')).join('\n')}\n`;

describe('non-uniform time', () => {
  it('lies on the straight line that was sampled', () => {
    // i = 3 t + 1, sampled with steps that jitter between 0.6 and 1.4 ms (a fixed pattern).
    const timesS = Array.from({ length: 200 }, (_, i) => i * 0.001 + 0.0004 * Math.sin(i * 1.7));
    const capture = readCaptureCsv(csv(timesS.map((t) => [t, 'rest', 3 * t + 1])), 'jitter.csv');
    expect(capture.notes).toHaveLength(1);
    expect(capture.notes[0]).toMatch(/not uniform .* resampled/);
    expect(uniformRateHz(capture.timeS)).toBeGreaterThan(0);
    expect(capture.gaps).toEqual([]);
    const worst = Math.max(
      ...capture.timeS.map((t, i) => Math.abs(capture.channels.motorCurrentA![i]! - (3 * t + 1))),
    );
    // Hits within a fiftieth of a step take the sample as it is: 3 A/s x 0.02 ms.
    expect(worst).toBeLessThan(3 * 0.02 * 0.0014);
  });

  it('makes rows missing from a regular grid a gap, not a line', () => {
    const rows = Array.from(
      { length: 20 },
      (_, i) => [i / 1000, i < 10 ? 'rest' : 'forward', i] as const,
    ).filter(([t]) => t < 0.0075 || t > 0.0115);
    const capture = readCaptureCsv(csv(rows), 'holes.csv');
    expect(capture.sampleRateHz).toBe(1000);
    expect(capture.timeS).toHaveLength(20);
    expect([...capture.channels.motorCurrentA!].map(Number.isNaN)).toEqual(
      Array.from({ length: 20 }, (_, i) => i >= 8 && i <= 11),
    );
    expect(capture.gaps).toHaveLength(1);
    expect(capture.gaps[0]!.fromS).toBeCloseTo(0.008, 9);
    expect(capture.gaps[0]!.toS).toBeCloseTo(0.012, 9);
    expect(capture.notes).toEqual(['4 rows are missing from a regular time grid and stay gaps.']);
  });

  it('does not bridge a hole in jittered samples', () => {
    const timesS = Array.from(
      { length: 100 },
      (_, i) => i * 0.001 + 0.0003 * Math.sin(i) + (i >= 50 ? 0.05 : 0),
    );
    const capture = readCaptureCsv(csv(timesS.map((t) => [t, 'rest', 1])), 'hole.csv');
    expect(capture.gaps).toHaveLength(1);
    const [gap] = capture.gaps;
    expect(gap!.toS - gap!.fromS).toBeGreaterThan(0.045);
  });

  it('keeps an empty cell a gap through resampling', () => {
    const timesS = Array.from({ length: 30 }, (_, i) => i * 0.001 + 0.0003 * Math.sin(i));
    const rows = timesS.map((t, i) => [t, 'rest', i >= 10 && i < 15 ? '' : 1] as const);
    const capture = readCaptureCsv(csv(rows), 'cells.csv');
    expect(capture.gaps).toHaveLength(1);
    expect([...capture.channels.motorCurrentA!].filter(Number.isNaN).length).toBeGreaterThanOrEqual(5);
  });

  it('takes times rounded to the microsecond as uniform', () => {
    const rows = Array.from({ length: 50 }, (_, i) => [Number((i / 3000).toFixed(6)), 'rest', i] as const);
    const capture = readCaptureCsv(csv(rows), 'rounded.csv');
    expect(capture.sampleRateHz).toBeCloseTo(3000, 0);
    expect(capture.notes).toEqual([]);
  });

  it('holds the position until the next sample', () => {
    const capture = readCaptureCsv(
      csv([
        [0, 'rest', 0],
        [1, 'forward', 0],
        [2.3, 'rest', 0],
        [3.3, 'forward', 0],
      ]),
      'coarse.csv',
    );
    expect([...capture.timeS]).toEqual([0, 1, 2, 3]);
    expect(capture.position).toEqual(['rest', 'forward', 'forward', 'rest']);
  });

  it('cuts a stretch with the gaps that touch it', () => {
    const capture = readCaptureCsv(
      csv([
        [0, 'rest', 0],
        [1, 'forward', ''],
        [2, 'forward', ''],
        [3, 'rest', 3],
      ]),
      'cut.csv',
    );
    const slice = sliceCapture(capture, 2, 3);
    expect([...slice.timeS]).toEqual([2]);
    expect(slice.gaps).toEqual([{ fromS: 2, toS: 3, reason: 'empty cells' }]);
    expect(slice.position).toEqual(['forward']);
  });
});
