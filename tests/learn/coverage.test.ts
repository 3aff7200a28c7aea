// Limits hold what they state: drawn workshops, populations hidden from learning, further good units counted.
// The full table is `npm run learning`. Truth is the drawn populations' own, no outside source.

import { describe, expect, it } from 'vitest';
import { shareOf, workshop } from './workshops.js';

describe('limits of drawn workshops', () => {
  it.each([
    [3, 1, 60, 7101],
    [5, 1, 24, 7201],
    [10, 1, 24, 7301],
    [30, 1, 16, 7401],
    [3, 3, 60, 7501],
    [5, 3, 24, 7601],
  ])(
    'from %i units of %i starts reject no more good units than stated (%i workshops, seeds from %i)',
    (units, starts, workshops, seed) => {
      const drawn = Array.from({ length: workshops }, (_, n) =>
        workshop(seed + n, { units, starts, further: 400 }),
      );
      // Stated: 95 % of good units, in 90 % of the workshops.
      expect(shareOf(drawn, 0.95).held).toBeGreaterThanOrEqual(0.9);
    },
    120_000,
  );

  it('are narrower the more units teach them', () => {
    const widthOf = (units: number): number =>
      shareOf(
        Array.from({ length: 6 }, (_, n) => workshop(7801 + n, { units, starts: 1, further: 1 })),
        0.95,
      ).medianWidth;
    const [few, some, many] = [widthOf(5), widthOf(10), widthOf(30)];
    expect(some).toBeLessThan(few);
    expect(many).toBeLessThan(some);
  });
});
