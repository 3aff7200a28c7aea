// From scores to findings: shares by Bayes' rule, causes that read the same told as one, nothing on the list.

import { describe, expect, it } from 'vitest';
import {
  backgroundLog,
  findingOf,
  grouped,
  likeliestFirst,
  nothingListed,
  numberTerm,
  posterior,
} from '../../host/diagnose/index.js';
import { type Ranked, UNEXPLAINED } from '../../host/diagnose/ranking.js';
import { hypothesis, student } from './handmade.js';

describe('a number', () => {
  it('has Student’s density with four degrees of freedom', () => {
    expect(numberTerm(0)).toBeCloseTo(0, 15);
    for (const z of [1, -1, 2.5, 8]) expect(numberTerm(z)).toBeCloseTo(student(z), 12);
  });
  it('that nothing explains is 3.2 deviations off, and starts from 0.3', () => {
    expect(UNEXPLAINED).toBeCloseTo(student(3.2), 12);
    expect(backgroundLog(4, 0.7)).toBeCloseTo(Math.log(0.3) + 0.7 * 4 * student(3.2), 12);
    expect(backgroundLog(0, 0.7)).toBeCloseTo(Math.log(0.3), 12);
  });
});

describe('the share of a cause', () => {
  it('is by Bayes’ rule, with nothing on the list among them, the likeliest first', () => {
    const scored = [
      { entry: 'a', score: Math.log(1) },
      { entry: 'b', score: Math.log(5) },
      { entry: 'c', score: Math.log(2) },
    ];
    const { ranked, unknown } = posterior(scored, Math.log(2));
    expect(ranked.map(({ entry }) => entry)).toEqual(['b', 'c', 'a']);
    expect(ranked.map(({ likelihood }) => likelihood)).toEqual([
      expect.closeTo(0.5, 12),
      expect.closeTo(0.2, 12),
      expect.closeTo(0.1, 12),
    ]);
    expect(unknown).toBeCloseTo(0.2, 12);
  });
  it('is a number however small the scores are, whichever is the largest', () => {
    const { ranked, unknown } = posterior([{ entry: 'a', score: -2000 }], -2000 + Math.log(3));
    expect(ranked[0]?.likelihood).toBeCloseTo(0.25, 12);
    expect(unknown).toBeCloseTo(0.75, 12);
    expect(posterior([{ entry: 'a', score: -2000 }], -4000).ranked[0]?.likelihood).toBeCloseTo(1, 12);
    expect(posterior([{ entry: 'a', score: -4000 }], -2000).unknown).toBeCloseTo(1, 12);
  });
  it('is nothing without causes', () => expect(posterior([], -3)).toEqual({ ranked: [], unknown: 1 }));
});

const ranked = (entry: string, likelihood: number): Ranked<string> => ({ entry, likelihood });

describe('groups', () => {
  const isSame = (a: string, b: string): boolean => a[0] === b[0];
  it('have their likeliest first, each held against that one alone', () => {
    const list = [ranked('a1', 0.5), ranked('b1', 0.2), ranked('a2', 0.1), ranked('c1', 0.05)];
    expect(grouped(list, isSame).map((group) => group.map(({ entry }) => entry))).toEqual([
      ['a1', 'a2'],
      ['b1'],
      ['c1'],
    ]);
    const chained = [ranked('1', 0.5), ranked('2', 0.3), ranked('3', 0.1)];
    const isNext = (a: string, b: string): boolean => Math.abs(Number(a) - Number(b)) === 1;
    expect(grouped(chained, isNext).map((group) => group.map(({ entry }) => entry))).toEqual([
      ['1', '2'],
      ['3'],
    ]);
  });
  it('leave out what is less likely than a quarter of a percent', () => {
    expect(grouped([ranked('a', 0.0025), ranked('b', 0.0024)], isSame)).toEqual([[ranked('a', 0.0025)]]);
  });
});

describe('a finding', () => {
  const member = (id: string, likelihood: number) => ({ entry: { hypothesis: hypothesis(id) }, likelihood });
  it('of one cause is told by it', () => {
    const { sentence, nextProbe, owner } = hypothesis('a');
    expect(findingOf([member('a', 0.4)])).toStrictEqual({
      id: 'a',
      likelihood: 0.4,
      sentence: 'a is so.',
      nextProbe: 'Look at a.',
      causes: [{ id: 'a', owner, sentence, nextProbe, likelihood: 0.4 }],
    });
  });
  it('of several is told by the first, names the next, and has the likelihood of all', () => {
    const found = findingOf([member('a', 0.4), member('b', 0.2), member('c', 0.1)]);
    expect(found.sentence).toBe('One of these three, which read the same: a is so; or b is so; or c is so.');
    expect(found.likelihood).toBeCloseTo(0.7, 12);
    expect(found.inseparable).toEqual(['b', 'c']);
    expect(found.nextProbe).toBe('Look at a.');
    expect(found.causes?.map(({ id, likelihood }) => [id, likelihood])).toEqual([
      ['a', 0.4],
      ['b', 0.2],
      ['c', 0.1],
    ]);
  });
  it('names no more than three beside the first, and says how many more', () => {
    const of = (ids: string) => findingOf([...ids].map((id) => member(id, 0.1)));
    expect(of('abcd').sentence).toBe(
      'One of these four, which read the same: a is so; or b is so; or c is so; or d is so.',
    );
    const more = of('abcdef');
    expect(more.sentence).toBe(
      'One of these six, which read the same: a is so; or b is so; or c is so; or d is so; or 2 more.',
    );
    expect(more.inseparable).toEqual(['b', 'c', 'd', 'e', 'f']);
  });
  it('that nothing on the list is the matter comes from a fifth on', () => {
    expect(nothingListed(0.19, 'unit')).toEqual([]);
    expect(nothingListed(0.2, 'relay')).toStrictEqual([
      {
        id: 'not-in-list',
        likelihood: 0.2,
        sentence: 'Nothing on the list of faults explains these readings well.',
        nextProbe: 'Check the profile against the relay on the bench, then repeat the run.',
      },
    ]);
  });
  it('stands before a less likely one', () => {
    const list = [member('a', 0.1), member('b', 0.6), member('c', 0.3)].map((one) => findingOf([one]));
    expect(list.sort(likeliestFirst).map(({ id }) => id)).toEqual(['b', 'c', 'a']);
  });
});
