// What is told of a unit that passes, and how a sentence stands within another.

import { describe, expect, it } from 'vitest';
import { checkOf, numberCheck } from '../../host/judge/check.js';
import { whatItDoes } from '../../host/judge/what-it-does.js';
import { type Measured, type QuantityName, quantityOf, runStretch } from '../../host/measure/index.js';
import { lowered } from '../../host/tell/index.js';

const [FORWARD, REVERSE] = [runStretch('full', 'forward'), runStretch('full', 'reverse')];
const read = (what: QuantityName, of: typeof FORWARD | undefined, value: number, unit: string) => ({
  ...quantityOf(value, unit, []),
  what,
  ...(of === undefined ? {} : { of }),
});
const kind = { id: 'any', of: 'motor', rank: 1 } as const;
const against = (subject: string, value: number, limits: { lower?: number; upper?: number }, more = {}) =>
  numberCheck(
    { ...kind, ...more },
    {
      ...{ subject, quantity: quantityOf(value, 'A', []), origin: 'model' as const, missing: '' },
      ...limits,
    },
  );

describe('what a unit that passes does', () => {
  it('is its currents each way, what it loses on the way, and its brake', () => {
    const measured: Measured = {
      a: read('runningCurrentA', FORWARD, 4.5, 'A'),
      b: read('runningCurrentA', REVERSE, -4.4, 'A'),
      c: read('feedDropV', FORWARD, 0.31, 'V'),
      d: read('feedDropV', REVERSE, 0.22, 'V'),
      e: read('groundDropV', FORWARD, 0.1, 'V'),
      f: read('brakePeakA', REVERSE, 9.1, 'A'),
    };
    expect(whatItDoes(measured, []).map(({ about, words }) => [about, words])).toEqual([
      ['runs', 'runs at 4.5 A forward and 4.4 A reverse'],
      ['drops', 'drops at most 0.3 V to the motor and 0.1 V to ground'],
      ['brake', 'brakes with 9.1 A'],
      ['checks', 'All 0 checks are within limits.'],
    ]);
  });

  it('is of a relay its times', () => {
    const measured: Measured = {
      a: read('operateS', undefined, 0.0081, 's'),
      b: read('releaseS', undefined, 0.0052, 's'),
    };
    expect(whatItDoes(measured, [])[0]?.words).toBe('closes after 8 ms, lets go after 5 ms');
  });

  it('names the check with the least room to its limit, and none of rig, supply or course', () => {
    const checks = [
      against('Wide', 5, { lower: 0, upper: 10 }),
      // 0.5 of a range of 10 left, and 0.2 of one that ends at 4.
      against('Near', 9.5, { lower: 0, upper: 10 }),
      against('Far', 3.2, { upper: 4 }),
      against('Course', 4.99, { upper: 5 }, { isOfCourse: true }),
      against('Supply', 14.99, { upper: 15 }, { of: 'supply' }),
      checkOf({ ...kind }, { outcome: 'pass', sentence: 'Told in words.' }),
    ];
    const closest = whatItDoes({}, checks).find(({ about }) => about === 'closest');
    expect(closest?.words).toMatch(/^Near 9\.5/);
    expect(whatItDoes({}, [checks[5]!]).some(({ about }) => about === 'closest')).toBe(false);
  });
});

describe('a sentence within another', () => {
  it.each([
    ['The coil of K2 is open.', 'the coil of K2 is open.'],
    ['K1 is a 24 V relay.', 'K1 is a 24 V relay.'],
    ['Motor lead A is open.', 'motor lead A is open.'],
    ['A fuse is open.', 'a fuse is open.'],
    ['', ''],
  ])('%j is %j', (text, told) => {
    expect(lowered(text)).toBe(told);
  });
});
