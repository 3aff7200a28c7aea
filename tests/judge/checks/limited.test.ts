// A short seen with the limited feed. Numbers by Ohm's law on the reference rig: 12 Ohm limiter, 0.07 Ohm from supply to
// terminals, trip at 30 A, 0.3 V lost in the brushes; 13 V over 30 A are 0.433 Ohm at the least.

import { describe, expect, it } from 'vitest';
import { checkOf } from '../../../host/judge/check.js';
import { limitedChecks, withoutUntried } from '../../../host/judge/checks/limited.js';
import { runChecks } from '../../../host/judge/checks/run.js';
import type { Check } from '../../../host/judge/index.js';
import { LIMITED_REST } from '../../../host/measure/index.js';
import {
  contextOf,
  FORWARD,
  type Handmade,
  LIMITED_FORWARD,
  LIMITED_REVERSE,
  type ReadAt,
  type Reads,
  segmentOf,
  told,
} from '../handmade.js';

/** Leads that stand at `leadV` under 1.05 A. */
const reads = (leadV: number, u = 0.01): Reads => ({
  supplyVoltageV: 13,
  feedCurrentA: [1.05, 0.01],
  leadAVoltageV: [leadV, u],
  leadBVoltageV: 0,
});
/** Of the stretches that are read. */
const asked = (read: readonly ReadAt[], made: Handmade = {}) =>
  limitedChecks(contextOf({ read, segments: read.flatMap(([of]) => (of ? [segmentOf(of)] : [])), ...made }));

describe('a run with the limited feed', () => {
  it('whose least stretch leaves enough passes, and names it', () => {
    const [check, ...more] = asked([
      [LIMITED_FORWARD, reads(0.9)],
      [LIMITED_REVERSE, reads(0.8)],
    ]);
    expect(more).toEqual([]);
    // (0.8 - 0.3) / 1.05 + 0.07; at least (13 + 0.04 x 1.05) / 30.
    expect(check).toMatchObject({
      id: 'limited-feed-short',
      of: 'unit',
      required: true,
      outcome: 'pass',
      unit: 'Ohm',
      sentence:
        'With the limited feed nothing is shorted; least reverse: 546 ± 10 mΩ from feed to ground (a good unit at least 435 mΩ).',
    });
    expect(check?.value).toBeCloseTo(0.07 + 0.5 / 1.05, 9);
    expect(check?.lower).toBeCloseTo((13 + 0.04 * 1.05) / 30, 9);
    expect(check?.kind.rank).toBe(0);
  });

  it('is told by the stretch that is nearest to its own limit, not by the least of all', () => {
    // By hand: forward 0.07 + 0.5 / 1.05 = 0.546 of at least 0.435 Ohm; reverse, on 11 V and 0.88 A, 0.525 of 0.368.
    const low: Reads = {
      supplyVoltageV: 11,
      feedCurrentA: [0.88, 0.01],
      leadAVoltageV: 0.7,
      leadBVoltageV: 0,
    };
    const [check] = asked([
      [LIMITED_REVERSE, low],
      [LIMITED_FORWARD, reads(0.8)],
    ]);
    expect(check?.sentence).toContain('least forward: 546');
  });

  it('keeps the first of two stretches that leave as much', () => {
    const same: ReadAt[] = [
      [LIMITED_FORWARD, reads(0.8)],
      [LIMITED_REVERSE, reads(0.8)],
    ];
    expect(asked(same)[0]?.sentence).toContain('least forward');
  });

  it('that leaves less is a short, and the full feed was kept off', () => {
    const [check] = asked([
      [LIMITED_FORWARD, reads(0.35)],
      [LIMITED_REVERSE, reads(0.9)],
    ]);
    expect(check).toMatchObject({
      outcome: 'fail',
      sentence:
        'Short found with the limited feed, forward: 118 ± 9 mΩ from feed to ground (a good unit at least 435 mΩ); full feed was never applied.',
    });
    // Half of 0.01 V and of 0.01 A, by the normal coverage factor.
    const u = Math.hypot(0.005 / 1.05, (0.005 * (0.05 / 1.05)) / 1.05);
    expect(check?.expandedUncertainty).toBeCloseTo(1.96 * u, 6);
  });

  it('that leaves less is a short, where another bench applied the full feed all the same', () => {
    const segments = [LIMITED_FORWARD, FORWARD].map((of) => segmentOf(of));
    const [check] = asked([[LIMITED_FORWARD, reads(0.35)]], { segments });
    expect(check?.sentence).toBe(
      'Short found with the limited feed, forward: 118 ± 9 mΩ from feed to ground (a good unit at least 435 mΩ).',
    );
  });

  it('that leaves enough by less than its uncertainty passes closely', () => {
    const [check] = asked([[LIMITED_FORWARD, reads(0.72, 0.1)]]);
    expect(check?.outcome).toBe('conditional-pass');
    // Below by less than its uncertainty is no short either: the full feed with its trip decides.
    expect(asked([[LIMITED_FORWARD, reads(0.65, 0.1)]])[0]?.outcome).toBe('conditional-pass');
  });

  it('of too little current for a short passes without a number', () => {
    const [check] = asked([[LIMITED_FORWARD, { ...reads(0), feedCurrentA: [0.4, 0.01] }]]);
    expect(told([check!])).toEqual([
      ['limited-feed-short', 'pass', 'With the limited feed nothing is shorted.'],
    ]);
    expect(check).toMatchObject({ required: true });
    expect(check?.value).toBeUndefined();
  });

  it('is told by the stretch that has a number, whichever comes first', () => {
    const none: Reads = { ...reads(0), feedCurrentA: [0.4, 0.01] };
    const sentences = [
      [none, reads(0.8)],
      [reads(0.8), none],
    ].map(
      ([forward, reverse]) =>
        asked([
          [LIMITED_FORWARD, forward!],
          [LIMITED_REVERSE, reverse!],
        ])[0]?.sentence,
    );
    expect(sentences[0]).toContain('least reverse: 546');
    expect(sentences[1]).toContain('least forward: 546');
  });

  it('without a feed current is not tested, and nobody waits for it', () => {
    const { feedCurrentA: _, ...leads } = reads(0.9);
    const [check] = asked([[LIMITED_FORWARD, leads]]);
    expect(check).toMatchObject({
      required: false,
      outcome: 'not-tested',
      sentence: 'Short with the limited feed: not tested, feed current or leads were not read.',
    });
  });

  it('is told in words at rest', () => {
    expect(asked([[LIMITED_REST, reads(0.35)]])[0]?.sentence).toContain('limited feed, at rest: ');
  });

  it('that never was gives no check', () => {
    expect(asked([[FORWARD, reads(0.35)]])).toEqual([]);
  });
});

