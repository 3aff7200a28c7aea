// One channel over one stretch against a band made by hand: cells of 4 ms, 12 ms left out at either edge, a band of half
// width 1 V widened by 4.6 / 2.43 (normal order statistics of eighty draws against Howe's tolerance factor).

import { describe, expect, it } from 'vitest';
import type { Capture, Channel, Feed } from '../../../host/capture/index.js';
import type { Pair } from '../../../host/judge/checks/course.js';
import { outsidePart } from '../../../host/judge/checks/outside-part.js';
import { LEAD_IN, REST, type RunStretch, runStretch, type Segment } from '../../../host/measure/index.js';
import type { ResolvedUnit } from '../../../host/profile/index.js';
import {
  captureOf,
  contextOf,
  FORWARD,
  type Handmade,
  LIMITED_FORWARD,
  type Piece,
  REVERSE,
  segmentOf,
  shipped,
} from '../handmade.js';

const RATE_HZ = 1000;
/** Exact scales: no gain, no offset, no rounding, so that limits are those of the band. */
function exactly(
  unit: ResolvedUnit,
  more: { gain?: number; offset?: number; perCount?: number } = {},
): ResolvedUnit {
  const { gain = 0, offset = 0, perCount = 0 } = more;
  const scales = Object.fromEntries(
    Object.entries(unit.rig.scales).map(([name, scale]) => [
      name,
      { ...scale, gainUncertaintyPercent: gain, offsetUncertainty: offset, perCount },
    ]),
  ) as ResolvedUnit['rig']['scales'];
  return { ...unit, rig: { ...unit.rig, scales } };
}
const UNIT = exactly(shipped('entry-step-relays'));

/** Steps of 2 ms; the same band everywhere unless told otherwise. */
function bandOf(
  channel: Channel,
  lower: number | ((atS: number) => number),
  upper: number | ((atS: number) => number),
) {
  const timeS = Float64Array.from({ length: 1000 }, (_, i) => 0.002 * i);
  const side = (told: number | ((atS: number) => number)) =>
    timeS.map((atS) => (typeof told === 'number' ? told : told(atS)));
  return { timeS, lower: { [channel]: side(lower) }, upper: { [channel]: side(upper) } };
}

/** One stretch of a run, as long as planned and at the same time, unless told otherwise. */
interface Made extends Handmade {
  of?: RunStretch;
  value: number | ((atS: number) => number);
  channel?: Channel;
  planned?: readonly [number, number];
  seen?: readonly [number, number];
  segment?: Partial<Segment>;
  lower?: number | ((atS: number) => number);
  upper?: number | ((atS: number) => number);
  /** By default the other lead stands where a lead does. */
  others?: Piece['channels'];
}
/** 94 cells, and half of one. */
const LASTS = [0.2, 0.602] as const;

function part({ of = FORWARD, value, channel = 'leadAVoltageV', ...made }: Made): number | undefined {
  const { planned = LASTS, seen = LASTS, segment = {}, lower = 9, upper = 11 } = made;
  const others = made.others ?? (/^lead/.test(channel) ? { leadAVoltageV: value, leadBVoltageV: value } : {});
  const channels = { ...others, [channel]: value };
  const even = made.capture ?? captureOf([{ position: of.position, durationS: 1, channels }], RATE_HZ);
  // Half a sample on, so that none falls on the edge of a cell.
  const capture: Capture = { ...even, timeS: even.timeS.map((atS) => atS + 0.5 / RATE_HZ) };
  const context = contextOf({
    unit: UNIT,
    ...made,
    band: made.band ?? bandOf(channel, lower, upper),
    capture,
  });
  const pair: Pair = {
    planned: { of, fromS: planned[0], toS: planned[1] },
    seen: { of, fromS: seen[0], toS: seen[1], segment: segmentOf(of, segment) },
  };
  return outsidePart(context, channel, pair);
}

/** Middle 10, half width 1, widened. */
const REACH = 4.6 / 2.43;

