// A batch of two makes is told as what it is, by the tags of either, and a batch of one is not.

import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../host/circuit/index.js';
import { shapeSentences } from '../../host/commands/learn-text.js';
import { columnsOf, shapesFound } from '../../host/learn/index.js';
import { type Population, startsOf } from './population.js';

// Spreads of a few per cent, by hand: friction is what parts the two makes.
const TRUTH: Population = { causes: [0.02, 0.02, 0.04, 0.02], ofWay: 0.005, ofStart: 0.005 };
const batch = (seed: number, friction: (nth: number) => number) => {
  const random = seededRandom(seed);
  return Array.from({ length: 12 }, (_, nth) =>
    startsOf(TRUTH, `V-01${String(nth + 10)}`, random, { times: [1, 1, friction(nth), 1] }),
  ).flat();
};

describe('a batch', () => {
  it('of two makes is named with the units of either', () => {
    const runs = batch(41, (nth) => (nth < 6 ? 1 : 1.6));
    const found = shapesFound(columnsOf(runs));
    const running = found.find(({ words }) => words === 'forward: running current');
    expect(running?.shape).toBe('two groups');
    expect(running?.groups.map(({ units }) => units)).toEqual([
      ['V-0110', 'V-0111', 'V-0112', 'V-0113', 'V-0114', 'V-0115'],
      ['V-0116', 'V-0117', 'V-0118', 'V-0119', 'V-0120', 'V-0121'],
    ]);
    const sentence = shapeSentences(found).join(' ');
    expect(sentence).toMatch(
      /stand in two groups in .*running current.*: V-0110, .* at [\d.]+ to [\d.]+ A, V-0116/,
    );
    expect(sentence).toMatch(/Two makes, two windings or two days\? Learn each by itself\./);
  });

  it('of one make is seldom named: one in twenty is stated', () => {
    let named = 0;
    for (let seed = 100; seed < 160; seed++)
      if (shapesFound(columnsOf(batch(seed, () => 1))).length > 0) named++;
    // 60 batches, both ways at 5 %: 6 expected at the most, and three standard deviations.
    expect(named).toBeLessThanOrEqual(6 + 3 * Math.sqrt(6));
  });
});
