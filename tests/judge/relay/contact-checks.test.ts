// A relay's contacts: which one carries when, how long they take, what they drop. From 1 A on contacts can be judged; at
// most 50 mV at 10 A as new (dtsheet.com/doc/683074), twice that used (common practice, no source).

import { describe, expect, it } from 'vitest';
import type { Reads } from '../handmade.js';
import { checksOf, cycle, type MadeRelay, relayCheck } from './handmade.js';

const GOOD_CYCLE = cycle('rest', 'working', 'rest');

describe('which contact carries', () => {
  const COUNTS: Reads = { cycles: 5, cyclesAtRest: 5, cyclesOperated: 5, cyclesReturned: 5, cyclesLetGo: 5 };
  const carries = (id: string, read: Reads, cycles = [GOOD_CYCLE]) => {
    const { outcome, sentence, of } = relayCheck(id, { read: { ...COUNTS, ...read }, cycles });
    expect(of).toBe('relay');
    return [outcome, sentence];
  };

  it.each([
    [
      'rest-contact',
      'cyclesAtRest',
      'With the coil off 30-87a carries in each of 5 cycles.',
      'With the coil off 30-87a does not carry in 2 of 5 cycles.',
    ],
    [
      'operates',
      'cyclesOperated',
      'With the coil on 30-87 carries in each of 5 cycles.',
      'With the coil on 30-87 does not carry in 2 of 5 cycles.',
    ],
    [
      'returns',
      'cyclesReturned',
      'After coil off 30-87a carries again in each of 5 cycles.',
      'After coil off 30-87a does not carry again in 2 of 5 cycles.',
    ],
    [
      'weld',
      'cyclesLetGo',
      '30-87 is open 20 ms after coil off in each of 5 cycles.',
      '30-87 is not open 20 ms after coil off in 2 of 5 cycles: welded, sticking, or bridged.',
    ],
  ] as const)('%s is counted in every cycle', (id, what, good, bad) => {
    expect(carries(id, {})).toEqual(['pass', good]);
    expect(carries(id, { [what]: 3 })).toEqual(['fail', bad]);
  });

  it('is not seen without a cycle under load', () => {
    const untested = [
      'not-tested',
      'With the coil on 30-87 carries: not tested, no cycle under load was seen.',
    ];
    expect(carries('operates', { cycles: 0 })).toEqual(untested);
    expect(carries('operates', {}, [cycle('unknown', 'unknown', 'rest')])).toEqual(untested);
    expect(carries('operates', {}, [])).toEqual(untested);
    const { cycles: _, ...none } = COUNTS;
    expect(relayCheck('operates', { read: none, cycles: [GOOD_CYCLE] }).outcome).toBe('not-tested');
  });

  it('is seen where one side of one cycle was', () => {
    const blind = cycle('unknown', 'unknown', 'unknown');
    expect(carries('operates', {}, [blind, cycle('rest', 'unknown', 'rest')])[0]).toBe('pass');
    expect(carries('operates', {}, [blind, cycle('unknown', 'working', 'rest')])[0]).toBe('pass');
  });

  it('that was not counted at all never carried', () => {
    const { cyclesOperated: _, ...read } = COUNTS;
    expect(relayCheck('operates', { read, cycles: [GOOD_CYCLE] }).sentence).toContain('in 5 of 5 cycles');
  });
});