describe('the part of the time outside the band', () => {
  it('is none inside of the widened band, and all outside of it', () => {
    for (const sign of [1, -1]) {
      expect(part({ value: 10 + sign * (REACH - 0.01) })).toBe(0);
      expect(part({ value: 10 + sign * (REACH + 0.01) })).toBe(1);
    }
  });

  it('is that of the cells: 94 of 4 ms between the edges of a throw of 0.402 s', () => {
    // From 0.212 s on; one tenth of a second outside are 25 cells.
    const value = (atS: number) => (atS >= 0.3 - 1e-9 && atS < 0.4 - 1e-9 ? 20 : 10);
    expect(part({ value })).toBe(25 / 94);
  });

  it('is of the mean of a cell: what swings about it within 4 ms stays inside', () => {
    const swinging = (atS: number) => (Math.round(atS * RATE_HZ) % 2 === 0 ? 6 : 14);
    expect(part({ value: swinging })).toBe(0);
  });

  it('leaves out 12 ms at either edge', () => {
    const value = (atS: number) => (atS < 0.2119 || atS > 0.5879 ? 99 : 10);
    expect(part({ value })).toBe(0);
    expect(part({ value: (atS) => (atS < 0.2129 ? 99 : 10) })).toBe(1 / 94);
    expect(part({ value: (atS) => (atS > 0.5869 ? 99 : 10) })).toBe(1 / 94);
  });

  it('leaves out 30 ms of a throw by hand', () => {
    const unit: ResolvedUnit = { ...UNIT, plan: { ...UNIT.plan, throwBy: 'operator' } };
    const value = (atS: number) => (atS < 0.2299 || atS > 0.5699 ? 99 : 10);
    expect(part({ value, unit })).toBe(0);
    expect(part({ value, unit: { ...UNIT, plan: { ...UNIT.plan, throwBy: 'rig' } } })).toBeGreaterThan(0);
  });

  it('ends with the shorter of run and plan', () => {
    const value = (atS: number) => (atS > 0.4 ? 99 : 10);
    expect(part({ value, seen: [0.2, 0.4] })).toBe(0);
    expect(part({ value, planned: [0.2, 0.4] })).toBe(0);
  });

  it('is told by the band of the plan’s own time', () => {
    const lower = (atS: number) => (atS < 0.6 ? 9 : 19);
    const upper = (atS: number) => (atS < 0.6 ? 11 : 21);
    expect(part({ value: 20, planned: [0.7, 1.1], lower, upper })).toBe(0);
    expect(part({ value: 10, planned: [0.7, 1.1], lower, upper })).toBe(1);
  });

  it('takes one slot more of the band on either side of a cell', () => {
    // The band steps up at its slot of 0.4 s, the plan runs 1 ms later: cells of the run that reach from 0.392 to 0.404 s
    // touch that slot with one to spare, by hand.
    const lower = (atS: number) => (atS < 0.4 - 1e-9 ? 9 : 29);
    const upper = (atS: number) => (atS < 0.4 - 1e-9 ? 11 : 31);
    const steppingAt = (stepS: number) =>
      part({ value: (atS) => (atS < stepS - 1e-9 ? 10 : 30), lower, upper, planned: [0.201, 0.603] });
    expect([0.388, 0.392, 0.404, 0.408].map(steppingAt)).toEqual([1 / 94, 0, 0, 1 / 94]);
    const falling = (stepS: number) =>
      part({
        value: (atS) => (atS < stepS - 1e-9 ? 30 : 10),
        lower: (atS) => 38 - lower(atS),
        upper: (atS) => 42 - upper(atS),
        planned: [0.201, 0.603],
      });
    expect([0.388, 0.392, 0.404, 0.408].map(falling)).toEqual([1 / 94, 0, 0, 1 / 94]);
  });

  it('passes over slots that no draw fell into, and asks nothing where all are such', () => {
    const lower = (atS: number) => (Math.round(atS * 500) % 2 === 0 ? Number.NaN : 9);
    expect(part({ value: 10, lower })).toBe(0);
    expect(part({ value: 99, lower })).toBe(1);
    expect(part({ value: 99, lower: Number.NaN, upper: Number.NaN })).toBeUndefined();
  });

  it('is not told from fewer than ten cells', () => {
    // 12 ms, ten cells, 12 ms.
    expect(part({ value: 10, seen: [0.2, 0.2645] })).toBe(0);
    expect(part({ value: 10, seen: [0.2, 0.2635] })).toBeUndefined();
  });

  it('leaves out samples that were lost, and cells without any', () => {
    const value = (atS: number) => (atS > 0.3 - 1e-9 && atS < 0.4 - 1e-9 ? Number.NaN : 10);
    expect(part({ value })).toBe(0);
    const outside = (atS: number) => (Number.isNaN(value(atS)) ? Number.NaN : atS < 0.3 ? 99 : 10);
    expect(part({ value: outside })).toBe(22 / 69);
  });

  it.each<[string, Partial<Made>]>([
    ['the channel was not sampled', { capture: captureOf([{ position: 'forward', durationS: 1 }]) }],
    ['the draws lack it', { band: { timeS: Float64Array.of(0, 0.002), lower: {}, upper: {} } }],
  ])('is not told where %s', (_, made) => {
    expect(part({ value: 10, ...made })).toBeUndefined();
  });

  it('is not told where the draws have one side only', () => {
    const { timeS, lower, upper } = bandOf('leadAVoltageV', 9, 11);
    expect(part({ value: 10, band: { timeS, lower, upper: {} } })).toBeUndefined();
    expect(part({ value: 10, band: { timeS, lower: {}, upper } })).toBeUndefined();
  });
});

