// The course of a run against a band made by hand: lead A and the motor's current, half a volt and half an ampere either
// way. That 5 % of the time is no edge any more, and 10 % surely none, is common practice, no source.

import { describe, expect, it } from 'vitest';
import type { Channel } from '../../../host/capture/index.js';
import { envelopeChecks } from '../../../host/judge/checks/envelope.js';
import { type Segment, StretchCount } from '../../../host/measure/index.js';
import type { ResolvedUnit } from '../../../host/profile/index.js';
import { captureOf, contextOf, type Handmade, type Piece, shipped, told } from '../handmade.js';

type Step = ResolvedUnit['plan']['steps'][number];
type Levels = Partial<Record<Channel, number>>;
interface Planned {
  step: Step;
  levels: Levels;
}
const step = (position: Step['position'], durationS: number, feed: Step['feed'] = 'full'): Step => ({
  position,
  durationS,
  feed,
});

const STILL: Levels = { leadAVoltageV: 0, leadBVoltageV: 0, motorCurrentA: 0 };
const FORWARDS: Levels = { leadAVoltageV: 12, leadBVoltageV: 0, motorCurrentA: 4 };
const BACKWARDS: Levels = { leadAVoltageV: 0, leadBVoltageV: 12, motorCurrentA: -4 };
const PLAN: readonly Planned[] = [
  { step: step('rest', 0.326), levels: STILL },
  { step: step('forward', 0.426), levels: FORWARDS },
  { step: step('rest', 0.426), levels: STILL },
  { step: step('reverse', 0.426), levels: BACKWARDS },
  { step: step('rest', 0.426), levels: STILL },
];
const LEAD_IN_S = 0.2;
const RATE_HZ = 1000;
const HALF = 0.5;

/** As planned, lead-in and all. */
const BAND_STEP_S = 0.002;
function bandOf(plan: readonly Planned[]): NonNullable<Handmade['band']> {
  const untilS = LEAD_IN_S + plan.reduce((sum, one) => sum + one.step.durationS, 0);
  const timeS = Float64Array.from({ length: Math.ceil(untilS / BAND_STEP_S) }, (_, i) => i * BAND_STEP_S);
  const levelAt = (channel: Channel, atS: number): number => {
    let endS = LEAD_IN_S;
    for (const one of plan) {
      endS += one.step.durationS;
      if (atS >= LEAD_IN_S - 1e-9 && atS < endS - 1e-9) return one.levels[channel] ?? 0;
    }
    return 0;
  };
  const side = (off: number) =>
    Object.fromEntries(
      Object.keys(FORWARDS).map((name) => [name, timeS.map((atS) => levelAt(name as Channel, atS) + off)]),
    );
  return { timeS, lower: side(-HALF), upper: side(HALF) };
}

/** A stretch as it ran: by default as planned. A lift puts a channel off by five from 0.1 s on, for so many cells of 4 ms. */
/** More cells than a throw has. */
const ALL_THROUGH = 1e6;

interface Ran {
  durationS?: number;
  lifts?: Partial<Record<Channel, number>>;
  segment?: Partial<Segment>;
  missing?: true;
}

function asked(
  ran: readonly Ran[] = [],
  { plan = PLAN, ...made }: Handmade & { plan?: readonly Planned[] } = {},
) {
  const limits = made.unit ?? shipped('entry-step-relays');
  const scales = Object.fromEntries(
    Object.entries(limits.rig.scales).map(([name, scale]) => [
      name,
      { ...scale, gainUncertaintyPercent: 0, offsetUncertainty: 0, perCount: 0 },
    ]),
  ) as ResolvedUnit['rig']['scales'];
  const unit: ResolvedUnit = {
    ...limits,
    rig: { ...limits.rig, scales },
    plan: { ...limits.plan, steps: plan.map((one) => one.step) },
  };
  const count = new StretchCount();
  const segments: Segment[] = [];
  const pieces: Piece[] = [{ position: 'rest', feed: 'off', durationS: LEAD_IN_S, channels: STILL }];
  let atS = LEAD_IN_S;
  plan.forEach(({ step: { position, feed, durationS: plannedS }, levels }, i) => {
    const { durationS = plannedS, lifts = {}, segment = {}, missing } = ran[i] ?? {};
    const of = count.next(feed === 'limited' ? 'limited' : 'full', position);
    if (missing) return;
    const channels = Object.fromEntries(
      Object.entries(levels).map(([name, level]) => {
        const cells = lifts[name as Channel] ?? 0;
        const fromS = cells === ALL_THROUGH ? 0 : 0.1;
        const toS = fromS + 0.004 * cells;
        return [name, (s: number) => level + (s >= fromS - 1e-9 && s < toS - 1e-9 ? 5 : 0)];
      }),
    );
    pieces.push({ position, feed, durationS, channels });
    segments.push({ of, fromS: atS, toS: atS + durationS, brief: false, lost: {}, dropouts: [], ...segment });
    atS += durationS;
  });
  const even = made.capture ?? captureOf(pieces, RATE_HZ);
  const capture = { ...even, timeS: even.timeS.map((s) => s + 0.5 / RATE_HZ) };
  return envelopeChecks(
    contextOf({
      ...made,
      unit,
      segments: made.segments ?? segments,
      capture,
      band: made.band ?? bandOf(plan),
    }),
  );
}

