// Which units of the tray's table are in sight: counted by hand.

import { describe, expect, it } from 'vitest';
import { rowsAround } from '../../host/screens/table-window.js';

describe('units in sight around the chosen one', () => {
  it.each([
    // All of them where they fit.
    [[1, 4, 1], 1, 6, { from: 0, to: 3 }],
    // The chosen one with its neighbours: 4 rows, 1 after, 1 before, and no room for the 4 behind those.
    [[1, 1, 4, 1, 4], 2, 7, { from: 0, to: 4 }],
    // The last one, with what stands before it.
    [[4, 4, 4, 4], 3, 9, { from: 2, to: 4 }],
    // It itself where not even that fits.
    [[6, 6], 1, 3, { from: 1, to: 2 }],
    [[], 0, 5, { from: 0, to: 0 }],
  ])('%j rows, the one at %i chosen, room for %i', (heights, chosen, room, seen) => {
    expect(rowsAround(heights, chosen, room)).toEqual(seen);
  });
});
