// The engine: what a probe would read by Ohm's law and the profile's own numbers, Bayes' rule and expected information in
// closed form, what it says when one cause, several or none is left, and the start from a profile before any power.

import { describe, expect, it } from 'vitest';
import { ACTIONS, HEALTHY, hypothesesOf } from '../../host/diagnose/index.js';
import {
  causesOfProfile,
  causesOfRun,
  conclude,
  displayed,
  informationOf,
  type Probe,
  type Probing,
  type Reading,
  type Start,
  standingOf,
  startProbing,
  walk,
  withReading,
} from '../../host/probe/index.js';
import { loadUnit, plainValues } from '../../host/profile/index.js';

const UNIT = loadUnit('entry-step-relays');
const LIST = hypothesesOf(UNIT);
const cause = (id: string) => {
  const found = LIST.find((each) => each.id === id);
  if (found === undefined) throw new Error(`no cause ${id}`);
  return found;
};
const among = (weights: Record<string, number>, further: Partial<Start> = {}): Probing =>
  startProbing({
    ...{ unit: UNIT, feed: 'full', unlisted: 1e-6, supplyV: 12.6 },
    causes: Object.entries(weights).map(([id, weight]) => ({ cause: cause(id), weight, isNamed: true })),
    ...further,
  });
const probeOf = ({ menu }: Probing, id: string): Probe => {
  const found = menu.find((each) => each.id === id);
  if (found === undefined) throw new Error(`no probe ${id}`);
  return found;
};
/** What a probe foretells of a cause in its first way. */
const foretold = (id: string, probe: string): number => {
  const probing = among({ [id]: 1 });
  const [way] = probing.suspects[0]?.ways ?? [];
  if (way === undefined) throw new Error(`${id} has no way`);
  const expected = probeOf(probing, probe).expect(way);
  return 'value' in expected ? expected.value : expected.yes;
};
const chanceOf = (probing: Probing, id: string): number =>
  standingOf(probing).ranked.find(({ suspect }) => suspect.cause.id === id)?.chance ?? 0;
const answer = (yes: boolean): Reading => ({ kind: 'answer', yes });
const read = (value: number): Reading => ({ kind: 'number', value });

describe('what a probe would read', () => {
  it('by the profile: a good coil its ohms beside its own damping resistor, an open one nothing', () => {
    const relay = UNIT.relay && plainValues(UNIT.relay);
    if (relay?.suppression.kind !== 'resistor') throw new Error('the relay has no damping resistor');
    // Two resistances side by side; copper 0.393 % a kelvin from 20 C (IEC 60028).
    const { nominal } = UNIT.unit.temperatureC;
    const coilOhm = relay.coilResistanceOhm * (1 + 0.00393 * (nominal - 20));
    const bothOhm = 1 / (1 / coilOhm + 1 / relay.suppression.resistanceOhm);
    expect(foretold(HEALTHY, 'ohms-k2-86-85')).toBeCloseTo(bothOhm, 1);
    expect(foretold('k2-coil-open', 'ohms-k2-86-85')).toBe(Number.POSITIVE_INFINITY);
    expect(foretold(HEALTHY, 'ohms-k2-30-87')).toBe(Number.POSITIVE_INFINITY);
    expect(foretold(HEALTHY, 'ohms-k2-30-87a')).toBeLessThan(0.1);
  });

  it('by the circuit: 85 of K2 stands high through its coil until the trigger grounds it', () => {
    expect(foretold(HEALTHY, 'volts-k2-85-forward')).toBeGreaterThan(11.8);
    expect(foretold(HEALTHY, 'volts-k2-85-reverse')).toBeLessThan(0.2);
    // Behind an open coil nothing lifts 85; before it 86 stays at the coil feed.
    expect(foretold('k2-coil-open', 'volts-k2-85-forward')).toBeLessThan(0.5);
    expect(foretold('k2-coil-open', 'volts-k2-86-reverse')).toBeGreaterThan(11.8);
    expect(foretold('trigger-reverse-open', 'volts-k2-85-reverse')).toBeGreaterThan(11.8);
  });

  it('by the terminal: where wires are exchanged in the socket, 87 is where the wire of 87a ends', () => {
    expect(foretold(HEALTHY, 'volts-k2-87-reverse')).toBeGreaterThan(11);
    expect(foretold('k2-87-87a-exchanged', 'volts-k2-87-reverse')).toBeLessThan(1);
  });

  it('by ear: a relay clicks when its own way is thrown, and not with an open coil', () => {
    expect(foretold(HEALTHY, 'listen-k2-reverse')).toBeGreaterThan(0.9);
    expect(foretold(HEALTHY, 'listen-k2-forward')).toBeLessThan(0.1);
    expect(foretold('k2-coil-open', 'listen-k2-reverse')).toBeLessThan(0.1);
  });

  it('by the twin: what is in the relay moves with it, what is in its wire stays', () => {
    expect(foretold('k2-coil-open', 'exchange-k1-k2')).toBeGreaterThan(0.9);
    expect(foretold('k2-86-coil-feed-open', 'exchange-k1-k2')).toBeLessThan(0.1);
  });

  it('by a hand meter: 0.1 Ohm and 0.01 V a step, open beyond its ranges', () => {
    expect(displayed('ohms', 85.37)).toBeCloseTo(85.4, 9);
    expect(displayed('volts', 11.876)).toBeCloseTo(11.88, 9);
    expect(displayed('ohms', 3e6)).toBe(Number.POSITIVE_INFINITY);
    expect(displayed('diode', 1.99)).toBe(Number.POSITIVE_INFINITY);
  });
});