/** What is told of the forward throw, the second stretch. */
const forward = (ran: Ran, made: Parameters<typeof asked>[1] = {}) =>
  asked([{}, ran], made).find(({ id }) => id === 'envelope-forward');

describe('a run that keeps to the course of good units', () => {
  it('is told stretch by stretch', () => {
    const checks = asked();
    const keeps = 'leads and currents stay inside the good band.';
    expect(told(checks)).toEqual([
      ['envelope-rest', 'pass', `At rest before the first throw: ${keeps}`],
      ['envelope-forward', 'pass', `Forward: ${keeps}`],
      ['envelope-rest-forward', 'pass', `At rest after forward: ${keeps}`],
      ['envelope-reverse', 'pass', `Reverse: ${keeps}`],
      ['envelope-rest-reverse', 'pass', `At rest after reverse: ${keeps}`],
    ]);
    for (const check of checks)
      expect(check).toMatchObject({
        of: 'unit',
        required: true,
        origin: shipped('entry-step-relays').motor.origin,
        value: 0,
        unit: '%',
        expandedUncertainty: 0,
        upper: 5,
      });
    expect(checks.map(({ throw: of }) => of?.id)).toEqual([
      undefined,
      'forward',
      'forward',
      'reverse',
      'reverse',
    ]);
  });

  it('knows which of its checks ask for a start, and which a hand at the wrong side fails', () => {
    const limited: readonly Planned[] = [{ step: step('forward', 0.426, 'limited'), levels: STILL }, ...PLAN];
    const kinds = asked([], { plan: limited }).map(({ kind }) => [
      kind.id,
      kind.isOfStart,
      kind.isOfWay,
      kind.isOfTurning,
    ]);
    expect(kinds.slice(0, 4)).toEqual([
      ['envelope-rest', undefined, undefined, true],
      ['envelope-limited', undefined, true, true],
      ['envelope', true, true, true],
      ['envelope-rest', undefined, true, true],
    ]);
  });
});

