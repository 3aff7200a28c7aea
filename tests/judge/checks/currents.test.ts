// Inrush, running current, run-up, coils, dropouts and symmetry of each throw. Least widths (2 %, 10 %, 0.25 A), the idle
// coil (10 mA) and the longest loss that hides no dropout (5 ms) are common practice, no source.

import { describe, expect, it } from 'vitest';
import { checkOf } from '../../../host/judge/check.js';
import { currentChecks, isDropouts } from '../../../host/judge/checks/currents.js';
import {
  checkNamed,
  contextOf,
  FORWARD,
  type GoodAt,
  type Handmade,
  REVERSE,
  type Reads,
  segmentOf,
  shipped,
  told,
  WHOLE,
} from '../handmade.js';

const ORIGIN = shipped('entry-step-relays').motor.origin;
const DRIVEN: GoodAt = [FORWARD, { motorVoltageV: 11 }];
const asked = (made: Handmade) => currentChecks(contextOf({ throws: [FORWARD], ...made }));

describe('currents and times of a start', () => {
  const good: GoodAt = [
    FORWARD,
    {
      motorVoltageV: 11,
      inrushPeakA: { nominal: 16, lower: 13, upper: 20 },
      runningCurrentA: { nominal: 4.5, lower: 3.2, upper: 6.4 },
      settleS: { nominal: 0.1, lower: 0.07, upper: 0.14 },
    },
  ];

  it('are held to what the model gives a good unit, and come from the motor’s numbers', () => {
    const checks = asked({
      good: [good],
      read: [[FORWARD, { inrushPeakA: [16.5, 0.2], runningCurrentA: [4.1, 0.05], settleS: [0.11, 0.005] }]],
    });
    expect(told(checks)).toEqual([
      ['inrush-forward', 'pass', 'Forward: inrush peaks at 16.50 ± 0.20 A (expected 13.00 to 20.00 A).'],
      ['running-forward', 'pass', 'Forward: runs at 4.10 ± 0.05 A (expected 3.20 to 6.40 A).'],
      ['settling-forward', 'pass', 'Forward: is up to speed after 110 ± 5 ms (expected 70 to 140 ms).'],
    ]);
    for (const check of checks) expect(check).toMatchObject({ throw: FORWARD, of: 'motor', origin: ORIGIN });
  });

  it('fail outside', () => {
    const checks = asked({
      good: [good],
      read: [[FORWARD, { inrushPeakA: [9.96, 0.1], runningCurrentA: 7 }]],
    });
    expect(checks.map(({ outcome }) => outcome)).toEqual(['fail', 'fail', 'not-tested']);
  });

  it('are not tested on a supply that did not hold', () => {
    const [inrush] = asked({ good: [good], read: [[FORWARD, { inrushPeakA: 9 }]], supplyHolds: false });
    expect(inrush).toMatchObject({
      outcome: 'not-tested',
      sentence: 'Forward: inrush peak not tested, the supply did not hold.',
    });
  });

  it('are never held tighter than 2 % either way', () => {
    const tight: GoodAt = [FORWARD, { runningCurrentA: { nominal: 4, lower: 3.99, upper: 4.01 } }];
    const [check] = asked({ good: [DRIVEN, tight], read: [[FORWARD, { runningCurrentA: 4 }]] });
    expect(check?.lower).toBeCloseTo(3.92, 12);
    expect(check?.upper).toBeCloseTo(4.08, 12);
  });

  it('keep limits that are wider than that', () => {
    const [check] = asked({ good: [good], read: [[FORWARD, { inrushPeakA: 16 }]] });
    expect(check).toMatchObject({ lower: 13, upper: 20 });
  });

  it('need not be below zero', () => {
    const around: GoodAt = [FORWARD, { runningCurrentA: { nominal: 0.1, lower: -0.2, upper: 0.4 } }];
    expect(asked({ good: [DRIVEN, around], read: [[FORWARD, { runningCurrentA: 0 }]] })[0]).toMatchObject({
      lower: 0,
      upper: 0.4,
    });
  });

  it('of a negative nominal are still widened outwards', () => {
    const below: GoodAt = [FORWARD, { runningCurrentA: -4 }];
    const [check] = asked({ good: [DRIVEN, below], read: [[FORWARD, { runningCurrentA: 0 }]] });
    expect(check?.upper).toBeCloseTo(-3.92, 12);
  });
});

