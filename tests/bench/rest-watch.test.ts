// A motor that goes on being driven at rest, told from the stream; a braking one is not. Currents made by hand.

import { describe, expect, it } from 'vitest';
import { RestWatch } from '../../host/bench/rest-watch.js';

const RATE_HZ = 5000;

/** Feeds `seconds` of a motor current to the watch, in blocks as the rig delivers them. */
function feed(watch: RestWatch, seconds: number, currentA: (atS: number) => number, fromS = 0): void {
  const block = RATE_HZ / 100;
  for (let n = 0; n < seconds * 100; n++) {
    const timeS = Float64Array.from({ length: block }, (_, i) => fromS + (n * block + i) / RATE_HZ);
    watch.add({
      timeS,
      position: [],
      feed: [],
      channels: { motorCurrentA: timeS.map((atS) => currentA(atS - fromS)) },
    });
  }
}

describe('a rest with the full feed', () => {
  it('is seen driven where the current of the throw before goes on for a quarter of a second', () => {
    const watch = new RestWatch();
    watch.start({ position: 'reverse', durationS: 1, feed: 'full' });
    feed(watch, 1, () => -19);
    expect(watch.drivenA).toBeUndefined();
    watch.start({ position: 'rest', durationS: 1, feed: 'full' });
    feed(watch, 0.2, () => -19, 1);
    expect(watch.drivenA).toBeUndefined();
    feed(watch, 0.1, () => -19, 1.2);
    expect(watch.drivenA).toBeCloseTo(-19, 6);
  });

  it('is seen driven either way before the first throw, but not by what a leak or the noise draws', () => {
    for (const currentA of [4, -4]) {
      const watch = new RestWatch();
      watch.start({ position: 'rest', durationS: 1, feed: 'full' });
      feed(watch, 0.4, () => currentA);
      expect(watch.drivenA).toBeCloseTo(currentA, 6);
    }
    const watch = new RestWatch();
    watch.start({ position: 'rest', durationS: 1, feed: 'full' });
    feed(watch, 1, (atS) => 0.5 + 3 * Math.sin(2 * Math.PI * 700 * atS));
    expect(watch.drivenA).toBeUndefined();
  });

  it('is not seen driven by a brake current, which flows against the throw, however long it lasts', () => {
    const watch = new RestWatch();
    watch.start({ position: 'forward', durationS: 1, feed: 'full' });
    watch.start({ position: 'rest', durationS: 1, feed: 'full' });
    feed(watch, 1, (atS) => -14 * Math.exp(-atS / 0.5));
    expect(watch.drivenA).toBeUndefined();
  });

  it('is not watched with the limited feed, which harms nothing', () => {
    const watch = new RestWatch();
    watch.start({ position: 'rest', durationS: 1, feed: 'limited' });
    feed(watch, 1, () => 4);
    expect(watch.drivenA).toBeUndefined();
  });
});
