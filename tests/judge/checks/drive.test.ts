// While a throw is held: which way the motor is driven, which lead returns, what the way drops. The master key of lead
// states and the voltage that a dead lead may have (1.0 V) are those of workshop terminal tables; 0.25 V in the feed and
// 0.15 V in the ground above clean wiring are common practice between published 0.1, 0.2 and 0.3 V.

import { describe, expect, it } from 'vitest';
import { checkOf } from '../../../host/judge/check.js';
import { driveChecks, isPolarity } from '../../../host/judge/checks/drive.js';
import {
  checkNamed,
  contextOf,
  FORWARD,
  type GoodAt,
  type Handmade,
  proportional,
  REVERSE,
  type Reads,
  segmentOf,
  shipped,
  told,
} from '../handmade.js';

const polarityOf = (nominal: number, made: Handmade & { reads?: Reads }) => {
  const checks = driveChecks(
    contextOf({
      throws: [FORWARD],
      good: [[FORWARD, { motorVoltageV: nominal }]],
      read: [[FORWARD, made.reads ?? {}]],
      ...made,
    }),
  );
  return { checks, polarity: checkNamed(checks, 'polarity-forward') };
};

describe('a throw that drives lead A positive', () => {
  it('passes from half of the voltage of a good unit, and has lead B return', () => {
    const { checks } = polarityOf(11, {
      reads: { motorVoltageV: [10.6, 0.1], leadBVoltageV: [0.2, 0.03], supplyVoltageV: 12 },
    });
    expect(told(checks)).toEqual([
      [
        'polarity-forward',
        'pass',
        'Forward: motor voltage, lead A against lead B, 10.60 ± 0.10 V (at least 5.50 V).',
      ],
      [
        'return-lead-forward',
        'pass',
        'Forward: lead B carries the return and stands at 0.20 ± 0.03 V (at most 6.00 V).',
      ],
    ]);
    for (const check of checks)
      expect(check).toMatchObject({ throw: FORWARD, origin: 'model', of: 'harness', required: true });
    expect(checks[0]).toMatchObject({ lower: 5.5 });
    expect(checks[0]?.upper).toBeUndefined();
    expect(checks[1]).toMatchObject({ upper: 6 });
  });

  it('is held to what a good unit would get from this supply', () => {
    const good: GoodAt = [FORWARD, { motorVoltageV: { nominal: 11, curve: proportional(11, 12) } }];
    const { polarity } = polarityOf(11, { good: [good], reads: { motorVoltageV: 7, supplyVoltageV: 15 } });
    expect(polarity.lower).toBeCloseTo(11 * (15 / 12) * 0.5, 9);
  });

  it('fails when lead B stands at the feed', () => {
    const { checks } = polarityOf(11, {
      reads: { motorVoltageV: 0, leadBVoltageV: [11.8, 0.03], supplyVoltageV: 12 },
    });
    expect(checkNamed(checks, 'return-lead-forward')).toMatchObject({
      outcome: 'fail',
      sentence:
        'Forward: lead B carries the return and stands at 11.80 ± 0.03 V (at most 6.00 V). Lead B should be the one joined to ground.',
    });
  });

  it('takes the nominal supply where none was read', () => {
    const { checks } = polarityOf(11, { reads: { leadBVoltageV: 5 } });
    expect(checkNamed(checks, 'return-lead-forward').upper).toBe(6);
  });

  it('is not tested where nothing was read, and says why', () => {
    expect(told(polarityOf(11, {}).checks)).toEqual([
      ['polarity-forward', 'not-tested', 'Forward: motor voltage not measured.'],
      ['return-lead-forward', 'not-tested', 'Forward: return on lead B not measured.'],
    ]);
    const cut = polarityOf(11, { segments: [segmentOf(FORWARD, { brief: true })] });
    expect(cut.polarity.sentence).toContain('not tested, the throw was cut short');
  });
});

