// Every fifth sample for the eye, however the stream is cut into blocks.

import fc from 'fast-check';
import { expect, it } from 'vitest';
import { Decimator } from '../../host/bench/decimator.js';

it('takes the same samples however the stream is cut into blocks', () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: 0, max: 17 }), { maxLength: 30 }), (lengths) => {
      const decimator = new Decimator(5);
      let at = 0;
      const seen: number[] = [];
      for (const length of lengths) {
        const timeS = Float64Array.from({ length }, (_, i) => at + i);
        at += length;
        const slice = decimator.take({ timeS, position: [], channels: { supplyVoltageV: timeS } });
        expect(slice.channels.supplyVoltageV).toEqual(slice.timeS);
        seen.push(...slice.timeS);
      }
      expect(seen).toEqual(Array.from({ length: Math.ceil(at / 5) }, (_, i) => 5 * i));
    }),
    { seed: 7 },
  );
});