describe('a feed that is off', () => {
  /** Outside from 0.4 s on, where the feed is this. */
  const outsideWith = (of: RunStretch, feed: Feed) => {
    const lead = (atS: number) => (atS < 0.4 ? 10 : 99);
    const channels = { leadAVoltageV: lead, leadBVoltageV: lead };
    const untold = captureOf([{ position: of.position, durationS: 1, channels }], RATE_HZ);
    const told = [...untold.timeS].map((atS): Feed => (atS < 0.4 ? 'full' : feed));
    return part({ of, value: 0, capture: { ...untold, feed: told } });
  };
  it('leaves nothing as it was planned', () => expect(outsideWith(FORWARD, 'off')).toBe(0));
  it('counts while it is on', () => {
    expect(outsideWith(FORWARD, 'full')).toBe(47 / 94);
    expect(outsideWith(FORWARD, 'limited')).toBe(47 / 94);
  });
  it('is as it was planned in the lead-in', () => expect(outsideWith(LEAD_IN, 'off')).toBe(47 / 94));
});

describe('the narrowest band', () => {
  const inside = (channel: Channel, of: RunStretch, off: number) =>
    part({ channel, of, value: 5 + off, lower: 5, upper: 5 });
  it.each<[Channel, RunStretch, number]>([
    ['leadAVoltageV', FORWARD, 0.2],
    ['leadBVoltageV', FORWARD, 0.2],
    // A released lead is dead at 1.0 V or less: workshop terminal tables.
    ['leadAVoltageV', REST, 1],
    ['leadBVoltageV', REST, 1],
    ['coilCurrentA', FORWARD, 0.01],
    ['coilCurrentA', REST, 0.01],
  ])('of %s has a reach', (channel, of, reach) => {
    expect(inside(channel, of, reach - 0.001)).toBe(0);
    expect(inside(channel, of, reach + 0.001)).toBe(1);
    expect(inside(channel, of, -reach + 0.001)).toBe(0);
    expect(inside(channel, of, -reach - 0.001)).toBe(1);
  });

  it.each<Channel>(['motorCurrentA', 'feedCurrentA'])(
    'of %s has 0.2 A, and 3 %% of the reading for its ripple',
    (channel) => {
      const reach = 5.2 / (1 - 0.03) - 5;
      expect(inside(channel, FORWARD, reach - 0.001)).toBe(0);
      expect(inside(channel, FORWARD, reach + 0.001)).toBe(1);
      const below = 5 - 4.8 / 1.03;
      expect(inside(channel, REST, -below + 0.001)).toBe(0);
      expect(inside(channel, REST, -below - 0.001)).toBe(1);
    },
  );

  it('of a negative current has its ripple outwards, too', () => {
    const current = (value: number) => part({ channel: 'motorCurrentA', value, lower: -5, upper: -5 });
    expect(current(-5.2 / 0.97 + 0.001)).toBe(0);
    expect(current(-5.2 / 0.97 - 0.001)).toBe(1);
  });

  it('is wider by the expanded uncertainty of a reading', () => {
    const read = (more: Parameters<typeof exactly>[1], value: number) =>
      part({ value, unit: exactly(shipped('entry-step-relays'), more) });
    const edge = 10 + REACH;
    // Offset 0.1 V: twice that. One count of 0.5 V: twice 0.5 / sqrt 12. Gain 1 %: twice a hundredth of the reading.
    expect([read({ offset: 0.1 }, edge + 0.199), read({ offset: 0.1 }, edge + 0.201)]).toEqual([0, 1]);
    const count = 1 / Math.sqrt(12);
    expect([
      read({ perCount: 0.5 }, edge + count - 0.001),
      read({ perCount: 0.5 }, edge + count + 0.001),
    ]).toEqual([0, 1]);
    const gained = edge / 0.98;
    expect([read({ gain: 1 }, gained - 0.001), read({ gain: 1 }, gained + 0.001)]).toEqual([0, 1]);
  });
});

