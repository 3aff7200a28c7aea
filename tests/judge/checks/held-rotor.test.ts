// A plan that holds the rotor: the held current, and a protector that opens from cold within 4 to 90 s (published of
// window and seat motors) or within what the profile says.

import { describe, expect, it } from 'vitest';
import type { Capture } from '../../../host/capture/index.js';
import { checkOf } from '../../../host/judge/check.js';
import {
  heldRotorChecks,
  isProtector,
  TESTED_WARM,
  withoutTurning,
} from '../../../host/judge/checks/held-rotor.js';
import { releaseChecks } from '../../../host/judge/checks/release.js';
import type { CheckKind } from '../../../host/judge/index.js';
import type { ResolvedUnit } from '../../../host/profile/index.js';
import {
  captureOf,
  checkNamed,
  contextOf,
  FORWARD,
  type GoodAt,
  type Handmade,
  type Piece,
  REVERSE,
  segmentOf,
  shipped,
  shippedPlan,
  told,
} from '../handmade.js';

const PAIR = shipped('entry-step-relays');
const plan = shippedPlan('hold-the-rotor');
const HELD: ResolvedUnit = { ...PAIR, plan };
const protectedBy = (protector: { opensFromS: number; opensToS: number }, unit = HELD): ResolvedUnit => ({
  ...unit,
  motor: { ...unit.motor, origin: 'maker', protector },
});
const OWN = { opensFromS: 4, opensToS: 40 };

/** Ten samples a second, two amperes; gone after `openS`. */
const hold = (durationS: number, openS = Number.POSITIVE_INFINITY): Piece => ({
  position: 'forward',
  durationS,
  channels: { motorCurrentA: (atS) => (atS < openS ? 15 : 0) },
});
const rest: Piece = { position: 'rest', durationS: 1 };
const whole = (...pieces: Piece[]): Capture => captureOf([rest, ...pieces, rest], 10);

const asked = (made: Handmade = {}) => heldRotorChecks(contextOf({ unit: HELD, ...made }));
const WAS_HELD: Handmade['read'] = [[FORWARD, { heldRotorCurrentA: 16 }]];

describe('the held current', () => {
  const GOOD: GoodAt = [FORWARD, { heldRotorCurrentA: { nominal: 16, lower: 13, upper: 19 } }];
  const current = (made: Handmade) => checkNamed(asked({ good: [GOOD], ...made }), 'held-current-forward');

  it('is held to what the model gives a good motor', () => {
    expect(current({ read: [[FORWARD, { heldRotorCurrentA: [15.5, 0.2] }]] })).toMatchObject({
      throw: FORWARD,
      of: 'motor',
      origin: PAIR.motor.origin,
      outcome: 'pass',
      lower: 13,
      upper: 19,
      sentence: 'Forward, rotor held: the current stands at 15.50 ± 0.20 A (expected 13.00 to 19.00 A).',
    });
  });

  it('says what too much and too little mean', () => {
    expect(current({ read: [[FORWARD, { heldRotorCurrentA: 25 }]] }).sentence).toContain(
      'Too little: brushes, winding or wiring; too much: turns in the armature are shorted.',
    );
  });

  it('need not be below zero', () => {
    const good: GoodAt = [FORWARD, { heldRotorCurrentA: { nominal: 1, lower: -1, upper: 3 } }];
    expect(current({ good: [good], read: WAS_HELD }).lower).toBe(0);
  });

  it.each<[string, Handmade, string]>([
    ['the rotor turned', { read: [[FORWARD, { settleS: 0.1 }]] }, 'not tested, the rotor turned'],
    ['nothing was read', {}, 'not measured'],
    ['it was not made', { segments: [] }, 'not tested, this throw was not made'],
    [
      'the supply did not hold',
      { read: WAS_HELD, supplyHolds: false },
      'not tested, the supply did not hold',
    ],
  ])('is not tested where %s', (_, made, why) => {
    expect(told([current(made)])).toEqual([
      ['held-current-forward', 'not-tested', `Forward: held-rotor current ${why}.`],
    ]);
  });

  it('is not asked where nothing is known of it, or by a plan that holds no rotor', () => {
    expect(asked().map(({ id }) => id)).toEqual(['protector']);
    expect(asked({ good: [GOOD], unit: PAIR })).toEqual([]);
  });
});

