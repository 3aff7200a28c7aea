// One current of a good unit while its supply, which nobody sampled, dips, rises or is tired: no fault of the unit's.

import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../host/circuit/index.js';
import { asWitnessed, expectation, judge } from '../../host/judge/index.js';
import { everyProfile, randomUnit } from '../accuracy/random-unit.js';
import { HAPPENS, type Happens, strangerRun } from '../accuracy/stranger-run.js';

const UNTOLD = { positionKnown: false } as Parameters<typeof asWitnessed>[1];
const [unit] = everyProfile(['window-lift'], { styles: ['switch-carried-grounded-rest'], limits: 'known' });

describe('one current, no supply', () => {
  it.each<Happens>(['dip', 'rises', 'tired'])('%s: a good unit does not fail', (happens) => {
    if (unit === undefined) throw new RangeError('no such style');
    const witnessed = asWitnessed(unit, UNTOLD);
    const expected = expectation(witnessed);
    const random = seededRandom(77);
    const told: string[] = [];
    for (let good = 0; good < 6; ) {
      const one = randomUnit(unit, random);
      if (one.truth !== 'healthy') continue;
      good++;
      const capture = strangerRun(one, { seen: 'current', happens }, HAPPENS[happens](random, one));
      const { checks } = judge({ unit: witnessed, capture, expectation: expected });
      told.push(
        ...checks.flatMap(({ outcome, required, id }) => (required && outcome === 'fail' ? [id] : [])),
      );
    }
    expect(told).toEqual([]);
  });

  it('a motor that runs one way only fails all the same', () => {
    if (unit === undefined) throw new RangeError('no such style');
    const witnessed = asWitnessed(unit, UNTOLD);
    const random = seededRandom(5);
    const one = randomUnit(unit, random);
    const lame = {
      ...one,
      virtualCase: { ...one.virtualCase, faults: [], motorScale: { reverseFrictionRatio: 4 } },
    };
    const capture = strangerRun(lame, { seen: 'current', happens: 'nothing' }, {});
    const { checks } = judge({ unit: witnessed, capture, expectation: expectation(witnessed) });
    expect(checks.find(({ id }) => id === 'symmetry')?.outcome).toBe('fail');
  });
});
