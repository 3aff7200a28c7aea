// The SVG chart: well formed, to scale, with band and gaps.

import { describe, expect, it } from 'vitest';
import { chartSvg } from '../../host/reports/index.js';
import { isWellFormed } from './well-formed.js';

const timeS = Float64Array.from({ length: 101 }, (_, i) => i / 100);
const capture = {
  timeS,
  position: Array.from(timeS, (t) => (t >= 0.5 ? ('forward' as const) : ('rest' as const))),
  channels: {
    motorCurrentA: timeS.map((t) => (t >= 0.5 ? 10 : 0)),
    leadAVoltageV: timeS.map((t) => (t > 0.2 && t < 0.4 ? Number.NaN : 12)),
  },
};

describe('chart of a capture', () => {
  const svg = chartSvg({ capture, title: 'Seat <1> & "co"', subtitle: '13 V' });

  it('is well-formed XML with its title escaped and no panel for channels it lacks', () => {
    expect(isWellFormed(svg)).toBe(true);
    expect(svg).toContain('Seat &lt;1&gt; &amp; &quot;co&quot;');
    expect(svg).not.toContain('Coil current');
    expect(svg).toContain('>forward</text>');
    expect(svg).toContain('>time, s</text>');
  });

  it('puts the step at half of the width and breaks the line in a gap', () => {
    const paths = [...svg.matchAll(/<path d="([^"]+)"/g)].map(([, d]) => d!);
    expect(paths).toHaveLength(2);
    // Plot from x = 64 to 944: t = 0.5 s lies at 504; the gap makes a second subpath.
    expect(paths[0]).toContain('L504 ');
    expect(paths[1]!.match(/M/g)!.length).toBeGreaterThan(1);
  });

  it('draws the band behind the trace', () => {
    const low = timeS.map(() => -1);
    const band = { timeS, lower: { motorCurrentA: low }, upper: { motorCurrentA: timeS.map(() => 11) } };
    const withBand = chartSvg({ capture, band, title: 'x' });
    expect(isWellFormed(withBand)).toBe(true);
    expect(withBand.indexOf('<polygon')).toBeGreaterThan(0);
    expect(withBand.indexOf('<polygon')).toBeLessThan(withBand.indexOf('<path'));
  });
});