describe('a channel that leaves the course', () => {
  it.each([
    [1, 'pass', '1.0'],
    [5, 'pass', '5.0'],
    [6, 'conditional-fail', '6.0'],
    [10, 'conditional-fail', '10'],
    [11, 'fail', '11'],
    [60, 'fail', '60'],
  ])('for %i of a hundred cells: %s', (cells, outcome, percent) => {
    expect(forward({ lifts: { leadAVoltageV: cells } })).toMatchObject({
      outcome,
      value: expect.closeTo(cells, 9),
      sentence: `Forward: the trace of lead A is outside the good band for ${percent} % of this throw (up to 5 % is normal).`,
    });
  });

  it('is named with its article where it is a current', () => {
    expect(forward({ lifts: { motorCurrentA: 40 } })?.sentence).toBe(
      'Forward: the trace of the motor current is outside the good band for 40 % of this throw (up to 5 % is normal).',
    );
  });

  it('is named first where it leaves it for longest, and others that leave it for long with it', () => {
    expect(forward({ lifts: { leadAVoltageV: 20, motorCurrentA: 40, leadBVoltageV: 5 } })?.sentence).toBe(
      'Forward: the traces of the motor current and lead A are outside the good band for up to 40 % of this throw (up to 5 % is normal).',
    );
  });

  it('is the first of two that leave it for as long', () => {
    expect(forward({ lifts: { leadAVoltageV: 4, leadBVoltageV: 4 } })?.sentence).toContain(
      'Forward: the trace of lead A is',
    );
  });

  it('is told once a channel', () => {
    expect(forward({ lifts: { leadBVoltageV: 40 } })?.sentence).toContain('Forward: the trace of lead B is');
  });

  it.each([
    [0, 'envelope-rest'],
    [1, 'envelope-forward'],
    [2, 'envelope-rest-forward'],
    [3, 'envelope-reverse'],
    [4, 'envelope-rest-reverse'],
  ])('in stretch %i is told by one check: %s', (i, id) => {
    const ran: Ran[] = [];
    ran[i] = { lifts: { motorCurrentA: 40 } };
    expect(asked(ran).flatMap((check) => (check.outcome === 'pass' ? [] : [check.id]))).toEqual([id]);
  });

  it('at rest is told at rest', () => {
    expect(told(asked([{ lifts: { leadAVoltageV: 40, leadBVoltageV: 40 } }]))[0]?.[2]).toContain(
      'At rest before the first throw: the traces of lead A and lead B are',
    );
    const behind = asked([{}, {}, { lifts: { motorCurrentA: 40 } }]);
    expect(told(behind)[2]).toEqual([
      'envelope-rest-forward',
      'fail',
      'At rest after forward: the trace of the motor current is outside the good band for 40 % of the time (up to 5 % is normal).',
    ]);
  });
});

describe('what the supply does', () => {
  it('is no doing of the unit', () => {
    const { timeS, lower, upper } = bandOf(PLAN);
    const side = (volts: number) => ({ supplyVoltageV: timeS.map(() => volts) });
    const band = { timeS, lower: { ...lower, ...side(11) }, upper: { ...upper, ...side(13) } };
    const plan = PLAN.map((one) => ({ ...one, levels: { ...one.levels, supplyVoltageV: 3 } }));
    expect(asked([], { plan, band }).map(({ outcome }) => outcome)).toEqual(Array(5).fill('pass'));
  });
});

describe('a throw that proves nothing', () => {
  const untold = (ran: readonly Ran[], made: Parameters<typeof asked>[1] = {}) =>
    told(asked(ran, made)).slice(1, 3);

  it('was cut short: neither it nor the rest behind it is told', () => {
    expect(
      told(asked([{}, { segment: { brief: true } }])).map(([id, outcome, sentence]) => [
        id,
        outcome,
        sentence,
      ]),
    ).toEqual([
      ['envelope-rest', 'pass', expect.any(String)],
      ['envelope-forward', 'not-tested', 'Forward: course not tested, the throw was cut short.'],
      ['envelope-reverse', 'pass', expect.any(String)],
      ['envelope-rest-reverse', 'pass', expect.any(String)],
    ]);
  });

  it('was not made', () => {
    expect(untold([{}, { missing: true }])[0]).toEqual([
      'envelope-forward',
      'not-tested',
      'Forward: course not tested, this throw was not made.',
    ]);
  });

  it('had a supply that did not hold', () => {
    const checks = asked([], { supplyHolds: false });
    expect(told(checks)).toEqual([
      ['envelope-forward', 'not-tested', 'Forward: course not tested, the supply did not hold.'],
      ['envelope-reverse', 'not-tested', 'Reverse: course not tested, the supply did not hold.'],
    ]);
    expect(checks[0]).toMatchObject({
      required: true,
      origin: shipped('entry-step-relays').motor.origin,
      throw: { id: 'forward' },
    });
  });

  it('had nothing sampled of it, which is asked of nobody', () => {
    const plan = PLAN.map((one) => ({ ...one, levels: {} }));
    const capture = captureOf([{ position: 'rest', durationS: 2 }], RATE_HZ);
    const [check] = asked([], { plan, capture });
    expect(check).toMatchObject({
      outcome: 'not-tested',
      required: false,
      sentence: 'Forward: course not measured.',
    });
  });
});