describe('a reading', () => {
  it("weighs by Bayes' rule: an answer that is 19 to 1 for one cause makes 1 to 1 into 19 to 1", () => {
    const even = among({ 'k2-coil-open': 0.5, 'k2-86-coil-feed-open': 0.5 });
    const after = withReading(even, probeOf(even, 'exchange-k1-k2'), answer(true));
    const odds = chanceOf(after, 'k2-coil-open') / chanceOf(after, 'k2-86-coil-feed-open');
    // 0.95 and 0.05 of the probe, each mixed with one misreading in a hundred, which says nothing (0.5).
    expect(odds).toBeCloseTo((0.99 * 0.95 + 0.005) / (0.99 * 0.05 + 0.005), 6);
  });

  it('tells 1 bit less its doubt: of two even causes and an answer that errs one in twenty', () => {
    const even = among({ 'k2-coil-open': 0.5, 'k2-86-coil-feed-open': 0.5 });
    const { ranked } = standingOf(even);
    // Mutual information of a binary symmetric channel: 1 - H(p) (Cover and Thomas, Elements of Information Theory, 7.1.4).
    const p = 0.99 * 0.05 + 0.005;
    const h = -p * Math.log2(p) - (1 - p) * Math.log2(1 - p);
    expect(informationOf(probeOf(even, 'exchange-k1-k2'), ranked)).toBeCloseTo(1 - h, 2);
  });

  it('tells nothing where both causes read the same', () => {
    const even = among({ 'k2-coil-open': 0.5, 'k2-86-coil-feed-open': 0.5 });
    expect(informationOf(probeOf(even, 'volts-k1-87-forward'), standingOf(even).ranked)).toBeLessThan(0.02);
  });

  it('of a bad joint may lie anywhere between nothing and the full strength', () => {
    const start = among({ 'ground-resistance': 0.5, [HEALTHY]: 0.5 });
    const drop = probeOf(start, 'volts-ground-joint-forward');
    const full = foretold('ground-resistance', 'volts-ground-joint-forward');
    for (const part of [0.3, 0.6, 1])
      expect(chanceOf(withReading(start, drop, read(part * full)), 'ground-resistance')).toBeGreaterThan(0.9);
    expect(chanceOf(withReading(start, drop, read(0.1)), HEALTHY)).toBeGreaterThan(0.5);
  });
});

describe('the menu', () => {
  it('goes from a glance to the meter, and each probe says where, in which state, at what cost', () => {
    const { menu } = among({ 'k2-coil-open': 1, 'k1-four-pin': 1 });
    const places = menu.map(({ does }) => ACTIONS.indexOf(does));
    expect(places).toEqual([...places].sort((a, b) => a - b));
    expect(new Set(menu.map(({ id }) => id)).size).toBe(menu.length);
    for (const { words, costMin } of menu) {
      expect(costMin).toBeGreaterThan(0);
      expect(words).not.toMatch(/undefined|\bnull\b/);
      expect(words.length).toBeLessThanOrEqual(170);
    }
    expect(probeOf(among({ 'k2-coil-open': 1 }), 'volts-k2-85-reverse')).toMatchObject({
      words: 'Throw reverse and measure 85 of K2 to ground',
      state: 'thrown',
      where: [{ words: '85 of K2' }],
    });
  });

  it('sends nobody to a meter where a relay and its twin tell as much', () => {
    const start = among({ 'k2-coil-open': 0.5, 'k2-86-coil-feed-open': 0.5 });
    const now = conclude(start, ({ does }) => does !== 'clip');
    expect(now.kind === 'open' && now.next.does).toBe('exchange');
  });
});

