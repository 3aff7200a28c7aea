// A picture on paper can be read, nothing of it is lost, and no box is cut in two.

import { describe, expect, it } from 'vitest';
import { unitAsBuilt } from '../../host/commands/unit-as-built.js';
import { breaksOf, drawingOf, laidOut, svgMetrics } from '../../host/reports/circuit/index.js';
import { piecesOf } from '../../host/reports/sheet/index.js';

// A4 with margins, in points.
const PAGE = { width: 527, height: 741 };
/** Letters of 12 units on paper, points: common practice takes 6.5 for the least that is read without effort. */
const letters = (scale: number): number => 12 * scale;
const asked = (width: number, height: number, breaks: number[] = []) =>
  piecesOf({ width, height, breaks, mostOfPage: 0.56 }, PAGE);

describe('a picture of a circuit', () => {
  it('that is small stays in its place, whole', () => {
    const [only, ...others] = asked(500, 600);
    expect(others).toEqual([]);
    expect(only).toMatchObject({ x: 0, y: 0, width: 500, height: 600, caption: '' });
    expect((only?.scale ?? 0) * 600).toBeLessThanOrEqual(0.56 * PAGE.height + 1e-9);
  });

  it('that could not be read there takes a page of its own', () => {
    const [only, ...others] = asked(783, 1112);
    expect(others).toEqual([]);
    expect(letters(only?.scale ?? 0)).toBeGreaterThan(6.4);
    expect((only?.scale ?? 0) * 783).toBeLessThanOrEqual(PAGE.width + 1e-9);
  });

  it.each([
    [300, 2400],
    [2400, 500],
    [2000, 2600],
    [300, 9000],
  ])('of %s by %s units goes on over pages, all of it there and large enough', (width, height) => {
    const pieces = asked(width, height);
    expect(pieces.length).toBeGreaterThan(1);
    for (const piece of pieces) {
      expect(letters(piece.scale)).toBeGreaterThan(6.4);
      expect(piece.scale * piece.width).toBeLessThanOrEqual(PAGE.width + 1e-9);
      expect(piece.scale * piece.height).toBeLessThanOrEqual(PAGE.height);
      expect(piece.caption).toMatch(/^part \d+ of \d+$/);
    }
    // Every point of a grid lies in some piece.
    for (let x = 1; x < width; x += 37) {
      for (let y = 1; y < height; y += 41) {
        const holds = ({ x: left, y: top, width: wide, height: high }: (typeof pieces)[number]) =>
          x >= left && x <= left + wide && y >= top && y <= top + high;
        expect(pieces.some(holds)).toBe(true);
      }
    }
  });

  it('is cut at a break where one is in reach', () => {
    const pieces = asked(300, 2000, [300, 950, 1500]);
    expect(pieces).toHaveLength(2);
    const [first, second] = pieces;
    expect((first?.height ?? 0) - 950).toBeLessThanOrEqual(8);
    expect(950 - (second?.y ?? 0)).toBeLessThanOrEqual(8);
  });

  it('may be cut between its boxes only', async () => {
    const { style } = unitAsBuilt('entry-step-relays', 'limit-actuator-relay-pair');
    const layout = await laidOut(drawingOf(style), svgMetrics(false));
    const breaks = breaksOf(layout);
    const margin = 12;
    expect(breaks.length).toBeGreaterThan(3);
    for (const at of breaks)
      for (const { y, height } of layout.boxes)
        expect(at - margin > y && at - margin < y + height).toBe(false);
  });
});
