// The text plot: shape, scale and fallback.

import { describe, expect, it } from 'vitest';
import { textPlot } from '../../host/screens/index.js';

const timeS = Float64Array.from({ length: 101 }, (_, i) => i / 100);
const request = {
  title: 'Motor current',
  unit: 'A',
  series: { timeS, value: timeS.map((t) => (t < 0.5 ? 0 : 10)) },
  columns: 60,
  rows: 6,
  fromS: 0,
  toS: 1,
  unicode: true,
};

describe('text plot', () => {
  it('has a title, its rows and a time axis, none wider than asked', () => {
    const lines = textPlot(request);
    expect(lines).toHaveLength(8);
    expect(lines[0]).toBe('Motor current, A');
    expect(lines.at(-1)).toMatch(/^ +0 s +1 s$/);
    expect(Math.max(...lines.map((line) => [...line].length))).toBeLessThanOrEqual(60);
  });

  it('writes the scale at top and bottom, and the step in the middle of the drawing', () => {
    const lines = textPlot({ ...request, unicode: false });
    expect(lines[1]).toMatch(/^ +10 \|/);
    expect(lines[6]).toMatch(/^ +0 \|/);
    expect(lines[1]!.indexOf('#') - lines[1]!.indexOf('|') - 1).toBe(25);
  });

  it('needs no sign beyond ASCII when asked for it', () => {
    const band = { timeS, lower: timeS.map(() => -1), upper: timeS.map(() => 11) };
    // biome-ignore lint/suspicious/noControlCharactersInRegex: the whole of ASCII is meant.
    expect(textPlot({ ...request, band, unicode: false }).join('')).toMatch(/^[\u0000-\u007f]*$/);
    expect(textPlot({ ...request, band }).join('')).toMatch(/░/);
  });
});