describe('a protector that no rotor was held for', () => {
  it('is told as not tested, where the profile tells of one', () => {
    expect(asked({ unit: protectedBy(OWN, PAIR) })).toMatchObject([
      {
        id: 'protector',
        of: 'motor',
        required: false,
        origin: 'maker',
        outcome: 'not-tested',
        sentence: 'Protector: not tested, the rotor was not held.',
      },
    ]);
  });
  it('is not told of where the profile tells of none, or a load hangs in the motor’s place', () => {
    expect(asked({ unit: PAIR })).toEqual([]);
    expect(asked({ unit: protectedBy(OWN, shipped('relay-pair-harness-load')) })).toEqual([]);
  });
});

describe('a protector that opens', () => {
  const opening = (openS: number, unit = protectedBy(OWN)) =>
    checkNamed(asked({ unit, whole: whole(hold(openS + 1, openS)) }), 'protector');

  it('within the profile’s limits passes', () => {
    const check = opening(12);
    expect(check).toMatchObject({
      of: 'motor',
      required: true,
      origin: 'maker',
      outcome: 'pass',
      lower: 4,
      upper: 40,
      unit: 's',
      sentence: 'Held, the protector opens after 12.00 ± 0.20 s (expected 4.00 to 40.00 s).',
    });
    expect(check.value).toBeCloseTo(12, 9);
    // One sample of a tenth of a second, by the normal coverage factor.
    expect(check.expandedUncertainty).toBeCloseTo(0.196, 3);
  });

  it('sooner or later fails and says what that means', () => {
    const hint = 'Too soon: it opens in use; too late: it no longer protects. Both are a new motor.';
    for (const openS of [2, 45])
      expect(opening(openS)).toMatchObject({ outcome: 'fail', sentence: expect.stringContaining(hint) });
  });

  // 4 to 90 s: published of window and seat motors.
  it.each([
    [3, 'fail'],
    [5, 'pass'],
    [89, 'pass'],
    [92, 'fail'],
  ] as const)('after %i s is held to published times where the profile has none: %s', (openS, outcome) => {
    expect(opening(openS, HELD)).toMatchObject({
      outcome,
      required: false,
      origin: 'published',
      lower: 4,
      upper: 90,
    });
  });

  it('in a later hold may open sooner by the holds before it', () => {
    const check = checkNamed(
      asked({ unit: protectedBy(OWN), whole: whole(hold(3), rest, hold(3), rest, hold(9, 8)) }),
      'protector',
    );
    expect(check.sentence).toBe(
      'Held, after 5.8 s held before, the protector opens after 8.00 ± 0.20 s (expected 0.00 to 40.00 s).',
    );
    const one = checkNamed(
      asked({ unit: protectedBy(OWN), whole: whole(hold(2), rest, hold(9, 8)) }),
      'protector',
    );
    expect(one.lower).toBeCloseTo(4 - 1.9, 9);
  });
});