describe('a throw that drives lead A negative', () => {
  it('passes up to half of the voltage of a good unit, and has lead A return', () => {
    const { checks } = polarityOf(-11, {
      reads: { motorVoltageV: [-10.6, 0.1], leadAVoltageV: [0.2, 0.03], supplyVoltageV: 10 },
    });
    expect(told(checks)).toEqual([
      [
        'polarity-forward',
        'pass',
        'Forward: motor voltage, lead A against lead B, -10.60 ± 0.10 V (at most -5.50 V).',
      ],
      [
        'return-lead-forward',
        'pass',
        'Forward: lead A carries the return and stands at 0.20 ± 0.03 V (at most 5.00 V).',
      ],
    ]);
    expect(checks[0]?.lower).toBeUndefined();
  });
  it('says that lead A should be the one at ground', () => {
    const { checks } = polarityOf(-11, { reads: { leadAVoltageV: 11 } });
    expect(checkNamed(checks, 'return-lead-forward').sentence).toContain(
      'Lead A should be the one joined to ground.',
    );
  });
});

describe('a throw that this circuit does not have', () => {
  it('leaves less than 1 V between the leads', () => {
    for (const nominal of [0.02, -0.9, 0.9]) {
      const { checks } = polarityOf(nominal, { reads: { motorVoltageV: [0.3, 0.05], leadBVoltageV: 0 } });
      expect(told(checks)).toEqual([
        [
          'polarity-forward',
          'pass',
          'Forward: this circuit drives nothing that way; motor voltage 0.30 ± 0.05 V (expected -1.00 to 1.00 V).',
        ],
      ]);
      expect(checks[0]).toMatchObject({ throw: FORWARD, origin: 'model', lower: -1, upper: 1 });
    }
  });
  it('is one from 1 V on', () => {
    expect(polarityOf(1, { reads: { motorVoltageV: 0.8 } }).checks).toHaveLength(2);
    expect(polarityOf(-1, { reads: { motorVoltageV: -0.8 } }).checks).toHaveLength(2);
  });
});

describe('what lead states tell, of a supply of 10 V', () => {
  const hint = (reads: Reads, nominal = 9): string => {
    const { polarity } = polarityOf(nominal, { reads: { supplyVoltageV: 10, ...reads } });
    expect(polarity.outcome).toBe('fail');
    return polarity.sentence.replace(/^.*\)\.\s?/, '');
  };
  const OTHER_WAY = 'It is driven the other way round.';
  const BOTH_AT_FEED =
    'Both leads stand at the feed: the return path is open, or both sides are joined to the feed.';
  const NO_VOLTAGE = 'The motor does not get its voltage.';
  const SHORT = 'Both leads stand at ground while the feed is drained: a short.';
  const NOTHING = 'Both leads stand at ground: nothing feeds this throw.';

  it.each<[string, Reads, string]>([
    ['driven the other way', { motorVoltageV: -9, leadAVoltageV: 0.2, leadBVoltageV: 9.2 }, OTHER_WAY],
    ['the other way with the leads unread', { motorVoltageV: -9 }, OTHER_WAY],
    [
      'the other way by half of the supply only',
      { motorVoltageV: -5, leadAVoltageV: 0, leadBVoltageV: 5 },
      NO_VOLTAGE,
    ],
    ['the right way, but not by half', { motorVoltageV: 4, leadAVoltageV: 4, leadBVoltageV: 0 }, NO_VOLTAGE],
    [
      'the right way, by more than half of a low supply',
      { supplyVoltageV: 6, motorVoltageV: 4, leadAVoltageV: 4, leadBVoltageV: 0 },
      NO_VOLTAGE,
    ],
    ['both leads at the feed', { motorVoltageV: 0, leadAVoltageV: 9.9, leadBVoltageV: 9.8 }, BOTH_AT_FEED],
    [
      'one lead at four fifths of the feed',
      { motorVoltageV: 1, leadAVoltageV: 9, leadBVoltageV: 8 },
      NO_VOLTAGE,
    ],
    ['one lead at the feed alone', { motorVoltageV: 1, leadAVoltageV: 9, leadBVoltageV: 5 }, NO_VOLTAGE],
    ['a lead that is not dead', { motorVoltageV: 1, leadAVoltageV: 1, leadBVoltageV: 0 }, NO_VOLTAGE],
    ['both dead', { motorVoltageV: 0, leadAVoltageV: 0.9, leadBVoltageV: 0.9 }, NOTHING],
    [
      'both dead, a little current',
      { motorVoltageV: 0, leadAVoltageV: 0, leadBVoltageV: 0, feedCurrentA: 0.5 },
      NOTHING,
    ],
    [
      'both dead, the feed drained',
      { motorVoltageV: 0, leadAVoltageV: 0, leadBVoltageV: 0, feedCurrentA: 0.6 },
      SHORT,
    ],
    ['lead A unread', { motorVoltageV: 0, leadBVoltageV: 0 }, ''],
    ['lead B unread', { motorVoltageV: 0, leadAVoltageV: 0 }, ''],
  ])('%s', (_, reads, words) => {
    expect(hint(reads)).toBe(words);
  });

  it('is mirrored for the other way', () => {
    expect(hint({ motorVoltageV: 9, leadAVoltageV: 9, leadBVoltageV: 0 }, -9)).toBe(OTHER_WAY);
    expect(hint({ motorVoltageV: -4, leadAVoltageV: 0, leadBVoltageV: 4 }, -9)).toBe(NO_VOLTAGE);
  });

  it('is measured against the nominal supply where none was read', () => {
    const reads = (volts: number): Reads => ({
      motorVoltageV: 0,
      leadAVoltageV: volts,
      leadBVoltageV: volts,
    });
    const sentence = (volts: number) => polarityOf(9, { reads: reads(volts) }).polarity.sentence;
    expect(sentence(9.7)).toContain(BOTH_AT_FEED);
    expect(sentence(9.5)).toContain(NO_VOLTAGE);
  });
});

