// Circuit styles told from readings made by hand: what a run shows, what a style promises, and how likely each style is.
// The odds are choices of the program; a dead lead has 1.0 V or less (workshop terminal tables).

import { describe, expect, it } from 'vitest';
import {
  contradictions,
  readingOfRun,
  readingOfStyle,
  recognise,
  type StyleReading,
} from '../../host/judge/recognise.js';
import { LIMITED_REST, REST, runStretch, type Segment } from '../../host/measure/index.js';
import { type CircuitStyle, loadCircuit } from '../../host/profile/index.js';
import { FORWARD, LIMITED_FORWARD, measuredOf, REVERSE, type ReadAt, segmentOf } from './handmade.js';

const PAIR = loadCircuit('relay-pair-ground-thrown');
const style = (id: string, more: Partial<CircuitStyle>): CircuitStyle => ({ ...PAIR, ...more, id });
const BOTH = [segmentOf(FORWARD), segmentOf(REVERSE)];
const seen = (read: readonly ReadAt[], segments: readonly Segment[] = BOTH, nominalV = 12): StyleReading =>
  readingOfRun({ measured: measuredOf(read), segments: [...segments] }, nominalV);

describe('what a style promises', () => {
  it.each<[string, CircuitStyle, StyleReading]>([
    [
      'a relay pair that rests on ground',
      PAIR,
      {
        rest: 'low',
        release: 'brake-ground',
        coil: true,
        forward: 'positive',
        reverse: 'negative',
        stopsItself: false,
      },
    ],
    [
      'one that rests high',
      style('high', { restState: 'high' }),
      {
        rest: 'high',
        release: 'brake-high',
        coil: true,
        forward: 'positive',
        reverse: 'negative',
        stopsItself: false,
      },
    ],
    [
      'a switch that opens at rest, one way only',
      style('open', {
        restState: 'open',
        release: 'coast',
        thrownBy: 'stand-in',
        polarity: { forward: 'negative', reverse: 'none' },
      }),
      {
        rest: 'low',
        release: 'coast',
        coil: false,
        forward: 'negative',
        reverse: 'none',
        stopsItself: false,
      },
    ],
    [
      'one that coasts from a high rest',
      style('odd', { restState: 'high', release: 'coast' }),
      {
        rest: 'high',
        release: 'coast',
        coil: true,
        forward: 'positive',
        reverse: 'negative',
        stopsItself: false,
      },
    ],
  ])('%s', (_, given, promised) => expect(readingOfStyle(given)).toEqual(promised));

  it('a drive with limit switches stops by itself', () => {
    expect(readingOfStyle(loadCircuit('limit-actuator-switch')).stopsItself).toBe(true);
  });
});

describe('where a run’s leads rest', () => {
  const rest = (a: number | undefined, b: number | undefined, of = REST, supplyV?: number) =>
    seen([
      [
        of,
        {
          ...(a === undefined ? {} : { leadAVoltageV: a }),
          ...(b === undefined ? {} : { leadBVoltageV: b }),
          ...(supplyV === undefined ? {} : { supplyVoltageV: supplyV }),
        },
      ],
    ]).rest;
  it('is low with both dead', () => {
    expect(rest(1, -1)).toBe('low');
    expect(rest(1.01, 0)).toBeUndefined();
    expect(rest(0, -1.01)).toBeUndefined();
  });
  it('is high with both above three quarters of the supply', () => {
    expect(rest(9.1, 9.1)).toBe('high');
    expect(rest(9, 9.1)).toBeUndefined();
    expect(rest(9.1, 9)).toBeUndefined();
    // Of 16 V three quarters are 12.
    expect(rest(11.9, 11.9, REST, 16)).toBeUndefined();
    expect(rest(12.1, 12.1, REST, 16)).toBe('high');
  });
  it('is told with the limited feed where no other rest was read', () => {
    expect(rest(0, 0, LIMITED_REST)).toBe('low');
    expect(
      seen([
        [LIMITED_REST, { leadAVoltageV: 12, leadBVoltageV: 12 }],
        [REST, { leadAVoltageV: 0, leadBVoltageV: 0 }],
      ]).rest,
    ).toBe('low');
  });
  it('is not told of one lead', () => {
    expect(rest(0, undefined)).toBeUndefined();
    expect(rest(undefined, 12)).toBeUndefined();
    expect(seen([])).not.toHaveProperty('rest');
  });
});