describe('the end', () => {
  it('is one cause when it stands alone', () => {
    const start = among({ 'k2-coil-open': 0.5, 'k2-86-coil-feed-open': 0.5 });
    const after = withReading(start, probeOf(start, 'ohms-k2-86-85'), read(Number.POSITIVE_INFINITY));
    const end = conclude(after, () => true);
    expect(end.kind).toBe('one');
    expect(end.kind === 'one' && end.left[0].suspect.cause.id).toBe('k2-coil-open');
  });

  it('is a group where nothing that can be taken parts them', () => {
    const start = among({ 'k2-coil-open': 0.5, 'k2-86-coil-feed-open': 0.5 });
    const end = conclude(start, () => false);
    expect(end.kind).toBe('group');
    expect(end.kind === 'group' && end.left).toHaveLength(2);
  });

  it('is no single cause beside readings that none of the list gives: it is asked to show itself', () => {
    const start = among({ 'k2-coil-open': 0.9, [HEALTHY]: 0.001 }, { unlisted: 0.3 });
    const now = conclude(start, ({ does }) => does !== 'clip');
    expect(now.kind).toBe('open');
    expect(conclude(start, () => false).kind).toBe('unlisted');
  });

  it('is none of the list when the readings fit no cause of it', () => {
    let probing = among({ 'k2-coil-open': 0.5, 'k2-86-coil-feed-open': 0.5 }, { unlisted: 0.01 });
    // Volts that no cause gives: 5 V where each foretells 0 or 12.
    for (const id of ['volts-k2-86-reverse', 'volts-k2-85-forward', 'volts-k1-86-forward'])
      probing = withReading(probing, probeOf(probing, id), read(5));
    expect(conclude(probing, () => true).kind).toBe('unlisted');
  });
});

describe('where it starts', () => {
  it('from a run takes the weights of its findings, the rest of the list far behind', () => {
    const causes = causesOfRun(UNIT, [
      { id: 'k2-coil-open', likelihood: 0.9, inseparable: ['k2-86-coil-feed-open'] },
    ]);
    expect(
      causes?.causes.filter(({ isNamed }) => isNamed).map(({ cause: { id }, weight }) => [id, weight]),
    ).toEqual(
      expect.arrayContaining([
        ['k2-coil-open', 0.45],
        ['k2-86-coil-feed-open', 0.45],
      ]),
    );
    expect(causes?.causes).toHaveLength(LIST.length);
    const total = (causes?.causes ?? []).reduce((sum, { weight }) => sum + weight, causes?.unlisted ?? 0);
    expect(total).toBeCloseTo(1, 6);
  });

  it('names nothing to probe where a run names no cause of the list', () => {
    expect(causesOfRun(UNIT, [])).toBeUndefined();
    expect(causesOfRun(UNIT, [{ id: 'not-in-list', likelihood: 1 }])).toBeUndefined();
    expect(causesOfRun(UNIT, [{ id: HEALTHY, likelihood: 1 }])).toBeUndefined();
  });

  it('takes in what the run did not name when what it named fits nothing', () => {
    const named = causesOfRun(UNIT, [{ id: 'k1-coil-open', likelihood: 0.9 }]);
    if (named === undefined) throw new Error('no causes');
    const start = startProbing({ unit: UNIT, feed: 'full', supplyV: 12.6, ...named });
    const truth = 'k2-coil-open';
    const told = ['volts-k2-85-forward', 'ohms-k2-86-85', 'ohms-k1-86-85', 'volts-k2-86-reverse'];
    const after = told.reduce((so, id) => withReading(so, probeOf(so, id), read(foretold(truth, id))), start);
    expect(standingOf(after).ranked[0]?.suspect.cause.id).toBe(truth);
  });

  it('from a profile before any power: a meter on a dead harness finds an open coil', async () => {
    const start = startProbing({ unit: UNIT, feed: 'full', ...causesOfProfile(UNIT) });
    const truth = cause('k2-coil-open');
    const [way] = among({ [truth.id]: 1 }).suspects[0]?.ways ?? [];
    if (way === undefined) throw new Error('no way');
    const { end, probing } = await walk(
      start,
      {
        can: ({ state, does }) => state !== 'thrown' && does !== 'look',
        take: async (probe) => {
          const expected = probe.expect(way);
          return 'yes' in expected ? answer(expected.yes > 0.5) : read(expected.value);
        },
      },
      { taken: () => {}, undone: () => {} },
    );
    expect(end?.left.map(({ suspect }) => suspect.cause.id)).toContain(truth.id);
    expect(probing.taken.every(({ probe }) => probe.state !== 'thrown')).toBe(true);
  });
});
