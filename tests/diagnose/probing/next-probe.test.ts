// Which measurement parts what is left best: worked by hand, of a menu and of answers made up. Entropy by Shannon.

import { afterAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { itemAt } from '../../../host/arrays/index.js';
import { buildUnitCircuit, nominalInput, withoutRipple } from '../../../host/circuit/index.js';
import { type CircuitsInPieces, hypothesesOf, nextProbeOf } from '../../../host/diagnose/index.js';
import * as menu from '../../../host/diagnose/probing/menu.js';
import type { Candidate } from '../../../host/diagnose/probing/next-probe.js';
import type { ProbeAnswer, ProbeChoice, ProbeReading } from '../../../host/diagnose/probing/probe.js';
import type { ResolvedUnit } from '../../../host/profile/index.js';
import { shipped } from '../../judge/handmade.js';
import { hypothesis } from '../handmade.js';

// Put in place while these tests run, and taken away behind them: files share their modules.
const offered = vi.spyOn(menu, 'probeMenu');
afterAll(() => offered.mockRestore());
const ask = vi.fn((_: CircuitsInPieces): ProbeAnswer => ({ readings: [] }));
beforeEach(() => {
  offered.mockReset();
  ask.mockReset();
});

const UNIT: ResolvedUnit = shipped('entry-step-relays');
const BY_METER = { does: 'meter', state: 'thrown', costMin: 1.8 } as const;
const choice = (id: string): ProbeChoice => ({ ...BY_METER, id, question: `Ask ${id}`, ask });
const offer = (...ids: readonly string[]): void => {
  offered.mockReturnValue(ids.map(choice));
};
type Told = readonly (readonly [label: string, value: number, unit?: ProbeReading['unit']])[];
const answer = (told: Told): ProbeAnswer => ({
  readings: told.map(([label, value, unit = 'V']) => ({ label, value, unit })),
});
const volts = (value: number): Told => [['Lead A', value]];
/** What it reads to each question. */
const candidate = (id: string, told: Readonly<Record<string, Told>>, weight = 1): Candidate => ({
  hypothesis: hypothesis(id),
  weight,
  answers: Object.fromEntries(Object.entries(told).map(([of, reads]) => [of, answer(reads)])),
});

describe('a measurement', () => {
  it('tells one bit of two causes that read differently, and what each reads', () => {
    offer('drop');
    const probe = nextProbeOf(UNIT, [
      candidate('a', { drop: volts(0) }),
      candidate('b', { drop: volts(12) }),
    ]);
    expect(probe).toEqual({
      ...BY_METER,
      id: 'drop',
      bits: 1,
      sentence: 'Ask drop. Lead A 0.0 V: a is so; 12.0 V: b is so.',
    });
    expect(ask).not.toHaveBeenCalled();
  });

  it('tells nothing where a person would not hold the readings apart', () => {
    offer('drop');
    // Four seen differences of 0.15 V.
    const parted = (value: number) =>
      nextProbeOf(UNIT, [candidate('a', { drop: volts(0) }), candidate('b', { drop: volts(value) })]);
    expect(parted(0.59)).toBeUndefined();
    expect(parted(0.61)?.bits).toBe(1);
  });

  it('tells by any of its readings', () => {
    offer('two');
    const two = (first: number, second: number): Told => [
      ['Lead A', first],
      ['Lead B', second],
    ];
    const probe = nextProbeOf(UNIT, [
      candidate('a', { two: two(1, 2) }),
      candidate('b', { two: two(1.1, 9) }),
    ]);
    expect(probe?.sentence).toBe('Ask two. Lead B 2.0 V: a is so; 9.0 V: b is so.');
  });

  it('tells as much as the weights leave open', () => {
    offer('drop');
    const three = [
      candidate('a', { drop: volts(0) }, 2),
      candidate('b', { drop: volts(6) }),
      candidate('c', { drop: volts(0.1) }),
    ];
    // 3 of 4 against 1 of 4.
    const probe = nextProbeOf(UNIT, three);
    expect(probe?.bits).toBeCloseTo(-0.75 * Math.log2(0.75) - 0.25 * Math.log2(0.25), 12);
    expect(probe?.sentence).toBe('Ask drop. Lead A 0.0 V: a is so, or 1 more; 6.0 V: b is so.');
  });

  it('that tells less than 0.15 bit is not worth it', () => {
    offer('drop');
    const unlikely = (weight: number) =>
      nextProbeOf(UNIT, [
        candidate('a', { drop: volts(0) }, 1 - weight),
        candidate('b', { drop: volts(9) }, weight),
      ]);
    // 0.1614 and 0.1330 bit.
    expect(unlikely(0.0237)?.bits).toBeCloseTo(0.1614, 3);
    expect(unlikely(0.0185)).toBeUndefined();
  });

  it('is not that on a battery, however much it tells', () => {
    offer('motor-on-battery');
    expect(
      nextProbeOf(UNIT, [
        candidate('a', { 'motor-on-battery': volts(0) }),
        candidate('b', { 'motor-on-battery': volts(9) }),
      ]),
    ).toBeUndefined();
  });

  it('is looked for between two causes at least', () => {
    offer('drop');
    expect(nextProbeOf(UNIT, [])).toBeUndefined();
    expect(nextProbeOf(UNIT, [candidate('a', { drop: volts(0) })])).toBeUndefined();
    expect(offered).not.toHaveBeenCalled();
  });
});

describe('of several measurements', () => {
  const told = (first: Told, second: Told) => ({ first, second });
  it('the one that tells most is taken', () => {
    offer('first', 'second');
    const probe = nextProbeOf(UNIT, [
      candidate('a', told(volts(0), volts(0))),
      candidate('b', told(volts(0), volts(4))),
      candidate('c', told(volts(9), volts(9))),
    ]);
    expect(probe?.id).toBe('second');
    expect(probe?.bits).toBeCloseTo(Math.log2(3), 12);
  });

  it('the easier of two that tell the same is taken', () => {
    offer('first', 'second');
    const same = [candidate('a', told(volts(0), volts(0))), candidate('b', told(volts(9), volts(9)))];
    expect(nextProbeOf(UNIT, same)?.id).toBe('first');
  });

  it('what tells most a minute is taken, and of what tells as much the earlier in the order of a good hand', () => {
    const chosen = (first: Partial<ProbeChoice>, second: Partial<ProbeChoice>) => {
      offered.mockReturnValue([
        { ...choice('first'), ...first },
        { ...choice('second'), ...second },
      ]);
      return nextProbeOf(UNIT, [
        candidate('a', told(volts(0), volts(0))),
        candidate('b', told(volts(9), volts(9))),
      ])?.id;
    };
    expect(chosen({ costMin: 2 }, { costMin: 1.7 })).toBe('second');
    expect(chosen({ costMin: 1.7 }, { costMin: 2 })).toBe('first');
    // Less than a tenth apart is as good.
    expect(chosen({ costMin: 2 }, { costMin: 1.9 })).toBe('first');
    expect(chosen({ costMin: 1.2 }, { costMin: 1.2, does: 'exchange' })).toBe('second');
  });
  it('one that tells more is worth its minutes', () => {
    const dearer = (costMin: number) => {
      offered.mockReturnValue([choice('first'), { ...choice('second'), costMin }]);
      return nextProbeOf(UNIT, [
        candidate('a', told(volts(0), volts(0))),
        candidate('b', told(volts(0), volts(4))),
        candidate('c', told(volts(9), volts(9))),
      ])?.id;
    };
    // 0.9183 bit in 1.8 minutes, 0.510 a minute; log2 3 in 2.7 minutes 0.587, in 2.9 minutes 0.547.
    expect(dearer(2.7)).toBe('second');
    expect(dearer(2.9)).toBe('first');
  });
});

describe('what a hand changes', () => {
  it('tells only by what changes: what stood there before, the rig has read', () => {
    const exchange = (before: [number, number], after: [number, number]) => {
      offered.mockReturnValue([{ ...choice('exchange'), before: ask }]);
      const [a, b] = before;
      return nextProbeOf(UNIT, [
        candidate('a', { exchange: volts(after[0]), 'exchange before': volts(a) }),
        candidate('b', { exchange: volts(after[1]), 'exchange before': volts(b) }),
      ])?.sentence;
    };
    expect(exchange([0, 0], [12, 0])).toBe('Ask exchange. Lead A 12.0 V: a is so; 0.0 V: b is so.');
    expect(exchange([12, 5], [12, 5])).toBeUndefined();
  });
});

describe('what the run has read', () => {
  it('is not read again, unless one of its channels was not sampled', () => {
    offered.mockReturnValue([{ ...choice('leads'), reads: ['leadAVoltageV', 'leadBVoltageV'] }]);
    const two = [candidate('a', { leads: volts(0) }), candidate('b', { leads: volts(9) })];
    expect(nextProbeOf(UNIT, two, new Set(['leadAVoltageV', 'leadBVoltageV'] as const))).toBeUndefined();
    expect(nextProbeOf(UNIT, two, new Set(['leadAVoltageV'] as const))?.id).toBe('leads');
  });
});

describe('eyes and fingers', () => {
  const clip = (id: string, weight = 1): Candidate => ({
    ...candidate(id, { drop: volts(9) }, weight),
    hypothesis: {
      ...hypothesis(id),
      probe: { does: 'press', at: [], asks: 'Press the clip: does it jump?', ifYes: 'move it' },
    },
  });
  it('go before the meter where they tell as much a minute or more', () => {
    offer('drop');
    const probe = nextProbeOf(UNIT, [candidate('joint', { drop: volts(0) }, 2), clip('clip')]);
    expect(probe).toMatchObject({ id: 'press-clip', does: 'wiggle', state: 'thrown', costMin: 0.3 });
    expect(probe?.sentence).toBe('Press the clip: does it jump? Yes: that is it (move it); no: joint is so.');
    // A yes of 0.93 if it is the clip and of 0.04 if not: entropy of 0.3367, less a third of 0.3659 and two of 0.2423.
    expect(probe?.bits).toBeCloseTo(0.9214 - 0.3659 / 3 - (2 * 0.2423) / 3, 3);
  });
  it('are not asked where they tell next to nothing', () => {
    offer('drop');
    expect(nextProbeOf(UNIT, [candidate('joint', { drop: volts(0) }, 99), clip('clip')])).toBeUndefined();
  });
  it('no circuit is solved for what could not tell more', () => {
    offer('drop');
    nextProbeOf(UNIT, [{ ...candidate('joint', {}), answers: {} }, clip('clip')]);
    expect(ask).not.toHaveBeenCalled();
  });
});

describe('the sentence', () => {
  const sentence = (...each: readonly Told[]): string | undefined => {
    offer('it');
    return nextProbeOf(
      UNIT,
      each.map((it, i) => candidate(`c${i}`, { it }, 10 - i)),
    )?.sentence;
  };
  it('tells three outcomes at most, the likeliest first', () => {
    expect(sentence(volts(0), volts(4), volts(8), volts(12))).toBe(
      'Ask it. Lead A 0.0 V: c0 is so; 4.0 V: c1 is so; 8.0 V: c2 is so.',
    );
  });
  it('tells each by the reading that parts it best from the others told', () => {
    const read = (a: number, b: number): Told => [
      ['Lead A', a],
      ['Lead B', b],
    ];
    expect(sentence(read(0, 5), read(0, 0), read(9, 0))).toBe(
      'Ask it. Lead B 5.0 V: c0 is so; Lead A 0.0 V: c1 is so; 9.0 V: c2 is so.',
    );
  });
  it('takes the five likeliest', () => {
    offer('it');
    const six = [32, 16, 8, 4, 2, 1].map((value, i) => candidate(`c${i}`, { it: volts(value) }, i + 1));
    const probe = nextProbeOf(UNIT, six);
    expect(probe?.sentence).toBe('Ask it. Lead A 1.0 V: c5 is so; 2.0 V: c4 is so; 4.0 V: c3 is so.');
    const weights = [6, 5, 4, 3, 2].map((weight) => weight / 20);
    expect(probe?.bits).toBeCloseTo(-weights.reduce((sum, share) => sum + share * Math.log2(share), 0), 12);
  });
  it('writes ohms as a meter does, next to nothing as nothing', () => {
    const ohm = (value: number): Told => [['Wire', value, 'Ohm']];
    expect(sentence(ohm(0.31), ohm(85.4), ohm(Number.POSITIVE_INFINITY))).toBe(
      'Ask it. Wire 0.3 Ω: c0 is so; 85 Ω: c1 is so; open: c2 is so.',
    );
    expect(sentence(ohm(9.94), ohm(99_900))).toBe('Ask it. Wire 9.9 Ω: c0 is so; 100 kΩ: c1 is so.');
    expect(sentence(ohm(10), ohm(100_000))).toBe('Ask it. Wire 10 Ω: c0 is so; open: c1 is so.');
    expect(sentence(volts(-0.049), volts(0.9))).toBe('Ask it. Lead A 0.0 V: c0 is so; 0.9 V: c1 is so.');
    expect(sentence([['Feed', -2, 'A']], [['Feed', 3, 'A']])).toBe(
      'Ask it. Feed -2.0 A: c0 is so; 3.0 A: c1 is so.',
    );
  });
  it('says so where nothing is read', () => {
    const three = (...values: readonly number[]): Told =>
      values.map((value, i) => [`Lead ${'ABC'[i]}`, value] as const);
    expect(sentence(three(0, 0, 0), three(9, 9, 9), three(Number.NaN, 0, 9))).toContain(
      'Lead A nothing: c2 is so',
    );
    expect(sentence(three(Number.NaN), three(4))).toBeUndefined();
  });
});

describe('what is not known yet', () => {
  it('is asked of the nominal unit with the cause in it, at its middle strength, and kept', () => {
    offer('drop', 'other');
    const [joint] = hypothesesOf(UNIT).filter(({ id }) => id === 'ground-resistance');
    const known = candidate('b', { drop: volts(9), other: volts(9) });
    const asked: Candidate = { hypothesis: joint ?? hypothesis('none'), weight: 1, answers: {} };
    ask.mockImplementation((circuits) => {
      const good = withoutRipple(nominalInput(UNIT));
      const edits = itemAt(asked.hypothesis.ways, Math.floor(asked.hypothesis.ways.length / 2));
      const faults = [{ ...asked.hypothesis, edits }];
      expect(circuits.whole().netlist).toEqual(buildUnitCircuit({ ...good, faults }).netlist);
      return answer(volts(2));
    });
    expect(asked.hypothesis.ways.length).toBeGreaterThan(0);
    expect(nextProbeOf(UNIT, [asked, known])?.bits).toBe(1);
    // The other could tell no more, and is not solved.
    expect(asked.answers).toEqual({ drop: answer(volts(2)) });
    nextProbeOf(UNIT, [asked, known]);
    expect(ask).toHaveBeenCalledTimes(1);
  });
});