describe('how a run releases', () => {
  const released = (...releases: (Segment['release'] | 'brief')[]) =>
    seen(
      [],
      releases.map((release, i) =>
        segmentOf(i % 2 === 0 ? FORWARD : REVERSE, {
          ...(release === 'brief' ? { brief: true, release: 'coast' } : release ? { release } : {}),
        }),
      ),
    ).release;
  it('is what all its throws agree on', () => {
    expect(released('coast', 'coast')).toBe('coast');
    expect(released('brake-high')).toBe('brake-high');
    expect(released('coast', 'brake-ground')).toBeUndefined();
    expect(released('brake-ground', 'driven')).toBeUndefined();
  });
  it('leaves out throws that stood still, were cut short or were not seen', () => {
    expect(released('still', 'brake-ground', undefined, 'brief')).toBe('brake-ground');
    expect(released('still', 'still')).toBeUndefined();
  });
  it('says nothing where the motor goes on being driven', () =>
    expect(released('driven', 'driven')).toBeUndefined());
  it('is not told by a limited throw', () => {
    expect(seen([], [segmentOf(LIMITED_FORWARD, { release: 'coast' })]).release).toBeUndefined();
  });
});

it('a run that shows nothing tells nothing', () => expect(seen([], [])).toStrictEqual({}));

describe('what a run’s throws do', () => {
  const volts = (forward: number, reverse: number, more: ReadAt[] = []) =>
    seen([[FORWARD, { motorVoltageV: forward }], [REVERSE, { motorVoltageV: reverse }], ...more]);

  it('is which way they drive the motor', () => {
    expect(volts(11, -11)).toMatchObject({ forward: 'positive', reverse: 'negative' });
    expect(volts(-1, 1)).toMatchObject({ forward: 'negative', reverse: 'positive' });
    expect(volts(0.99, -0.99)).toMatchObject({ forward: 'none', reverse: 'none' });
  });
  it('is that of the first throw of each way that ran', () => {
    const again = runStretch('full', 'forward', { nth: 2 });
    const twice = [...BOTH, segmentOf(again)];
    expect(
      seen(
        [
          [FORWARD, { motorVoltageV: 11 }],
          [again, { motorVoltageV: -11 }],
        ],
        twice,
      ).forward,
    ).toBe('positive');
    expect(seen([[again, { motorVoltageV: -11 }]], [segmentOf(again)]).forward).toBeUndefined();
    const cut = [segmentOf(FORWARD, { brief: true })];
    expect(seen([[FORWARD, { motorVoltageV: 11 }]], cut)).not.toHaveProperty('forward');
    expect(seen([[LIMITED_FORWARD, { motorVoltageV: 1 }]], [segmentOf(LIMITED_FORWARD)])).not.toHaveProperty(
      'forward',
    );
  });
  it('uses coils where one throw draws current through them', () => {
    expect(
      seen([
        [REVERSE, { coilCurrentA: 0.021 }],
        [FORWARD, { coilCurrentA: 0 }],
      ]).coil,
    ).toBe(true);
    expect(seen([[REVERSE, { coilCurrentA: 0.02 }]]).coil).toBeUndefined();
  });
  it('uses none where the motor runs without', () => {
    expect(volts(11, 0, [[LIMITED_FORWARD, {}]]).coil).toBeUndefined();
    const without = (forward: number, reverse: number) =>
      seen([
        [FORWARD, { motorVoltageV: forward, coilCurrentA: 0 }],
        [REVERSE, { motorVoltageV: reverse, coilCurrentA: 0 }],
      ]).coil;
    expect(without(11, 0)).toBe(false);
    expect(without(0, -11)).toBe(false);
    expect(without(0, 0)).toBeUndefined();
  });
  it('stops by itself where one throw shows it, of a motor that runs', () => {
    expect(volts(11, -11, [[REVERSE, { motorVoltageV: -11, stopsAfterS: 0.7 }]]).stopsItself).toBe(true);
    expect(volts(11, -11).stopsItself).toBe(false);
    expect(volts(0, 0)).not.toHaveProperty('stopsItself');
  });
});