describe('times', () => {
  const time = (id: string, read: Reads, more: MadeRelay = {}) => relayCheck(id, { read, ...more });

  it.each([
    ['operate-time', 'operateS', 'From coil on to 30-87 closed it takes', 'at most 10 ms', true, 'published'],
    [
      'release-time',
      'releaseS',
      'From coil off to 30-87a closed it takes',
      'at most 8 ms',
      true,
      'published',
    ],
    [
      'release-opens',
      'releaseOpensS',
      'From coil off to 30-87 open it takes',
      'at most 8 ms',
      false,
      'published',
    ],
    ['make-bounce', 'makeBounceS', '30-87 bounces for', 'at most 3 ms', true, 'generic'],
    ['break-bounce', 'breakBounceS', '30-87a bounces for', 'at most 3 ms', true, 'generic'],
  ] as const)('%s has a most', (id, what, words, limit, required, origin) => {
    expect(time(id, { [what]: [0.002, 0.0003] })).toMatchObject({
      of: 'relay',
      required,
      origin,
      outcome: 'pass',
      sentence: `${words} 2.0 ± 0.3 ms (${limit}).`,
    });
    expect(time(id, { [what]: [0.05, 0.0003] }).outcome).toBe('fail');
    expect(time(id, {})).toMatchObject({
      required,
      outcome: 'not-tested',
      sentence: expect.stringMatching(/^(Time|Bounce).* not measured, the contact did not change over\.$/),
    });
  });

  it.each([
    ['operate-gap', 'operateGapS', 'Between 30-87a open and 30-87 closed pass'],
    ['release-gap', 'releaseGapS', 'Between 30-87 open and 30-87a closed pass'],
  ] as const)('%s has a least', (id, what, words) => {
    expect(time(id, { [what]: [0.001, 0.0002] })).toMatchObject({
      outcome: 'pass',
      lower: 0.0003,
      required: true,
    });
    expect(time(id, { [what]: [0, 0.0002] })).toMatchObject({
      outcome: 'fail',
      sentence: `${words} 0.0 ± 0.2 ms (at least 0.3 ms). Without a gap feed and ground meet in the relay.`,
    });
  });

  it('are allowed for the supply that the coil had', () => {
    const on = (coilSupplyVoltageV: number) =>
      time('operate-time', { operateS: 0.011, coilSupplyVoltageV }).outcome;
    expect(on(9)).toBe('pass');
    expect(on(13)).toBe('fail');
  });

  it('are told in their order, by their ranks', () => {
    const ids = checksOf()
      .filter(({ kind }) => kind.rank >= 130 && kind.rank <= 140)
      .map(({ id, kind }) => [id, kind.rank]);
    expect(ids).toEqual([
      ['operate-time', 130],
      ['release-time', 130],
      ['release-opens', 130],
      ['make-bounce', 140],
      ['break-bounce', 140],
      ['operate-gap', 135],
      ['release-gap', 135],
    ]);
  });
});

describe('drops', () => {
  const READS: Reads = {
    makeTestCurrentA: [1.7, 0.02],
    makeDropV: [0.0051, 0.0008],
    makeDropAt10AV: [0.03, 0.003],
    makeResistanceOhm: [0.003, 0.0003],
    breakTestCurrentA: [6.04, 0.05],
    breakDropV: [0.03, 0.002],
    breakDropAt10AV: [0.06, 0.002],
    breakResistanceOhm: [0.006, 0.0002],
  };
  const drop = (id: string, read: Reads = READS) => relayCheck(id, { read });

  it('of the working contact are told at 10 A, with what was read', () => {
    expect(drop('make-drop')).toMatchObject({
      of: 'relay',
      outcome: 'pass',
      required: true,
      origin: 'generic',
      value: 0.03,
      upper: 0.1,
      sentence: '30-87 drops 30 ± 3 mV at 10 A (5 ± 1 mV at 1.7 A, 3.0 ± 0.3 mΩ; at most 100 mV).',
    });
  });

  it('of the rest contact, too; as new it would drop less, which nobody requires', () => {
    expect(drop('break-drop')).toMatchObject({ outcome: 'pass', value: 0.06, required: true });
    expect(drop('break-drop-as-new')).toMatchObject({
      of: 'relay',
      outcome: 'fail',
      required: false,
      origin: 'published',
      upper: 0.05,
      sentence: '30-87a drops 60 ± 2 mV at 10 A (30 ± 2 mV at 6.0 A, 6.0 ± 0.2 mΩ; a new one at most 50 mV).',
    });
    expect(drop('make-drop-as-new').outcome).toBe('pass');
  });

  it('that are close to the limit say so', () => {
    expect(drop('make-drop', { ...READS, makeDropAt10AV: [0.099, 0.003] })).toMatchObject({
      outcome: 'conditional-pass',
      sentence: expect.stringContaining('at most 100 mV, too close to the limit to be sure).'),
    });
  });

  it.each(['makeTestCurrentA', 'makeDropV', 'makeDropAt10AV', 'makeResistanceOhm'] as const)(
    'are not tested without %s',
    (what) => {
      const { [what]: _, ...read } = READS;
      expect(drop('make-drop', read)).toMatchObject({
        outcome: 'not-tested',
        sentence: 'Drop of 30-87: not tested, it did not carry the load.',
      });
      expect(checksOf({ read }).some(({ id }) => id === 'make-drop-as-new')).toBe(false);
      expect(drop('break-drop', read).outcome).toBe('pass');
    },
  );

  it('are not tested under less than 1 A for sure', () => {
    expect(drop('make-drop', { ...READS, makeTestCurrentA: [0.97, 0.02] })).toMatchObject({
      outcome: 'not-tested',
      sentence: 'Drop of 30-87: not tested, 0.97 A is under the 1 A from which contacts can be judged.',
    });
    expect(drop('make-drop', { ...READS, makeTestCurrentA: [0.75, 0.25] }).outcome).toBe('pass');
  });
});