describe('a throw through which the motor gets less than half of the supply', () => {
  it('is asked nothing of its currents', () => {
    const good = (motorVoltageV: number): GoodAt[] => [
      [FORWARD, { motorVoltageV, runningCurrentA: 4, dropoutsMotorSide: 0 }],
    ];
    expect(asked({ good: good(5.9) })).toEqual([]);
    expect(asked({ good: good(-5.9) })).toEqual([]);
    expect(asked({ good: good(6) })).toHaveLength(2);
    expect(asked({ good: good(-6) })).toHaveLength(2);
  });
  it('is asked where nothing is known of its voltage', () => {
    expect(asked({ good: [[FORWARD, { runningCurrentA: 4 }]] })).toHaveLength(1);
  });
});

describe('the coil of a throw', () => {
  const coils = (forwardA: number, reverseA: number): GoodAt[] => [
    [FORWARD, { coilCurrentA: { nominal: forwardA, lower: forwardA - 0.02, upper: forwardA + 0.02 } }],
    [REVERSE, { coilCurrentA: { nominal: reverseA, lower: reverseA - 0.02, upper: reverseA + 0.02 } }],
  ];
  const coil = (good: readonly GoodAt[], reads: Reads, made: Handmade = {}) =>
    currentChecks(contextOf({ good, read: [[FORWARD, reads]], ...made })).filter(
      ({ throw: of }) => of === FORWARD,
    );

  it('draws what a good one draws', () => {
    const [check, ...more] = coil(coils(0.14, 0.14), { coilCurrentA: [0.141, 0.002] });
    expect(more).toEqual([]);
    expect(check).toMatchObject({
      id: 'coil-current-forward',
      of: 'relay',
      origin: ORIGIN,
      outcome: 'pass',
      sentence: 'Forward: the relay coil draws 141.0 ± 2.0 mA (expected 120 to 160 mA).',
    });
  });

  it('that is idle in this throw draws no more than a resting one, either way', () => {
    const [check] = coil(coils(0, 0.14), { coilCurrentA: [-0.15, 0.002] });
    expect(check).toMatchObject({
      id: 'coil-current-forward',
      throw: FORWARD,
      value: 0.15,
      upper: 0.01,
      origin: 'generic',
      outcome: 'fail',
      sentence: 'Forward: the relay coil draws 150.0 ± 2.0 mA (at most 10 mA).',
    });
    expect(check?.lower).toBeUndefined();
  });

  it('is idle up to 10 mA', () => {
    expect(coil(coils(0.01, 0.14), { coilCurrentA: 0.02 })[0]).toMatchObject({ upper: 0.01 });
    expect(coil(coils(0.011, 0.14), { coilCurrentA: 0.02 })[0]).toMatchObject({ upper: 0.031 });
  });

  it('that is idle and was not read is not tested', () => {
    expect(told(coil(coils(0, 0.14), {}))).toEqual([
      ['coil-current-forward', 'not-tested', 'Forward: coil current not measured.'],
    ]);
  });

  it('is not asked about where no throw uses one, or nothing is known of this one', () => {
    expect(coil(coils(0, 0), { coilCurrentA: 0.2 })).toEqual([]);
    expect(coil([[REVERSE, { coilCurrentA: 0.14 }]], { coilCurrentA: 0.2 })).toEqual([]);
  });
});

