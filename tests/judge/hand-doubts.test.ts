// What a hand at the switch may have done, from readings made by hand: the other way, once or both times, or nothing.
// What a throw moves at the least is as the bench itself watches for it; the shares are choices of the program.

import { describe, expect, it } from 'vitest';
import { findingsForHand, forHand } from '../../host/judge/by-hand.js';
import { checkOf } from '../../host/judge/check.js';
import { driveChecks } from '../../host/judge/checks/drive.js';
import type { Check, CheckKind, Finding } from '../../host/judge/index.js';
import { REST } from '../../host/measure/index.js';
import {
  checkNamed,
  contextOf,
  FORWARD,
  type GoodAt,
  type Handmade,
  LIMITED_FORWARD,
  LIMITED_REVERSE,
  REVERSE,
  type ReadAt,
  type Reads,
  shipped,
} from './handmade.js';

const BY_HAND = shipped('entry-step-by-hand');
const GOOD: GoodAt[] = [
  [FORWARD, { motorVoltageV: 11 }],
  [REVERSE, { motorVoltageV: -11 }],
];
/** As at rest. */
const STILL: Reads = {
  leadAVoltageV: 0,
  leadBVoltageV: 0,
  motorCurrentA: 0,
  feedCurrentA: 0,
  coilCurrentA: 0,
};
const AT_REST: ReadAt = [REST, STILL];
/** A throw with this voltage between leads of which the other one is on ground. */
const thrown = (of: typeof FORWARD, volts: number, more: Reads = {}): ReadAt => [
  of,
  { motorVoltageV: volts, leadAVoltageV: Math.max(0, volts), leadBVoltageV: Math.max(0, -volts), ...more },
];
const RIGHT: ReadAt[] = [AT_REST, thrown(FORWARD, 11), thrown(REVERSE, -11)];
const EXCHANGED: ReadAt[] = [AT_REST, thrown(FORWARD, -11), thrown(REVERSE, 11)];
const ONCE: ReadAt[] = [AT_REST, thrown(FORWARD, -11), thrown(REVERSE, -11)];
const NOT_THROWN: ReadAt[] = [AT_REST, thrown(FORWARD, 0, STILL), thrown(REVERSE, -11)];
const made = (read: readonly ReadAt[], more: Handmade = {}): Handmade => ({
  unit: BY_HAND,
  good: GOOD,
  read,
  ...more,
});

const kind = (more: Partial<CheckKind> = {}): CheckKind => ({ id: 'any', of: 'unit', rank: 1, ...more });
const failed = (thrown: typeof FORWARD | undefined, more: Partial<CheckKind> = {}): Check =>
  checkOf(kind(more), { throw: thrown, outcome: 'fail', sentence: 'It fails.' });
const outcomes = (run: Handmade, checks: readonly Check[]) =>
  forHand(contextOf(run), checks).map(({ outcome }) => outcome);
/** The check of polarity as the run's readings make it. */
const polarity = (run: Handmade, of: 'forward' | 'reverse') => {
  const context = contextOf(run);
  return checkNamed(forHand(context, driveChecks(context)), `polarity-${of}`);
};

const ALL = [
  failed(FORWARD),
  failed(FORWARD, { isOfWay: true }),
  failed(REVERSE),
  failed(REVERSE, { isOfWay: true }),
  failed(undefined),
  failed(undefined, { isOfWay: true }),
  failed(undefined, { comparesWays: true }),
];

describe('checks of a throw by hand', () => {
  it('stand where every throw went the right way', () => {
    expect(forHand(contextOf(made(RIGHT)), ALL)).toEqual(ALL);
  });

  it('stand where the rig threw, whatever they show', () => {
    const unit = shipped('entry-step-relays');
    for (const read of [EXCHANGED, NOT_THROWN])
      expect(forHand(contextOf(made(read, { unit })), ALL)).toEqual(ALL);
  });

  it('of the way are taken back where it went the other way', () => {
    expect(outcomes(made(EXCHANGED), ALL)).toEqual([
      'fail',
      'not-tested',
      'fail',
      'not-tested',
      'fail',
      'not-tested',
      'fail',
    ]);
  });

  it('of one way stand while the other one is in doubt', () => {
    expect(outcomes(made(ONCE), ALL)).toEqual([
      'fail',
      'not-tested',
      'fail',
      'fail',
      'fail',
      'not-tested',
      'fail',
    ]);
  });

  it('are all taken back of a throw that shows nothing, and what compares it with the other one', () => {
    expect(outcomes(made(NOT_THROWN), ALL)).toEqual([
      'not-tested',
      'not-tested',
      'fail',
      'fail',
      'fail',
      'not-tested',
      'not-tested',
    ]);
  });

  it('that compare both ways are taken back where one of them was not thrown, whatever the other did', () => {
    const both: ReadAt[] = [AT_REST, thrown(FORWARD, 0, STILL), thrown(REVERSE, 11)];
    expect(outcomes(made(both), [failed(undefined, { comparesWays: true })])).toEqual(['not-tested']);
  });

  it('keep their sentence when they are taken back', () => {
    const [check] = forHand(contextOf(made(NOT_THROWN)), [failed(FORWARD)]);
    expect(check).toEqual({ ...failed(FORWARD), outcome: 'not-tested' });
  });

  it('that did not fail stand', () => {
    const others = (['pass', 'conditional-pass', 'conditional-fail', 'not-tested'] as const).map(
      (outcome) => ({
        ...failed(FORWARD, { isOfWay: true }),
        outcome,
      }),
    );
    expect(forHand(contextOf(made(NOT_THROWN)), others)).toEqual(others);
  });
});