describe('the run’s own supply', () => {
  const at = (supplyV: number | undefined, channel: Channel, value: number, of: RunStretch = REST) =>
    part({ channel, value, read: supplyV === undefined ? [] : [[of, { supplyVoltageV: supplyV }]] });
  it('moves voltages with it', () => {
    // 15 V against 12: middle 12.5, widened reach 2.367.
    expect(at(15, 'leadAVoltageV', 1.25 * (10 + REACH) - 0.01)).toBe(0);
    expect(at(15, 'leadAVoltageV', 1.25 * (10 + REACH) + 0.01)).toBe(1);
    expect(at(15, 'leadAVoltageV', 1.25 * (10 - REACH) - 0.01)).toBe(1);
  });
  it('moves currents between its root and its power of 1.3 (published pair of a window lift)', () => {
    const ripple = 0.03;
    const most = (1.25 ** 1.3 * (10 + REACH)) / (1 - ripple);
    const least = (Math.sqrt(1.25) * (10 - REACH)) / (1 + ripple);
    for (const channel of ['motorCurrentA', 'feedCurrentA'] as const) {
      expect(at(15, channel, most - 0.01)).toBe(0);
      expect(at(15, channel, most + 0.01)).toBe(1);
      expect(at(15, channel, least + 0.01)).toBe(0);
      expect(at(15, channel, least - 0.01)).toBe(1);
    }
  });
  it('moves coils as voltages', () => {
    expect(at(15, 'coilCurrentA', 1.25 * (10 + REACH) + 0.01)).toBe(1);
    expect(at(15, 'coilCurrentA', 1.25 * (10 - REACH) + 0.01)).toBe(0);
  });
  it('is read with the limited feed where there was no other rest', () => {
    expect(at(15, 'leadAVoltageV', 14.5, runStretch('limited', 'rest'))).toBe(0);
  });
  it('moves nothing where it was not read', () => {
    expect(at(undefined, 'leadAVoltageV', 10 + REACH - 0.01)).toBe(0);
    expect(at(undefined, 'leadAVoltageV', 10 + REACH + 0.01)).toBe(1);
  });
});

describe('the start of a stretch', () => {
  /** 10 V from `fromS` on, against a band that is there from 0.3 s of the plan's time on. */
  const edge = (of: RunStretch, fromS: number, segment: Partial<Segment>, made: Handmade) =>
    part({
      ...made,
      of,
      value: (atS) => (atS < fromS - 1e-9 ? 0 : 10),
      lower: (atS) => (atS < 0.3 - 1e-9 ? -1 : 9),
      upper: (atS) => (atS < 0.3 - 1e-9 ? 1 : 11),
      segment,
      seen: [0.2, 0.7],
      planned: [0.2, 0.602],
    });
  // A contact planned 20 ms behind its command came 60 ms behind: the run is later by 40 ms.
  const good: Handmade['good'] = [[FORWARD, { contactDelayS: 0.02 }]];

  it('of a throw is its contact, where both have one', () => {
    expect(edge(FORWARD, 0.34, { contactS: 0.26 }, { good })).toBe(0);
    expect(edge(FORWARD, 0.3, { contactS: 0.26 }, { good })).toBeGreaterThan(0);
  });
  it('of a throw is its command, where one of them has none', () => {
    expect(edge(FORWARD, 0.3, {}, { good })).toBe(0);
    expect(edge(FORWARD, 0.3, { contactS: 0.26 }, {})).toBe(0);
    expect(edge(FORWARD, 0.3, { breakS: 0.26 }, { good })).toBe(0);
  });
  const BEHIND = runStretch('full', 'rest', { nth: 2, behind: REVERSE });
  const throws = [
    { of: FORWARD, release: undefined, breakDelayS: 0.2 },
    { of: REVERSE, release: undefined, breakDelayS: 0.02 },
  ];
  it('of a rest is the break of the throw before it', () => {
    expect(edge(BEHIND, 0.34, { breakS: 0.26 }, { throws })).toBe(0);
    expect(edge(BEHIND, 0.3, { breakS: 0.26 }, { throws })).toBeGreaterThan(0);
    expect(edge(BEHIND, 0.3, { contactS: 0.26 }, { throws })).toBe(0);
  });
  it('of a rest is its command where no break is known', () => {
    expect(edge(BEHIND, 0.3, { breakS: 0.26 }, { throws: [FORWARD] })).toBe(0);
    expect(edge(REST, 0.3, { breakS: 0.26 }, { throws })).toBe(0);
  });
});

