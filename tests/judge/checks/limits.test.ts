// A drive with limit switches stops by itself while it is still thrown.

import { describe, expect, it } from 'vitest';
import { limitChecks } from '../../../host/judge/checks/limits.js';
import {
  contextOf,
  FORWARD,
  type GoodAt,
  type Handmade,
  REVERSE,
  segmentOf,
  shipped,
  told,
} from '../handmade.js';

const GOOD: GoodAt = [FORWARD, { stopsAfterS: { nominal: 0.8, lower: 0.6, upper: 1.1 } }];
const asked = (made: Handmade = {}) => limitChecks(contextOf({ good: [GOOD], ...made }));

describe('a throw to the limit', () => {
  it('passes when it stops in time', () => {
    const [check, ...more] = asked({ read: [[FORWARD, { stopsAfterS: [0.9, 0.01] }]] });
    expect(check).toMatchObject({
      id: 'limit-stop-forward',
      throw: FORWARD,
      of: 'unit',
      origin: shipped('entry-step-relays').motor.origin,
      outcome: 'pass',
      lower: 0.6,
      upper: 1.1,
      sentence: 'Forward: reaches its limit and stops after 900 ± 10 ms (expected 0.60 to 1.10 s).',
    });
    expect(more).toEqual([]);
  });

  it('never has to stop before it starts', () => {
    const good: GoodAt = [FORWARD, { stopsAfterS: { nominal: 0.8, lower: -0.3, upper: 1.1 } }];
    expect(asked({ good: [good], read: [[FORWARD, { stopsAfterS: 0.1 }]] })[0]).toMatchObject({ lower: 0 });
  });

  it('fails when its current never stops, and somebody has timed its travel', () => {
    const unit = shipped('entry-step-relays');
    const timed = { ...unit, unit: { ...unit.unit, travelS: 1 } };
    const held = [segmentOf(FORWARD, { fromS: 1, toS: 3 })];
    const [check] = asked({ unit: timed, segments: held, read: [[FORWARD, { runningCurrentA: 4 }]] });
    expect(told([check!])).toEqual([
      [
        'limit-stop-forward',
        'fail',
        'Forward: the current never stops while thrown; a drive with limit switches must stop by itself (after 0.60 to 1.10 s).',
      ],
    ]);
  });

  it('is asked for its travel where nobody has timed it', () => {
    const untold =
      'How long its travel takes is not told: time it from end to end, and write travelS into its profile.';
    const running: Handmade['read'] = [[FORWARD, { runningCurrentA: 4 }]];
    expect(told(asked({ read: running }))).toEqual([
      ['limit-stop-forward', 'not-tested', `Forward: its limit was not reached. ${untold}`],
    ]);
    const late: Handmade['read'] = [[FORWARD, { runningCurrentA: 4, stopsAfterS: [2, 0.01] }]];
    expect(told(asked({ read: late }))).toEqual([
      ['limit-stop-forward', 'not-tested', `Forward: reaches its limit and stops after 2.00 s. ${untold}`],
    ]);
  });

  it.each<[string, Handmade, string]>([
    ['it never ran', {}, 'not measured'],
    ['the supply did not hold', { supplyHolds: false }, 'not tested, the supply did not hold'],
    ['it was not made', { segments: [] }, 'not tested, this throw was not made'],
    [
      'it was cut short',
      { segments: [segmentOf(FORWARD, { brief: true })] },
      'not tested, the throw was cut short',
    ],
    [
      'some of its current was lost',
      { segments: [segmentOf(FORWARD, { lost: { motorCurrentA: 0.01 } })] },
      'not tested, samples were lost',
    ],
  ])('is not failed where %s', (why, made, words) => {
    const read: Handmade['read'] = why === 'it never ran' ? [] : [[FORWARD, { runningCurrentA: 4 }]];
    expect(told(asked({ read, ...made }))).toEqual([
      ['limit-stop-forward', 'not-tested', `Forward: time to its limit ${words}.`],
    ]);
  });

  it('is not judged by its time on a supply that did not hold', () => {
    const read: Handmade['read'] = [[FORWARD, { stopsAfterS: 0.9, runningCurrentA: 4 }]];
    expect(asked({ read, supplyHolds: false })[0]?.outcome).toBe('not-tested');
  });

  it('of a drive without limits is not asked about', () => {
    expect(asked({ good: [[REVERSE, { runningCurrentA: 4 }]] })).toEqual([]);
  });
});
