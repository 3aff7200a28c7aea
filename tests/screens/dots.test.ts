// Cells of dots, round ticks, and traces drawn with braille.

import { describe, expect, it } from 'vitest';
import { DOTS } from '../../host/screens/dots.js';
import { roundTicks } from '../../host/screens/ticks.js';
import { tracePlot } from '../../host/screens/trace-plot.js';

describe('a braille cell', () => {
  // Unicode 15, chapter 21.1: dots 1 2 3 7 down the left, 4 5 6 8 down the right, bit n-1 of the code point.
  it.each([
    [0b0000_0001, '⠁'],
    [0b0000_1000, '⡀'],
    [0b0001_0000, '⠈'],
    [0b1000_0000, '⢀'],
    [0b1111_1111, '⣿'],
    [0, ' '],
  ])('of dots %s is %s', (bits, sign) => {
    expect(DOTS.braille.sign(bits)).toBe(sign);
  });

  it('of the band is sparser than a line, and never empty', () => {
    for (let bits = 1; bits < 256; bits++)
      for (const column of [0, 1]) {
        const sign = DOTS.braille.band(bits, column);
        expect(sign).not.toBe(' ');
        expect(DOTS.braille.sign(bits).codePointAt(0)! & ~sign.codePointAt(0)!).toBeGreaterThanOrEqual(0);
      }
    expect(DOTS.braille.band(255, 0)).not.toBe('⣿');
  });
});

describe('round ticks', () => {
  it.each([
    [-25, 25, 3, [-20, 0, 20]],
    [0, 14, 2, [0, 10]],
    [0, 1, 5, [0, 0.2, 0.4, 0.6, 0.8, 1]],
    [-2, 14, 4, [0, 5, 10]],
    [3, 3, 4, []],
  ])('from %d to %d, about %d of them', (low, high, most, ticks) => {
    expect(roundTicks(low, high, most)).toEqual(ticks);
  });
});

describe('a trace in braille', () => {
  const timeS = Float64Array.from({ length: 200 }, (_, i) => i / 200);
  const request = { columns: 10, rows: 4, fromS: 0, toS: 1, unicode: true, dots: 'braille' as const };
  const textOf = (plot: ReturnType<typeof tracePlot>) =>
    plot.rows.map((runs) => runs.map(({ text }) => text).join(''));

  it('is one dot thin where it is level', () => {
    const plot = tracePlot({ ...request, series: { timeS, value: timeS.map(() => 10) } });
    expect(textOf(plot)[0]).toBe('⠉'.repeat(10));
    expect(plot.ticks).toEqual([
      { row: 0, value: 10 },
      { row: 1, value: 5 },
      { row: 3, value: 0 },
    ]);
  });

  it('has an earlier run under it, a trip level in sight, and a cursor in front of both', () => {
    const plot = tracePlot({
      ...request,
      series: { timeS, value: timeS.map(() => 0) },
      under: { timeS, value: timeS.map((t) => (t < 0.5 ? 8 : 4)) },
      tripAt: 6,
      edges: { low: 0, high: 10 },
      cursorS: 0.55,
    });
    const tones = plot.rows.map((runs) => runs.map(({ tone }) => tone));
    expect(tones[0]).toContain('under');
    expect(textOf(plot)[1]).toContain('╌');
    expect(textOf(plot).map((line) => line[5])).toEqual(['│', '│', '│', '⣀']);
    const far = tracePlot({ ...request, series: { timeS, value: timeS.map(() => 3) }, tripAt: 38 });
    expect(textOf(far).join('')).not.toContain('╌');
  });

  it('fills the columns between samples that are close, and leaves a gap a gap', () => {
    const few = Float64Array.of(0, 0.02, 0.04, 0.06, 0.5, 0.52);
    const plot = tracePlot({ ...request, toS: 0.1, series: { timeS: few, value: few.map(() => 8) } });
    expect(textOf(plot)[0]!.slice(0, 6)).toBe('⠉'.repeat(6));
    const gap = tracePlot({ ...request, series: { timeS: few, value: few.map(() => 8) } });
    expect(textOf(gap)[0]!.slice(2, 5)).toBe('   ');
  });
});