describe('dropouts', () => {
  const good: GoodAt[] = [[FORWARD, { motorVoltageV: 11, dropoutsMotorSide: 0 }]];
  const drops = (reads: Reads, made: Handmade = {}) =>
    checkNamed(asked({ good, read: [[FORWARD, reads]], ...made }), 'dropouts-forward');

  it('that are none pass, and accuse nobody', () => {
    expect(drops({ dropoutsMotorSide: 0, dropoutsHarnessSide: 0 })).toMatchObject({
      outcome: 'pass',
      of: 'unit',
      throw: FORWARD,
      sentence: 'Forward: the current never drops out.',
      value: 0,
      unit: '1',
      expandedUncertainty: 0,
      upper: 0,
      origin: 'generic',
    });
  });

  const MOTOR = 'the leads keep their voltage, so it is lost inside the motor: brushes';
  const HARNESS = 'a lead loses its voltage too, so it is lost in the harness';
  it.each([
    [1, 0, 'motor', `Forward: the current drops out 1 time; ${MOTOR}.`],
    [5, 2, 'motor', `Forward: the current drops out 7 times; ${MOTOR}.`],
    [2, 2, 'motor', `Forward: the current drops out 4 times; ${MOTOR}.`],
    [1, 3, 'harness', `Forward: the current drops out 4 times; ${HARNESS}.`],
    [0, 1, 'harness', `Forward: the current drops out 1 time; ${HARNESS}.`],
  ] as const)('%i inside the motor and %i in the harness are the %s’s', (motor, harness, of, sentence) => {
    expect(drops({ dropoutsMotorSide: motor, dropoutsHarnessSide: harness })).toMatchObject({
      outcome: 'fail',
      of,
      sentence,
      value: motor + harness,
    });
  });

  it('are not told of a current within the noise, and nobody waits for them', () => {
    expect(drops({ runningCurrentA: 0.1 })).toMatchObject({
      outcome: 'not-tested',
      required: false,
      throw: FORWARD,
      sentence: 'Forward: dropouts cannot be seen, the running current is within the noise.',
    });
  });

  it('are not told where the throw gave nothing, and the verdict waits', () => {
    expect(drops({}, { segments: [] })).toMatchObject({
      outcome: 'not-tested',
      required: true,
      sentence: 'Forward: dropouts not tested, this throw was not made.',
    });
    for (const reads of [{ dropoutsMotorSide: 1 }, { dropoutsHarnessSide: 1 }])
      expect(drops(reads).outcome).toBe('not-tested');
  });

  it('may hide where 5 ms of the current were lost', () => {
    const of = (lostPart: number) =>
      segmentOf(FORWARD, { fromS: 1, toS: 2, lost: { motorCurrentA: lostPart } });
    const none = { dropoutsMotorSide: 0, dropoutsHarnessSide: 0 };
    expect(drops(none, { segments: [of(0.006)] })).toMatchObject({
      outcome: 'not-tested',
      required: true,
      sentence: 'Forward: dropouts not tested, 6 ms of the current were lost.',
    });
    expect(drops(none, { segments: [of(0.005)] }).outcome).toBe('pass');
    // What was seen all the same counts.
    expect(drops({ dropoutsMotorSide: 1, dropoutsHarnessSide: 0 }, { segments: [of(0.1)] }).outcome).toBe(
      'fail',
    );
    // Of a longer throw the same part is more.
    const long = segmentOf(FORWARD, { fromS: 1, toS: 4, lost: { motorCurrentA: 0.003 } });
    expect(drops(none, { segments: [long] }).sentence).toContain('9 ms');
    // Another channel's loss hides none.
    const leads = segmentOf(FORWARD, { lost: { leadAVoltageV: 0.5 } });
    expect(drops(none, { segments: [leads] }).outcome).toBe('pass');
  });

  it('pass without a segment that tells of losses', () => {
    expect(drops({ dropoutsMotorSide: 0, dropoutsHarnessSide: 0 }, { segments: [] }).outcome).toBe('pass');
  });

  it('are asked only where a good unit shows that it has none', () => {
    expect(
      asked({ good: [DRIVEN], read: [[FORWARD, { dropoutsMotorSide: 3, dropoutsHarnessSide: 0 }]] }),
    ).toEqual([]);
  });

  it('are known from other checks', () => {
    expect(isDropouts(drops({}))).toBe(true);
    const other = checkOf({ id: 'any', of: 'unit', rank: 1 }, { sentence: '', outcome: 'pass' });
    expect(isDropouts(other)).toBe(false);
  });
});

