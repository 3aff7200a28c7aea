// What a run is asked by what is being judged, from checks made by hand: nothing of the rig's wiring of a motor alone,
// nothing of motor or load of a harness. That plug and test leads leave 10 % open is common practice, no source.

import { describe, expect, it } from 'vitest';
import { checkOf } from '../../host/judge/check.js';
import { currentChecks } from '../../host/judge/checks/currents.js';
import type { Check, CheckKind } from '../../host/judge/index.js';
import { forSubject } from '../../host/judge/subject.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { checkNamed, contextOf, FORWARD, type Handmade, REVERSE, type Reads, shipped } from './handmade.js';

const check = (of: Check['of'], outcome: Check['outcome'], more: Partial<CheckKind> = {}): Check =>
  checkOf({ id: `${of}-${outcome}`, of, rank: 1, ...more }, { outcome, sentence: `Of ${of}.` });

describe('a harness with its motor', () => {
  it('is asked everything', () => {
    const checks = [check('harness', 'fail'), check('motor', 'pass')];
    expect(forSubject(contextOf(), checks)).toEqual(checks);
  });
});

describe('a motor alone', () => {
  const alone = (checks: readonly Check[], stop?: string) =>
    forSubject(
      contextOf({ unit: shipped('entry-step-alone'), ...(stop === undefined ? {} : { stop }) }),
      checks,
    );
  const RIG =
    "Of harness. That is the rig's own wiring, not the motor: look at the links, the stand-in and its fuse, then repeat.";
  const NOTHING = 'It proves nothing before the rig is right.';

  it('is asked everything while no harness is accused', () => {
    const checks = [check('motor', 'fail'), check('harness', 'pass'), check('harness', 'conditional-fail')];
    expect(alone(checks)).toEqual(checks);
  });

  it('is not accused on a rig whose own wiring is at fault, nor is it passed', () => {
    const [harness, motor, unit, passed, rig, supply, good] = alone([
      check('harness', 'fail'),
      check('motor', 'fail'),
      check('unit', 'fail'),
      check('motor', 'pass'),
      check('rig', 'fail'),
      check('supply', 'pass'),
      check('harness', 'pass'),
    ]);
    expect(harness).toMatchObject({ outcome: 'not-tested', sentence: RIG });
    expect(motor).toMatchObject({ outcome: 'not-tested', sentence: `Of motor. ${NOTHING}` });
    expect(unit).toMatchObject({ outcome: 'not-tested', sentence: `Of unit. ${NOTHING}` });
    expect(passed).toMatchObject({ outcome: 'not-tested', sentence: `Of motor. ${NOTHING}` });
    expect(rig).toEqual(check('rig', 'fail'));
    expect(supply).toEqual(check('supply', 'pass'));
    expect(good).toEqual(check('harness', 'pass'));
  });

  it('keeps the words of what was not tested anyway', () => {
    const [, untested] = alone([check('harness', 'fail'), check('motor', 'not-tested')]);
    expect(untested).toEqual(check('motor', 'not-tested'));
  });

  it('that ended in a short is accused: that pulls every lead down', () => {
    const checks = [check('harness', 'fail'), check('motor', 'fail')];
    expect(alone(checks, 'over-current')).toEqual(checks);
    expect(alone(checks, 'stop-loop')[0]?.outcome).toBe('not-tested');
  });

  it('that ended in a short is not accused for what stood wrong before anything was thrown', () => {
    const checks = [
      check('harness', 'fail', { isAtRest: true }),
      check('harness', 'fail'),
      check('motor', 'fail'),
    ];
    const outcomes = alone(checks, 'over-current').map(({ outcome }) => outcome);
    expect(outcomes).toEqual(['not-tested', 'fail', 'not-tested']);
  });

  it('is accused of what a check of the harness found to be its own', () => {
    const kind: CheckKind = { id: 'any', of: 'harness', rank: 1 };
    const own = checkOf(kind, { of: 'motor', outcome: 'fail', sentence: '' });
    expect(alone([own])).toEqual([own]);
  });
});

