// The dots of a batch: every unit and start there, at its place, in the picture and in the terminal.

import { describe, expect, it } from 'vitest';
import { type DotStrip, dotLines, dotsSvg } from '../../host/reports/index.js';
import { isWellFormed } from './well-formed.js';

const STRIP: DotStrip = {
  ...{ title: 'running current', unit: 'A', lower: 2, upper: 6, said: 'Cpk 1.20' },
  units: [
    { tag: 'V-0101', starts: [3, 3.2], mean: 3.1 },
    { tag: 'V-0102', starts: [4], mean: 4 },
    { tag: 'V-0103', starts: [4], mean: 4 },
    { tag: 'V-0130', starts: [6.5], mean: 6.5, isUnderTest: true },
  ],
};

describe('dots in a picture', () => {
  const svg = dotsSvg('A batch of <four>', [STRIP, { ...STRIP, lower: undefined }], 'legend');

  it('are well formed, each unit a circle, each start a stroke, the one under test a diamond with its tag', () => {
    expect(isWellFormed(svg)).toBe(true);
    expect(svg.match(/<circle /g)).toHaveLength(2 * 3);
    expect(svg.match(/stroke="#555"/g)).toHaveLength(2 * 5);
    expect(svg.match(/<path /g)).toHaveLength(2);
    expect(svg.match(/>V-0130</g)).toHaveLength(2);
    expect(svg).toContain('A batch of &lt;four&gt;');
  });

  it('stand in the order of their values, those of one place over each other', () => {
    const circles = [...svg.matchAll(/<circle cx="([\d.]+)" cy="([\d.]+)"/g)].slice(0, 3);
    const [first, second, third] = circles.map(([, x, y]) => ({ x: Number(x), y: Number(y) }));
    expect(first?.x).toBeLessThan(second?.x ?? 0);
    expect(second?.x).toBe(third?.x);
    expect(third?.y).toBeLessThan(second?.y ?? 0);
  });

  it('leave the tag readable where many lie under it', () => {
    const last = svg.lastIndexOf('<circle ', svg.indexOf('>V-0130<'));
    expect(last).toBeGreaterThan(0);
    expect(svg).toMatch(/<text [^>]*paint-order="stroke" stroke="#fff"[^>]*>V-0130</);
  });

  it('of a limit on one side draw that one alone', () => {
    expect(svg.match(/stroke-width="2"/g)).toHaveLength(3);
  });
});

describe('dots in a terminal', () => {
  it('are units above starts, a digit for several, limits between them', () => {
    const [units, starts] = dotLines(STRIP, 61);
    expect(units).toMatch(/^ *\| +o +2 +\| +#$/);
    expect(starts).toMatch(/^ *\| +\. +\. +2 +\| +#$/);
    expect(units.length).toBeLessThanOrEqual(61);
    // 2 to 6.5 with a little room: a unit at 4 lies four ninths of the way.
    expect(
      Math.abs(units.indexOf('2') - units.indexOf('|') - (4 / 9) * (units.indexOf('#') - units.indexOf('|'))),
    ).toBeLessThan(1.5);
  });

  it('of readings that are all alike do not divide by nothing', () => {
    const flat: DotStrip = { title: 't', unit: 'A', units: [{ tag: 'V-0101', starts: [3], mean: 3 }] };
    expect(dotLines(flat, 40)[0]).toMatch(/^ +o$/);
    expect(dotsSvg('t', [flat], '')).not.toMatch(/NaN|Infinity/);
  });
});