describe('what is told of a throw', () => {
  const OTHER_WAY = 'It is driven the other way round.';

  it('both of which went the other way', () => {
    for (const of of ['forward', 'reverse'] as const)
      expect(polarity(made(EXCHANGED), of)).toMatchObject({
        outcome: 'not-tested',
        sentence: expect.stringMatching(
          /It is driven the other way round\. Leads exchanged, or each time the other side of the switch was thrown: the readings are the same\.$/,
        ),
      });
  });

  it('one of which went the same way as the other', () => {
    expect(polarity(made(ONCE), 'forward').sentence).toMatch(
      /It is driven the other way round\. Both ways the same: a fault, or the same side of the switch was thrown both times\.$/,
    );
    expect(polarity(made(ONCE), 'reverse').outcome).toBe('pass');
  });

  it('that is the only one, and went the other way', () => {
    const only: Handmade = { ...made([AT_REST, thrown(FORWARD, -11)]), throws: [FORWARD] };
    expect(polarity(only, 'forward').sentence).toContain('Both ways the same');
  });

  it('that went the right way with the limited feed, so this time only', () => {
    const limited = (of: typeof LIMITED_FORWARD, currentA: number, read = EXCHANGED) =>
      polarity(
        made([...read, [of, { motorCurrentA: currentA }]]),
        of === LIMITED_FORWARD ? 'forward' : 'reverse',
      ).sentence;
    const once = `${OTHER_WAY} With the limited feed it went the right way, so this time the switch was thrown to the other side.`;
    expect(limited(LIMITED_FORWARD, 1)).toContain(once);
    expect(limited(LIMITED_REVERSE, -1)).toContain(once);
    // The other way then too, or next to nothing.
    for (const [of, currentA] of [
      [LIMITED_FORWARD, -1],
      [LIMITED_FORWARD, 0.3],
      [LIMITED_REVERSE, 1],
      [LIMITED_REVERSE, -0.3],
    ] as const)
      expect(limited(of, currentA)).not.toContain('With the limited feed');
    expect(limited(LIMITED_FORWARD, 0.31)).toContain('With the limited feed');
  });

  it('that shows nothing', () => {
    expect(polarity(made(NOT_THROWN), 'forward')).toMatchObject({
      outcome: 'not-tested',
      sentence:
        'Forward: nothing changed when the switch was to be thrown: it was not thrown, or nothing of it gets through to coil or leads.',
    });
  });

  it('that is driven by less than half is not the hand’s', () => {
    for (const [of, volts] of [
      [FORWARD, -5.4],
      [REVERSE, 5.4],
    ] as const)
      expect(
        polarity(made([AT_REST, thrown(of, volts)]), of === FORWARD ? 'forward' : 'reverse').outcome,
      ).toBe('fail');
    for (const [of, volts] of [
      [FORWARD, -5.6],
      [REVERSE, 5.6],
    ] as const)
      expect(
        polarity(made([AT_REST, thrown(of, volts)]), of === FORWARD ? 'forward' : 'reverse').outcome,
      ).toBe('not-tested');
  });
});