describe('a rest behind a throw', () => {
  const behindForward = (ran: readonly Ran[], made: Parameters<typeof asked>[1] = {}) =>
    asked(ran, made).some(({ id }) => id === 'envelope-rest-forward');
  const limit = {
    id: 'limit',
    kind: 'limit',
    a: 'a',
    b: 'b',
    motor: 'motor',
    contactResistanceOhm: 0.005,
  } as const;
  const pair = shipped('entry-step-relays');
  const limited: ResolvedUnit = {
    ...pair,
    style: { ...pair.style, elements: [...pair.style.elements, limit] },
  };

  it('is told where the throw lasted for more than half of its plan', () => {
    expect(behindForward([{}, { durationS: 0.22 }])).toBe(true);
    expect(behindForward([{}, { durationS: 0.2 }])).toBe(false);
    expect(behindForward([{}, { durationS: 0.9 }])).toBe(true);
  });

  it('of a drive with limits is told where the throw lasted as long as planned, within a tenth', () => {
    expect(behindForward([{}, { durationS: 0.4 }], { unit: limited })).toBe(true);
    expect(behindForward([{}, { durationS: 0.46 }], { unit: limited })).toBe(true);
    expect(behindForward([{}, { durationS: 0.38 }], { unit: limited })).toBe(false);
    expect(behindForward([{}, { durationS: 0.48 }], { unit: limited })).toBe(false);
  });

  it('is not told where the throw is missing', () => {
    expect(behindForward([{}, { missing: true }])).toBe(false);
  });
});

describe('stretches with the limited feed', () => {
  const LIMITED: readonly Planned[] = [
    { step: step('rest', 0.426, 'limited'), levels: STILL },
    { step: step('forward', 0.426, 'limited'), levels: { ...FORWARDS, leadAVoltageV: 1, motorCurrentA: 1 } },
    { step: step('rest', 0.426, 'limited'), levels: STILL },
    { step: step('rest', 0.326), levels: STILL },
    ...PLAN.slice(1),
  ];
  const SHORT: Handmade['read'] = [
    [
      { id: 'limitedForward', feed: 'limited', position: 'forward', nth: 1 },
      { supplyVoltageV: 13, feedCurrentA: [1.05, 0.01], leadAVoltageV: 0.35, leadBVoltageV: 0 },
    ],
  ];

  it('are told together', () => {
    expect(told(asked([], { plan: LIMITED })).map(([id, outcome]) => [id, outcome])).toEqual([
      ['envelope-rest', 'pass'],
      ['envelope-limited', 'pass'],
      ['envelope-forward', 'pass'],
      ['envelope-rest-forward', 'pass'],
      ['envelope-reverse', 'pass'],
      ['envelope-rest-reverse', 'pass'],
    ]);
    for (const i of [0, 1, 2]) {
      const ran: Ran[] = [];
      ran[i] = { lifts: { motorCurrentA: 40 } };
      const checks = told(asked(ran, { plan: LIMITED }));
      expect(checks.flatMap(([id, outcome]) => (outcome === 'pass' ? [] : [id]))).toEqual([
        'envelope-limited',
      ]);
      expect(checks[1]).toEqual([
        'envelope-limited',
        'fail',
        expect.stringContaining('With the limited feed: the trace of the motor current is outside'),
      ]);
    }
  });

  it('lead to a rest with the full feed that is the first one', () => {
    const ran: Ran[] = [{}, {}, {}, { lifts: { motorCurrentA: 40 } }];
    expect(told(asked(ran, { plan: LIMITED }))[0]?.slice(0, 2)).toEqual(['envelope-rest', 'fail']);
  });

  it('are told by their own check where they show a short', () => {
    expect(asked([], { plan: LIMITED, read: SHORT }).map(({ id }) => id)).not.toContain('envelope-limited');
  });

  it('behind a limited throw that was cut short are left out', () => {
    const ran: Ran[] = [{}, { segment: { brief: true } }, { lifts: { motorCurrentA: 40 } }];
    expect(told(asked(ran, { plan: LIMITED }))[1]?.slice(0, 2)).toEqual(['envelope-limited', 'pass']);
  });
});

describe('the course is asked of a harness with its motor only', () => {
  it.each(['motor', 'harness', 'relay'] as const)('not of a %s alone', (subject) => {
    const unit = shipped('entry-step-relays');
    expect(asked([], { unit: { ...unit, unit: { ...unit.unit, subject } } })).toEqual([]);
  });
});

describe('a trace that is outside all through', () => {
  it('is said to be, without a share', () => {
    expect(forward({ lifts: { leadAVoltageV: ALL_THROUGH } })?.sentence).toBe(
      'Forward: the trace of lead A is outside the good band all through this throw.',
    );
  });
});