describe('a harness alone', () => {
  const ON_LOAD = shipped('relay-pair-harness-load');
  const { load: _, ...withoutLoad } = ON_LOAD;
  const BARE: ResolvedUnit = withoutLoad;
  const asked = (checks: readonly Check[], unit = ON_LOAD, made: Handmade = {}) =>
    forSubject(contextOf({ unit, ...made }), checks);

  it('is asked nothing of the motor, and says so', () => {
    const harness = check('harness', 'fail');
    const [first, last, ...more] = asked([check('motor', 'fail'), harness]);
    expect(more).toEqual([]);
    expect(first).toBe(harness);
    expect(last).toMatchObject({
      id: 'motor-not-asked',
      of: 'motor',
      required: false,
      outcome: 'not-tested',
      sentence:
        'A known load stands in for the motor: start, running current, coasting and braking are not asked.',
    });
    expect(asked([], BARE)[0]?.sentence).toBe(
      'Only the harness is judged: start and running current of the motor are not asked.',
    );
  });

  it('is asked what a check of the whole unit says', () => {
    const unit = check('unit', 'fail');
    expect(asked([unit])[0]).toBe(unit);
  });

  describe('through which the current drops out', () => {
    const drops = (motor: number, harness: number) =>
      currentChecks(
        contextOf({
          throws: [FORWARD],
          good: [[FORWARD, { motorVoltageV: 11, dropoutsMotorSide: 0 }]],
          read: [[FORWARD, { dropoutsMotorSide: motor, dropoutsHarnessSide: harness }]],
        }),
      );

    it('with the leads at their voltage is not to blame: the plug is, and neither is judged', () => {
      const sentence = (what: string) =>
        `Forward: the current drops out 2 times while the leads keep their voltage: it is lost in ${what}. Make that fast and repeat.`;
      expect(checkNamed(asked(drops(2, 0)), 'dropouts-forward')).toMatchObject({
        outcome: 'not-tested',
        value: 2,
        sentence: sentence("the load's plug"),
      });
      expect(checkNamed(asked(drops(2, 0), BARE), 'dropouts-forward').sentence).toBe(
        sentence('the motor or its plug'),
      );
    });

    it('with a lead that loses its voltage is to blame', () => {
      const own = drops(0, 2);
      expect(asked(own)[0]).toBe(own[0]);
    });

    it('is told without a count where none was kept', () => {
      const [dropouts] = drops(1, 0);
      const { value: __, ...uncounted } = dropouts!;
      expect(asked([uncounted])[0]?.sentence).toContain('the current drops out 0 times');
      const { throw: ___, ...nowhere } = dropouts!;
      expect(asked([nowhere])[0]).toBe(nowhere);
    });
  });

  it('keeps a check that found the motor, where it is no dropout', () => {
    const found = checkOf(
      { id: 'any', of: 'unit', rank: 1 },
      { throw: FORWARD, of: 'motor', outcome: 'fail', sentence: '' },
    );
    expect(asked([found])[0]).toBe(found);
  });

  describe('on its load of 2 Ohm, 3 %', () => {
    const good: Handmade['good'] = [[FORWARD, { motorVoltageV: 11 }]];
    const loads = (reads: Reads, unit = ON_LOAD, made: Handmade = {}) =>
      asked([], unit, { throws: [FORWARD], good, read: [[FORWARD, reads]], ...made }).filter(
        ({ kind }) => kind.id === 'load',
      );

    it('reads what hangs there by its volts and amperes', () => {
      const [load, ...more] = loads({ motorVoltageV: [11, 0.1], motorCurrentA: [5.5, 0.05] });
      expect(more).toEqual([]);
      expect(load).toMatchObject({
        id: 'load-forward',
        throw: FORWARD,
        of: 'rig',
        origin: 'generic',
        outcome: 'pass',
        required: true,
        unit: 'Ohm',
        value: 2,
        // 3 % and 10 % of 2 Ohm.
        lower: expect.closeTo(1.74, 9),
        upper: expect.closeTo(2.26, 9),
        sentence: 'Forward: the load reads 2.000 ± 0.025 Ω (expected 1.74 to 2.26 Ω).',
      });
      // By hand: 0.05 V and 0.025 A of 11 V and 5.5 A are 0.4545 % each, root of both, times 2 Ohm and 1.96.
      expect(load?.expandedUncertainty).toBeCloseTo(1.96 * 2 * Math.hypot(0.05 / 11, 0.025 / 5.5), 6);
    });

    it('takes both ways for the same resistance', () => {
      expect(loads({ motorVoltageV: -11, motorCurrentA: -5.5 })[0]).toMatchObject({
        value: 2,
        outcome: 'pass',
      });
    });

    it('is not judged on another one, and says what to do', () => {
      expect(loads({ motorVoltageV: [11, 0.05], motorCurrentA: [2.75, 0.01] })[0]).toMatchObject({
        outcome: 'not-tested',
        value: 4,
        sentence:
          'Forward: the load reads 4.000 ± 0.023 Ω (expected 1.74 to 2.26 Ω). Join Dummy load of 2 Ohm, or name the load that hangs there in the profile.',
      });
    });

    it('is judged on one that is just inside, and not on one that is just outside', () => {
      const near = (ohm: number) => loads({ motorVoltageV: [11, 0.2], motorCurrentA: 11 / ohm })[0]?.outcome;
      expect(near(2.25)).toBe('conditional-pass');
      expect(near(2.27)).toBe('not-tested');
    });

    it('is not judged on none at all', () => {
      const [load] = loads({ motorVoltageV: [11, 0.1], motorCurrentA: [0.15, 0.05] });
      expect(load).toMatchObject({
        outcome: 'not-tested',
        sentence:
          'Forward: the load takes no current (expected 1.74 to 2.26 Ω). Join Dummy load of 2 Ohm, or name the load that hangs there in the profile.',
      });
      for (const key of ['value', 'unit', 'lower', 'upper', 'expandedUncertainty'])
        expect(load).not.toHaveProperty(key);
      expect(loads({ motorVoltageV: [11, 0.1], motorCurrentA: [-0.16, 0.05] })[0]?.value).toBeDefined();
    });

    it('of which the profile states no tolerance may be 10 % off', () => {
      const unit: ResolvedUnit = { ...ON_LOAD, load: { ...ON_LOAD.load!, resistanceOhm: 2 } };
      expect(loads({ motorVoltageV: 11, motorCurrentA: 5.5 }, unit)[0]).toMatchObject({
        lower: expect.closeTo(1.8, 9),
        upper: expect.closeTo(2.2, 9),
      });
    });

    it.each<[string, Reads, Handmade]>([
      [
        'the throw drives nothing',
        { motorVoltageV: 11, motorCurrentA: 5.5 },
        { good: [[FORWARD, { motorVoltageV: 1.9 }]] },
      ],
      ['nothing is known of the throw', { motorVoltageV: 11, motorCurrentA: 5.5 }, { good: [] }],
      ['too little stands across it', { motorVoltageV: 1.9, motorCurrentA: 1 }, {}],
      ['its voltage was not read', { motorCurrentA: 5.5 }, {}],
      ['its current was not read', { motorVoltageV: 11 }, {}],
    ])('says nothing of it where %s', (_, reads, made) => expect(loads(reads, ON_LOAD, made)).toEqual([]));

    it('asks from 2 V on, either way', () => {
      const at = (volts: number) =>
        loads({ motorVoltageV: volts, motorCurrentA: volts / 2 }, ON_LOAD, {
          good: [[FORWARD, { motorVoltageV: volts }]],
        });
      expect(at(2)).toHaveLength(1);
      expect(at(-2)).toHaveLength(1);
    });

    it('is asked in every throw', () => {
      const throws = [FORWARD, REVERSE];
      const both: Handmade = {
        throws,
        good: throws.map((of) => [of, { motorVoltageV: 11 }] as const),
        read: throws.map((of) => [of, { motorVoltageV: 11, motorCurrentA: 5.5 }] as const),
      };
      expect(loads({}, ON_LOAD, both).map(({ id }) => id)).toEqual(['load-forward', 'load-reverse']);
    });

    it('is none where a motor hangs there', () => {
      expect(loads({ motorVoltageV: 11, motorCurrentA: 5.5 }, BARE)).toEqual([]);
    });
  });
});