describe('symmetry', () => {
  const asymmetry = (nominal: number, lower = nominal, upper = nominal): GoodAt => [
    WHOLE,
    { runningAsymmetryPercent: { nominal, lower, upper } },
  ];
  const WAYS: GoodAt[] = [
    [FORWARD, { motorVoltageV: 11 }],
    [REVERSE, { motorVoltageV: -11 }],
  ];
  const symmetry = (
    { forwardA, reverseA, percent }: { forwardA?: number; reverseA?: number; percent?: number },
    made: Handmade = {},
  ) =>
    currentChecks(
      contextOf({
        good: [...WAYS, asymmetry(0, -5, 5)],
        read: [
          [FORWARD, forwardA === undefined ? {} : { runningCurrentA: forwardA }],
          [REVERSE, reverseA === undefined ? {} : { runningCurrentA: reverseA }],
          [WHOLE, percent === undefined ? {} : { runningAsymmetryPercent: [percent, 1] }],
        ],
        ...made,
      }),
    );

  it('allows 10 % either way', () => {
    const [check, ...more] = symmetry({ forwardA: 4, reverseA: 4, percent: 8 });
    expect(more).toEqual([]);
    expect(check).toMatchObject({
      id: 'symmetry',
      of: 'motor',
      origin: ORIGIN,
      lower: -10,
      upper: 10,
      outcome: 'pass',
      sentence: 'Running forward it draws 8.0 ± 1.0 % more than in reverse (at most 10.0 % apart).',
    });
    expect(check?.throw).toBeUndefined();
    expect(symmetry({ forwardA: 4, reverseA: 4, percent: -12 })[0]?.outcome).toBe('fail');
  });

  it('says so where current flows one way only', () => {
    expect(symmetry({ forwardA: 0, reverseA: 4, percent: -200 })[0]).toMatchObject({
      outcome: 'fail',
      sentence: 'Current flows one way only: reverse, and next to none in forward.',
    });
    expect(symmetry({ forwardA: 4, reverseA: 4.4, percent: -9.5 })[0]?.sentence).toMatch(
      /9\.5 ± 1\.0 % less than in reverse/,
    );
  });

  it('allows a quarter of an ampere of the mean of both', () => {
    // 0.25 A of a mean of 1.25 A.
    expect(symmetry({ forwardA: 1, reverseA: 1.5, percent: 0 })[0]).toMatchObject({ lower: -20, upper: 20 });
  });

  it('allows what good motors show', () => {
    const wide = (lower: number, upper: number) =>
      symmetry({ forwardA: 4, reverseA: 4, percent: 0 }, { good: [...WAYS, asymmetry(0, lower, upper)] })[0];
    expect(wide(-15, 5)).toMatchObject({ lower: -15, upper: 15 });
    expect(wide(-5, 16)).toMatchObject({ lower: -16, upper: 16 });
    expect(wide(12, 17)).toMatchObject({ lower: -17, upper: 17 });
  });

  it('allows 10 % where no current was read', () => {
    expect(symmetry({ percent: 3 })[0]).toMatchObject({ lower: -10, upper: 10 });
    expect(symmetry({ forwardA: 0, reverseA: 0, percent: 3 })[0]).toMatchObject({ lower: -10, upper: 10 });
    expect(symmetry({ forwardA: -1, reverseA: -1, percent: 3 })[0]).toMatchObject({ lower: -10, upper: 10 });
  });

  it('is not tested where both ways did not run, or the supply did not hold', () => {
    expect(told(symmetry({ forwardA: 4 }))).toEqual([
      [
        'symmetry',
        'not-tested',
        'Running current forward against reverse not tested, both directions must run.',
      ],
    ]);
    expect(symmetry({ forwardA: 4, reverseA: 4, percent: 3 }, { supplyHolds: false })[0]?.outcome).toBe(
      'not-tested',
    );
  });

  it.each<[string, GoodAt[]]>([
    ['nothing is known of it', WAYS],
    ['the circuit drives one way only', [[FORWARD, { motorVoltageV: 11 }], asymmetry(0)]],
    [
      'both throws drive the same way',
      [[FORWARD, { motorVoltageV: 11 }], [REVERSE, { motorVoltageV: 11 }], asymmetry(0)],
    ],
    [
      'one way gets less than half of the supply',
      [[FORWARD, { motorVoltageV: 11 }], [REVERSE, { motorVoltageV: -2 }], asymmetry(0)],
    ],
    [
      'the other way gets less than half of the supply',
      [[FORWARD, { motorVoltageV: 2 }], [REVERSE, { motorVoltageV: -11 }], asymmetry(0)],
    ],
  ])('is not asked where %s', (_, good) => {
    expect(symmetry({ forwardA: 4, reverseA: 4, percent: 30 }, { good })).toEqual([]);
  });
});