describe('leads that were not read', () => {
  const { leadBVoltageV: _, ...oneLead } = reads(0.35);
  it('acquit nobody: a current as large as a short’s is not tested', () => {
    expect(asked([[LIMITED_FORWARD, oneLead]])[0]).toMatchObject({
      required: false,
      outcome: 'not-tested',
      sentence: 'Short with the limited feed: not tested, feed current or leads were not read.',
    });
  });
  it('of one stretch acquit it no more where another was read', () => {
    expect(
      asked([
        [LIMITED_FORWARD, reads(0.9)],
        [LIMITED_REVERSE, oneLead],
      ])[0]?.outcome,
    ).toBe('not-tested');
  });
  it('are not needed where too little flows for a short', () => {
    expect(asked([[LIMITED_FORWARD, { ...oneLead, feedCurrentA: [0.4, 0.01] }]])[0]?.outcome).toBe('pass');
  });
  it('hide no short that another stretch shows', () => {
    expect(
      asked([
        [LIMITED_FORWARD, oneLead],
        [LIMITED_REVERSE, reads(0.35)],
      ])[0]?.outcome,
    ).toBe('fail');
  });
});

describe('a run that a short kept from the full feed', () => {
  const any = (outcome: Check['outcome']) =>
    checkOf({ id: 'any', of: 'unit', rank: 1 }, { sentence: '', outcome });
  const others = [any('pass'), any('not-tested'), any('fail')];
  const plan = runChecks(contextOf({ stop: 'limited-feed-short' })).filter(({ kind }) => kind.isAlwaysTold);
  const withShort = (leadV: number) => [...asked([[LIMITED_FORWARD, reads(leadV)]]), ...others, ...plan];

  it('is told without what could not be tried for that reason, but for its plan', () => {
    const checks = withShort(0.35);
    expect(plan.map(({ id, outcome }) => [id, outcome])).toEqual([['plan-complete', 'not-tested']]);
    expect(withoutUntried(checks)).toEqual(checks.filter((check) => check !== others[1]));
  });
  it('is told whole where there was no short', () => {
    const checks = withShort(0.9);
    expect(withoutUntried(checks)).toEqual(checks);
  });
  it('is told whole where something else failed', () => expect(withoutUntried(others)).toEqual(others));
});