describe('a protector that does not open', () => {
  const standing = (heldS: number, made: Handmade = {}) =>
    checkNamed(
      asked({ unit: protectedBy(OWN), whole: whole(hold(heldS)), read: WAS_HELD, ...made }),
      'protector',
    );

  it('fails when it was held for longer than it may take', () => {
    expect(standing(41)).toMatchObject({
      outcome: 'fail',
      required: true,
      origin: 'maker',
      sentence: 'Held for 41 s, the protector does not open (expected within 40 s).',
    });
  });

  it('is not tested when it was held for as long or less', () => {
    expect(told([standing(20)])).toEqual([
      [
        'protector',
        'not-tested',
        'Protector: not tested, held for 19.9 s, and protectors open in 4 to 40 s.',
      ],
    ]);
    const atTheLimit = protectedBy({ opensFromS: 4, opensToS: 40 });
    expect(standing(40.1, { unit: atTheLimit }).outcome).toBe('not-tested');
  });

  it('is told by the longest of the holds', () => {
    expect(standing(1, { whole: whole(hold(2), rest, hold(7), rest, hold(3)) }).sentence).toContain(
      'held for 6.9 s',
    );
  });

  it('is not tested where no rotor was held', () => {
    expect(standing(50, { read: [] })).toMatchObject({
      outcome: 'not-tested',
      sentence: 'Protector: not tested, the rotor was not held.',
    });
  });

  it('is not tested without a single throw', () => {
    expect(standing(1, { whole: whole() }).sentence).toContain('held for 0.0 s');
  });

  it('is asked of nobody without a profile of it', () => {
    expect(standing(20, { unit: HELD })).toMatchObject({
      required: false,
      origin: 'published',
      sentence: 'Protector: not tested, held for 19.9 s, and protectors open in 4 to 90 s.',
    });
  });

  it('counts as held where any throw shows a held rotor', () => {
    expect(standing(41, { read: [[REVERSE, { heldRotorCurrentA: 16 }]] }).outcome).toBe('fail');
  });
});

describe('a run on a motor that a held rotor has warmed', () => {
  it('carries the mark of it, and is not held up by it', () => {
    const note = `${TESTED_WARM} 90 s after a held rotor.`;
    const checks = asked({ unit: PAIR, whole: { ...whole(), notes: ['Resampled.', note] } });
    expect(checks).toMatchObject([
      {
        id: 'tested-warm',
        of: 'motor',
        required: false,
        outcome: 'not-tested',
        origin: 'published',
        sentence: `${note} A warm motor draws less at the start and more when it runs: repeat it cold.`,
      },
    ]);
  });
  it('is none without that note', () => {
    expect(asked({ unit: PAIR, whole: { ...whole(), notes: ['Resampled.'] } })).toEqual([]);
  });
  it('is named in words', () => expect(TESTED_WARM).toBe('Tested warm:'));
});

describe('of a run that holds the rotor', () => {
  const kind = (more: Partial<CheckKind>): CheckKind => ({ id: 'any', of: 'motor', rank: 1, ...more });
  const turning = checkOf(kind({ isOfTurning: true }), { sentence: '', outcome: 'fail' });
  const still = checkOf(kind({}), { sentence: '', outcome: 'fail', throw: FORWARD });
  const throws = [FORWARD, REVERSE].map((of) => ({ of, release: 'brake-ground' as const }));
  const segments = [
    segmentOf(FORWARD, { release: 'still' }),
    segmentOf(REVERSE, { release: 'brake-ground' }),
  ];
  const releases = releaseChecks(contextOf({ throws, segments }));
  const left = (made: Handmade) =>
    withoutTurning(contextOf({ unit: HELD, throws, ...made }), [turning, still, ...releases]);

  it('only what a standing motor shows is asked', () => {
    expect(left({ whole: whole(hold(1), rest, hold(1)) })).toEqual([still, ...releases]);
  });

  it('no release is asked of a throw whose current its protector had ended', () => {
    expect(left({ whole: whole(hold(3, 2), rest, hold(1)) })).toEqual([still, releases[1]]);
    expect(left({ whole: whole(hold(1), rest, hold(3, 2)) })).toEqual([still, releases[0]]);
  });

  it('a release of no throw stays', () => {
    const [release] = releases;
    const { throw: _, ...unthrown } = release!;
    const context = contextOf({ unit: HELD, throws, whole: whole(hold(3, 2)) });
    expect(withoutTurning(context, [unthrown])).toEqual([unthrown]);
  });

  it('all is asked where the plan holds none', () => {
    expect(left({ unit: PAIR, whole: whole(hold(3, 2)) })).toEqual([turning, still, ...releases]);
  });
});

it('the check of a protector is known from others', () => {
  expect(asked().map(isProtector)).toEqual([true]);
  expect(isProtector(checkOf({ id: 'any', of: 'motor', rank: 1 }, { sentence: '', outcome: 'pass' }))).toBe(
    false,
  );
});