describe('a throw that is not doubted', () => {
  const doubts = (read: readonly ReadAt[], good = GOOD) =>
    outcomes(made(read, { good }), [failed(FORWARD, { isOfWay: true })])[0] === 'not-tested';

  it('drives nothing in a good unit either', () => {
    for (const motorVoltageV of [0.9, -0.9])
      expect(doubts(EXCHANGED, [[FORWARD, { motorVoltageV }]])).toBe(false);
    expect(doubts([AT_REST, thrown(FORWARD, -1)], [[FORWARD, { motorVoltageV: 1 }]])).toBe(true);
    expect(doubts([AT_REST, thrown(FORWARD, 1)], [[FORWARD, { motorVoltageV: -1 }]])).toBe(true);
  });
  it('is not known', () => expect(doubts(EXCHANGED, [])).toBe(false));
  it('was not read', () => expect(doubts([AT_REST])).toBe(false));

  it.each<[keyof typeof STILL, number]>([
    ['leadAVoltageV', 0.35],
    ['leadBVoltageV', 0.35],
    ['motorCurrentA', 0.3],
    ['feedCurrentA', 0.35],
    ['coilCurrentA', 0.02],
  ])('moved %s by more than %f', (what, least) => {
    const moved = (by: number): ReadAt[] => [
      [REST, STILL],
      [FORWARD, { motorVoltageV: 0, ...STILL, [what]: by }],
    ];
    expect(doubts(moved(least))).toBe(true);
    expect(doubts(moved(least + 0.001))).toBe(false);
    expect(doubts(moved(-least - 0.001))).toBe(false);
  });

  it('moved nothing of what rests high', () => {
    const high: Reads = { leadAVoltageV: 12, leadBVoltageV: 12 };
    expect(
      doubts([
        [REST, high],
        [FORWARD, { motorVoltageV: 0, ...high }],
      ]),
    ).toBe(true);
    expect(
      doubts([
        [REST, high],
        [FORWARD, { motorVoltageV: 0, leadAVoltageV: 0, leadBVoltageV: 0 }],
      ]),
    ).toBe(false);
  });

  it('moved, whatever else was not read', () => {
    expect(doubts([AT_REST, [FORWARD, { motorVoltageV: 0, leadAVoltageV: 9 }]])).toBe(false);
    expect(
      doubts([
        [REST, { coilCurrentA: 0 }],
        [FORWARD, { motorVoltageV: 0, ...STILL, coilCurrentA: 0.14 }],
      ]),
    ).toBe(false);
    expect(
      doubts([
        [REST, { coilCurrentA: 0 }],
        [FORWARD, { motorVoltageV: 0, ...STILL }],
      ]),
    ).toBe(true);
  });
});

describe('a throw whose rest was not read', () => {
  const told = (volts: number) => polarity(made([thrown(FORWARD, volts)]), 'forward');
  it('may not have been made while nothing stands between the leads', () => {
    expect(told(0).sentence).toContain('nothing changed when the switch was to be thrown');
    expect(told(0.9).outcome).toBe('not-tested');
    expect(told(-0.9).outcome).toBe('not-tested');
  });
  it('was made where something does', () => {
    expect(told(1).outcome).toBe('fail');
    expect(told(-1).outcome).toBe('fail');
    expect(told(-11).sentence).toContain('Both ways the same');
    const context = contextOf(made([thrown(FORWARD, 11)]));
    expect(forHand(context, ALL)).toEqual(ALL);
  });
});

describe('findings of a throw by hand', () => {
  const FOUND: Finding[] = [
    { id: 'leads', likelihood: 0.9, sentence: 'The leads are exchanged.', nextProbe: 'Measure there.' },
    { id: 'other', likelihood: 0.1, sentence: 'Another.', nextProbe: 'Look.' },
  ];
  const found = (read: readonly ReadAt[], findings: readonly Finding[] = FOUND, more: Handmade = {}) =>
    findingsForHand(contextOf(made(read, more)), findings);

  it('stand where no hand is doubted', () => {
    expect(found(RIGHT)).toEqual(FOUND);
    expect(found(EXCHANGED, FOUND, { unit: shipped('entry-step-relays') })).toEqual(FOUND);
    expect(found(EXCHANGED, [])).toEqual([]);
  });

  it('name the hand that threw the other way beside the first', () => {
    expect(found(EXCHANGED)).toEqual([
      {
        ...FOUND[0],
        sentence:
          'The leads are exchanged. These readings are the same when the switch was thrown to the other side.',
        nextProbe:
          'Look which side of the switch is which and throw again. If it reads the same: measure there.',
        inseparable: ['thrown-the-other-way'],
      },
      FOUND[1],
    ]);
  });

  it('name the hand that threw nothing', () => {
    expect(found(NOT_THROWN)[0]).toMatchObject({
      sentence: 'The leads are exchanged. These readings are the same when the switch was not thrown.',
      nextProbe:
        'Throw again, and hold it until you are told to let go. If it reads the same: measure there.',
      inseparable: ['not-thrown'],
    });
  });

  it('name the other way where both happened, beside those that are named already', () => {
    const both: ReadAt[] = [AT_REST, thrown(FORWARD, 0, STILL), thrown(REVERSE, 11)];
    const [first] = found(both, [{ ...FOUND[0]!, inseparable: ['plug'] }]);
    expect(first?.inseparable).toEqual(['plug', 'thrown-the-other-way']);
  });
});