describe('a throw of a drive with limit switches', () => {
  const unit = exactly(shipped('entry-step-relays'));
  const limit = {
    id: 'limit',
    kind: 'limit',
    a: 'a',
    b: 'b',
    motor: 'motor',
    contactResistanceOhm: 0.005,
  } as const;
  const limited: ResolvedUnit = {
    ...unit,
    style: { ...unit.style, elements: [...unit.style.elements, limit] },
  };
  const good: Handmade['good'] = [[FORWARD, { stopsAfterS: { nominal: 0.3, lower: 0.242, upper: 0.4 } }]];
  /** Outside from `fromS` behind the command on. */
  const from = (fromS: number, made: Handmade = {}, of: RunStretch = FORWARD) =>
    part({ of, unit: limited, good, value: (atS) => (atS < 0.2 + fromS - 1e-9 ? 10 : 99), ...made });

  it('is asked up to where the quickest good one stops', () => {
    // From 12 ms to 0.242 s less 12 ms.
    expect(from(0.228)).toBe(0);
    expect(from(0.224)).toBe(1 / 54);
  });
  it('is asked up to where it stops itself, when that is sooner', () => {
    const read: Handmade['read'] = [[FORWARD, { stopsAfterS: 0.162 }]];
    expect(from(0.148, { read })).toBe(0);
    expect(from(0.144, { read })).toBe(1 / 34);
  });
  it('is asked no longer than good ones run, when it runs on', () => {
    expect(from(0.228, { read: [[FORWARD, { stopsAfterS: 0.35 }]] })).toBe(0);
  });
  it('is asked for its first half, where good ones do not stop', () => {
    expect(from(0.188, { good: [] })).toBe(0);
    expect(from(0.184, { good: [] })).toBe(1 / 44);
  });
  it('is asked to its end, where good ones stop behind it', () => {
    const late: Handmade['good'] = [[FORWARD, { stopsAfterS: { nominal: 2, lower: 1.5, upper: 3 } }]];
    expect(from(0.384, { good: late })).toBe(1 / 94);
  });
  it('is asked at rest as any other', () => {
    expect(from(0.3, {}, runStretch('full', 'rest', { behind: FORWARD }))).toBeGreaterThan(0);
  });
  it('without limits is asked to its end', () => {
    expect(from(0.384, { unit })).toBe(1 / 94);
  });
});

describe('a shaft that still turns from before the run', () => {
  /** Leads apart by `emfV` in the first half of the stretch, and outside there. */
  const turning = (emfV: number, of: RunStretch) => {
    const lead = (early: number) => (atS: number) => (atS < 0.4 ? early : 10);
    return part({ of, value: lead(99), others: { leadBVoltageV: lead(99 - emfV) } });
  };
  it('is left out of the first rest', () => {
    expect(turning(0.6, REST)).toBe(0);
    expect(turning(-0.6, REST)).toBe(0);
    expect(turning(0.5, REST)).toBe(47 / 94);
  });
  it('counts behind a throw, and in one', () => {
    for (const of of [runStretch('full', 'rest', { behind: FORWARD }), FORWARD, LIMITED_FORWARD])
      expect(turning(0.6, of)).toBe(47 / 94);
  });
  it('may be what holds a lead apart from ground whose other one was not sampled', () => {
    expect(part({ of: REST, value: 99, others: {} })).toBeUndefined();
    expect(part({ of: REST, channel: 'leadBVoltageV', value: 99, others: {} })).toBeUndefined();
    expect(part({ of: REST, value: 0.4, others: {}, lower: 3, upper: 3 })).toBe(1);
  });
});