describe('drops on the way', () => {
  const GOOD: GoodAt = [
    FORWARD,
    {
      feedResistanceOhm: { nominal: 0.02, upper: 0.03 },
      groundResistanceOhm: { nominal: 0.01, upper: 0.02 },
    },
  ];
  const READS: Reads = {
    runningCurrentA: [5, 0.05],
    feedDropV: [0.3, 0.04],
    feedResistanceOhm: [0.06, 0.004],
    groundDropV: [0.5, 0.04],
    groundResistanceOhm: [0.1, 0.004],
  };
  const asked = (reads: Reads, made: Handmade = {}) =>
    driveChecks(contextOf({ throws: [FORWARD], good: [GOOD], read: [[FORWARD, reads]], ...made }));
  const HARNESS = { unit: shipped('relay-pair-harness-load') };

  it('may be what clean wiring drops at this current, and an allowance', () => {
    const [feed, ground, ...more] = asked(READS);
    expect(more).toEqual([]);
    expect(feed).toMatchObject({
      id: 'feed-drop-forward',
      throw: FORWARD,
      of: 'harness',
      origin: 'generic',
      outcome: 'pass',
      sentence: 'Forward: from the supply to the driven lead drops 0.30 ± 0.04 V (at most 0.40 V).',
    });
    expect(feed?.upper).toBeCloseTo(0.03 * 5 + 0.25, 12);
    expect(feed?.inOhms).toEqual({
      ...{ valueOhm: 0.06, expandedUncertaintyOhm: 0.004, atCurrentA: 5 },
      upperOhm: expect.closeTo(0.08, 12),
    });
    expect(ground).toMatchObject({
      id: 'ground-drop-forward',
      outcome: 'fail',
      sentence:
        'Forward: from the return lead to ground drops 0.50 ± 0.04 V (at most 0.25 V). That is 100 mΩ at 5.0 A (at most 50 mΩ).',
    });
    expect(ground?.upper).toBeCloseTo(0.02 * 5 + 0.15, 12);
  });

  it('have ranks of their own: ground before feed', () => {
    const ranks = asked(READS).map(({ kind }) => kind.rank);
    expect(ranks).toEqual([120, 110]);
  });

  it('are not told in ohms where those were not read', () => {
    const { groundResistanceOhm: _, ...reads } = READS;
    expect(asked(reads)[1]).not.toHaveProperty('inOhms');
    expect(asked(reads)[1]?.sentence).toBe(
      'Forward: from the return lead to ground drops 0.50 ± 0.04 V (at most 0.25 V).',
    );
  });

  it('are asked only where the way is known', () => {
    expect(asked(READS, { good: [[FORWARD, { feedResistanceOhm: 0.02 }]] }).map(({ id }) => id)).toEqual([
      'feed-drop-forward',
    ]);
  });

  it('are not tested without a current, or on a supply that did not hold', () => {
    const { runningCurrentA: _, ...still } = READS;
    expect(told(asked(still))[0]).toEqual([
      'feed-drop-forward',
      'not-tested',
      'Forward: drop from the supply to the driven lead not tested, no current to load it.',
    ]);
    expect(told(asked(READS, { supplyHolds: false }))[1]).toEqual([
      'ground-drop-forward',
      'not-tested',
      'Forward: drop from the return lead to ground not tested, the supply did not hold.',
    ]);
  });

  it('of a harness alone are told in the units that an electrician writes down, passed or not', () => {
    expect(told(asked(READS, HARNESS))).toEqual([
      [
        'feed-drop-forward',
        'pass',
        'Forward: from the supply to the driven lead drops 300 ± 40 mV (at most 400 mV). That is 60 ± 4 mΩ at 5.0 A (at most 80 mΩ).',
      ],
      [
        'ground-drop-forward',
        'fail',
        'Forward: from the return lead to ground drops 500 ± 40 mV (at most 250 mV). That is 100 ± 4 mΩ at 5.0 A (at most 50 mΩ).',
      ],
    ]);
  });

  it('of a harness alone are told once, close or not', () => {
    const close = (volts: number) => asked({ ...READS, feedDropV: [volts, 0.04] }, HARNESS)[0];
    const ohms = ' That is 60 ± 4 mΩ at 5.0 A (at most 80 mΩ).';
    expect(close(0.39)).toMatchObject({
      outcome: 'conditional-pass',
      sentence: `Forward: from the supply to the driven lead drops 390 ± 40 mV (at most 400 mV, too close to the limit to be sure).${ohms}`,
    });
    expect(close(0.41)).toMatchObject({
      outcome: 'conditional-fail',
      sentence: `Forward: from the supply to the driven lead drops 410 ± 40 mV (at most 400 mV, too close to the limit to be sure).${ohms}`,
    });
  });

  it('of a harness alone keep their sentence where nothing was read', () => {
    const { feedDropV: _, ...reads } = READS;
    expect(asked(reads, HARNESS)[0]?.sentence).toBe(
      'Forward: drop from the supply to the driven lead not measured.',
    );
    const { feedResistanceOhm: __, ...without } = READS;
    expect(asked(without, HARNESS)[0]?.sentence).toBe(
      'Forward: from the supply to the driven lead drops 300 ± 40 mV (at most 400 mV).',
    );
  });
});

it('every throw is asked, and polarity is known from the rest', () => {
  const good: GoodAt[] = [
    [FORWARD, { motorVoltageV: 11, feedResistanceOhm: 0.02 }],
    [REVERSE, { motorVoltageV: -11 }],
  ];
  const checks = driveChecks(contextOf({ good }));
  expect(checks.map((check) => [check.id, isPolarity(check)])).toEqual([
    ['polarity-forward', true],
    ['return-lead-forward', false],
    ['feed-drop-forward', false],
    ['polarity-reverse', true],
    ['return-lead-reverse', false],
  ]);
  expect(isPolarity(checkOf({ id: 'any', of: 'harness', rank: 1 }, { sentence: '', outcome: 'pass' }))).toBe(
    false,
  );
});
