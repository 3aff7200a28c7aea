// What somebody beside the virtual bench sees of its output: of the forward throws alone, against a good unit's way.

import { describe, expect, it } from 'vitest';
import { loadUnit } from '../../host/profile/index.js';
import { wayWatch } from '../../host/virtual-rig/way-watch.js';

const UNIT = loadUnit('entry-step-relays');

/** Angles at the moments of: forward thrown, released, reverse thrown, released. */
function seen([forward, released, reverse, end]: [number, number, number, number], turnsOtherWay?: boolean) {
  let angleRad = 2;
  const watch = wayWatch(UNIT, turnsOtherWay === undefined ? {} : { turnsOtherWay }, () => () => angleRad);
  if (watch === undefined) throw new Error('nothing turns');
  for (const [position, atRad] of [
    ['forward', forward],
    ['rest', released],
    ['reverse', reverse],
    ['rest', end],
  ] as const) {
    angleRad = atRad;
    watch.thrown(position);
  }
  return watch.turned();
}

describe('the watch on the way', () => {
  it('tells the sign of what was turned in the forward throw', () => {
    expect(seen([2, 200, 260, 40])).toBe('right-way');
    expect(seen([2, -200, -260, -40])).toBe('other-way');
  });

  it('counts neither coasting nor the reverse throw', () => {
    expect(seen([2, 3, 900, -5000])).toBe('still');
    expect(seen([2, 60, -900, -5000])).toBe('right-way');
  });

  it('is turned round by a motor that sits the other way', () => {
    expect(seen([2, 200, 260, 40], true)).toBe('other-way');
    expect(seen([2, 2, 2, 2], true)).toBe('still');
  });

  it('is none where nothing turns', () => {
    for (const ref of ['mini-changeover-alone', 'relay-pair-harness-load'])
      expect(
        wayWatch(loadUnit(ref), {}, () => {
          throw new Error('there is no motor to read');
        }),
      ).toBeUndefined();
  });
});