describe('styles ranked', () => {
  const HIGH = style('high', { restState: 'high' });
  const OPEN = style('open', { restState: 'open', release: 'coast' });
  const TWIN = style('twin', {});
  const LIMITED = loadCircuit('limit-actuator-relay-pair');

  it('by one thing that a run shows, by its odds', () => {
    // Two to ninety-eight.
    const [first, second] = recognise({ rest: 'high' }, [PAIR, HIGH]);
    expect(first).toEqual({ ids: ['high'], likelihood: expect.closeTo(0.98, 12), against: [] });
    expect(second).toEqual({
      ids: [PAIR.id],
      likelihood: expect.closeTo(0.02, 12),
      against: ["a circuit that rests high, both leads at the feed; the profile's rests on ground or open"],
    });
  });

  it.each<[string, StyleReading, number]>([
    ['release', { release: 'coast' }, 0.05],
    ['coil', { coil: false }, 0.05],
    ['forward', { forward: 'negative' }, 0.1],
    ['reverse', { reverse: 'none' }, 0.1],
  ])('by %s, by its odds', (_, shown, odds) => {
    const other = style('other', {
      release: 'coast',
      thrownBy: 'stand-in',
      polarity: { forward: 'negative', reverse: 'none' },
    });
    const [first, second] = recognise(shown, [PAIR, other]);
    expect(first?.ids).toEqual(['other']);
    expect(second?.likelihood).toBeCloseTo(odds, 12);
  });

  it('by whether it stops by itself: 0.6 with limit switches, 0.02 without', () => {
    const plain = style('plain', {});
    const likelihoods = (stopsItself: boolean) =>
      Object.fromEntries(
        recognise({ stopsItself }, [plain, LIMITED]).map(({ ids, likelihood }) => [ids[0], likelihood]),
      );
    expect(likelihoods(true).plain).toBeCloseTo(0.02 / 0.62, 12);
    expect(likelihoods(false).plain).toBeCloseTo(0.98 / 1.38, 12);
  });

  it('by all that it shows, multiplied', () => {
    // Pair: 0.02 x 0.95; open: 0.02 x 0.05; high, which brakes to the feed: 0.98 x 0.05.
    const ranked = recognise({ rest: 'high', release: 'brake-ground' }, [PAIR, OPEN, HIGH]);
    const [pair, open, high] = [0.02 * 0.95, 0.02 * 0.05, 0.98 * 0.05];
    const total = pair + open + high;
    expect(ranked.map(({ ids, likelihood }) => [ids[0], likelihood])).toEqual([
      ['high', expect.closeTo(high / total, 12)],
      [PAIR.id, expect.closeTo(pair / total, 12)],
      ['open', expect.closeTo(open / total, 12)],
    ]);
  });

  it('are one where they promise the same, as likely as both', () => {
    const [first] = recognise({}, [PAIR, HIGH, TWIN]);
    expect(first).toEqual({ ids: [PAIR.id, 'twin'], likelihood: expect.closeTo(2 / 3, 12), against: [] });
  });

  it('are as likely as each other where the run shows nothing', () => {
    for (const { likelihood } of recognise({}, [PAIR, OPEN, LIMITED]))
      expect(likelihood).toBeCloseTo(1 / 3, 12);
  });

  it('are none of none', () => expect(recognise({ rest: 'low' }, [])).toEqual([]));
});

describe('what speaks against a style', () => {
  const words = (shown: StyleReading, promised: StyleReading) => contradictions(shown, promised);
  it.each<[StyleReading, StyleReading, string, string]>([
    [
      { rest: 'high' },
      { rest: 'low' },
      'rest',
      "a circuit that rests high, both leads at the feed; the profile's rests on ground or open",
    ],
    [
      { rest: 'low' },
      { rest: 'high' },
      'rest',
      "a circuit that rests on ground or open; the profile's rests high, both leads at the feed",
    ],
    [
      { release: 'coast' },
      { release: 'brake-high' },
      'release',
      "a circuit that lets the motor coast when released; the profile's brakes the motor to the feed",
    ],
    [
      { release: 'brake-ground' },
      { release: 'coast' },
      'release',
      "a circuit that brakes the motor to ground when released; the profile's lets the motor coast",
    ],
    [
      { coil: true },
      { coil: false },
      'coil',
      "a circuit worked by relays: their coils draw current; the profile's has the switch carry the motor",
    ],
    [
      { coil: false },
      { coil: true },
      'coil',
      "a circuit without relays on the coil feed: no coil draws current and the motor runs; the profile's is worked by relays",
    ],
  ])('%o against %o', (shown, promised, key, told) => {
    expect(words(shown, promised)).toEqual([{ key, words: told }]);
    expect(words(promised, promised)).toEqual([]);
    expect(words({}, promised)).toEqual([]);
  });
  it('is not a release that it does not promise', () => expect(words({ release: 'coast' }, {})).toEqual([]));
  it('is never which way it turns', () =>
    expect(words({ forward: 'negative' }, { forward: 'positive' })).toEqual([]));
});
