// Ripples of one turn and the speed that they tell. That a shaft may swing the current once a turn by twice a ripple is
// common practice, no source.

import { describe, expect, it } from 'vitest';
import { rippleChecks } from '../../../host/judge/checks/ripple.js';
import type { ResolvedUnit } from '../../../host/profile/index.js';
import {
  contextOf,
  FORWARD,
  type GoodAt,
  type Handmade,
  REVERSE,
  type Reads,
  shipped,
  told,
} from '../handmade.js';

const LIFT = shipped('window-lift-switch');
const EVEN: Reads = {
  speedRpm: [3200, 20],
  ripplesMissingPerTurn: 0,
  ripplesDeepPerTurn: 0,
  rippleAmplitudeA: [0.2, 0.01],
  shaftRateAmplitudeA: [0.1, 0.01],
};
const GOOD: GoodAt = [FORWARD, { speedRpm: { nominal: 3200, lower: 2700, upper: 3800 } }];
const asked = (reads: Reads, made: Handmade = {}) =>
  rippleChecks(contextOf({ unit: LIFT, throws: [FORWARD], read: [[FORWARD, reads]], ...made }));

describe('ripples of a turn', () => {
  it('that are even pass', () => {
    const [check, ...more] = asked(EVEN);
    expect(more).toEqual([]);
    expect(check).toMatchObject({
      id: 'ripple-forward',
      throw: FORWARD,
      of: 'motor',
      required: true,
      outcome: 'pass',
      sentence: 'Forward: all ripples of a turn are even.',
      value: 0,
      unit: '1',
      expandedUncertainty: 0,
      upper: 0,
    });
  });

  it.each([
    [1, 0, '1 missing'],
    [0, 2, '2 too deep'],
    [1, 2, '1 missing, 2 too deep'],
  ])('of which %i are missing and %i too deep fail', (missing, deep, words) => {
    const [check] = asked({
      ...EVEN,
      ripplesMissingPerTurn: missing,
      ripplesDeepPerTurn: deep,
      shaftRateAmplitudeA: 9,
    });
    expect(check).toMatchObject({
      outcome: 'fail',
      value: missing + deep,
      upper: 0,
      sentence: `Forward: of the ripples of a turn ${words}, at every turn: a segment or coil of the armature.`,
    });
  });

  it('that are even on a swing of more than two of them fail for the swing', () => {
    const [check] = asked({ ...EVEN, shaftRateAmplitudeA: [0.45, 0.01] });
    expect(check).toMatchObject({
      id: 'ripple-forward',
      throw: FORWARD,
      origin: 'generic',
      outcome: 'fail',
      value: 0.45,
      upper: 0.4,
      sentence:
        'Forward: once a turn the current swings by 450 ± 10 mA (at most 400 mA). A segment or coil of the armature carries less than the others.',
    });
  });

  it('are told as even while the swing may be of two of them by its uncertainty', () => {
    expect(asked({ ...EVEN, shaftRateAmplitudeA: [0.45, 0.06] })[0]?.outcome).toBe('pass');
    // On the edge, exact in binary.
    const edge: Reads = { ...EVEN, rippleAmplitudeA: 0.25, shaftRateAmplitudeA: [0.625, 0.125] };
    expect(asked(edge)[0]?.sentence).toBe('Forward: all ripples of a turn are even.');
  });

  it('within the noise are not tested, and nobody waits for them', () => {
    const { speedRpm: _, ...reads } = EVEN;
    expect(asked(reads)).toMatchObject([
      {
        id: 'ripple-forward',
        throw: FORWARD,
        required: false,
        outcome: 'not-tested',
        sentence: 'Forward: commutation ripple not tested, it does not stand clear of the noise.',
      },
    ]);
  });

  it.each([
    'ripplesMissingPerTurn',
    'ripplesDeepPerTurn',
    'rippleAmplitudeA',
    'shaftRateAmplitudeA',
  ] as const)('are not tested for evenness without %s', (what) => {
    const { [what]: _, ...reads } = EVEN;
    expect(told(asked(reads, { good: [GOOD] }))).toEqual([
      [
        'ripple-forward',
        'not-tested',
        'Forward: evenness of the ripples of a turn not tested, it does not stand clear of the noise.',
      ],
      [
        'ripple-speed-forward',
        'pass',
        'Forward: by its ripple the motor runs at 3200 ± 20 rpm (expected 2700 to 3800 rpm).',
      ],
    ]);
  });
});

describe('the speed that they tell', () => {
  const speed = (reads: Reads, made: Handmade = {}) =>
    asked({ ...EVEN, ...reads }, { good: [GOOD], ...made })[1];

  it('is held to what the model gives a good motor', () => {
    expect(speed({})).toMatchObject({
      id: 'ripple-speed-forward',
      throw: FORWARD,
      of: 'motor',
      origin: LIFT.motor.origin,
      outcome: 'pass',
      lower: 2700,
      upper: 3800,
    });
    expect(speed({ speedRpm: [4000, 20] })).toMatchObject({
      outcome: 'fail',
      sentence:
        'Forward: by its ripple the motor runs at 4000 ± 20 rpm (expected 2700 to 3800 rpm). Too fast: weak magnets; too slow: load, or volts lost on the way.',
    });
  });

  it('need not be below zero', () => {
    const good: GoodAt = [FORWARD, { speedRpm: { nominal: 100, lower: -50, upper: 300 } }];
    expect(speed({}, { good: [good] })?.lower).toBe(0);
  });

  it('is not tested on a supply that did not hold', () => {
    expect(speed({}, { supplyHolds: false })).toMatchObject({
      outcome: 'not-tested',
      sentence: 'Forward: speed by the ripple not tested, the supply did not hold.',
    });
  });

  it('is not asked where nothing is known of it', () => expect(asked(EVEN)).toHaveLength(1));
});

describe('ripple is asked about', () => {
  const ids = (unit: ResolvedUnit) => asked(EVEN, { unit }).length;
  it('in every throw', () => {
    const read: Handmade['read'] = [
      [FORWARD, EVEN],
      [REVERSE, EVEN],
    ];
    expect(asked({}, { throws: [FORWARD, REVERSE], read }).map(({ id }) => id)).toEqual([
      'ripple-forward',
      'ripple-reverse',
    ]);
  });
  it('only where the profile tells segments', () => {
    const { ripple: _, ...motor } = LIFT.motor;
    expect(ids({ ...LIFT, motor })).toBe(0);
  });
  it('of no harness', () => {
    expect(ids({ ...LIFT, unit: { ...LIFT.unit, subject: 'harness' } })).toBe(0);
    expect(ids({ ...LIFT, unit: { ...LIFT.unit, subject: 'motor' } })).toBe(1);
  });
});
