// A unit that stands apart is named, and good sets seldom have one named; two tags of one unit are pointed at.
// Populations are drawn, no outside source.

import { describe, expect, it } from 'vitest';
import { type SeededRandom, seededRandom } from '../../host/circuit/index.js';
import { columnsOf, type GoodRun, leftOut, lookAlikes } from '../../host/learn/index.js';
import { population, runOf } from './population.js';

const named = (runs: readonly GoodRun[]): string[] =>
  leftOut(columnsOf(runs)).flatMap(({ unit, isOdd }) => (isOdd ? [unit] : []));
const goodSet = (random: SeededRandom, count: number): GoodRun[] => {
  const truth = population(random);
  return Array.from({ length: count }, (_, i) => runOf(truth, `V-${i}`, random));
};

describe('a unit that stands apart', () => {
  it('is named in one good set of twenty at the most (400 sets of 6 units, seed 71)', () => {
    const random = seededRandom(71);
    let sets = 0;
    for (let n = 0; n < 400; n++) if (named(goodSet(random, 6)).length > 0) sets++;
    // 20 of 400 at most, with what chance adds to it (four standard deviations of a binomial).
    expect(sets).toBeLessThan(38);
    // Nor is the chance so overstated that nothing would be named.
    expect(sets).toBeGreaterThan(1);
  });

  it('is named where it is off by ten spreads (seed 72)', () => {
    const random = seededRandom(72);
    const truth = population(random);
    const good = Array.from({ length: 7 }, (_, i) => runOf(truth, `V-${i}`, random));
    const off = runOf(truth, 'V-99', random, { shift: { runningCurrentA: 10 } });
    expect(named([...good, off])).toEqual(['V-99']);
  });
});

describe('two tags that read alike', () => {
  it('are pointed at, and seldom in a good set (400 sets of 6 units, seed 73)', () => {
    const random = seededRandom(73);
    let pairs = 0;
    for (let n = 0; n < 400; n++) pairs += lookAlikes(columnsOf(goodSet(random, 6))).length;
    expect(pairs).toBeLessThan(8);
    const [first, ...others] = goodSet(random, 6);
    if (first === undefined) throw new Error('no unit was drawn');
    const again = { ...first, unit: 'V-twice', run: 'again' };
    expect(lookAlikes(columnsOf([first, ...others, again]))).toEqual([
      expect.objectContaining({ units: [first.unit, 'V-twice'] }),
    ]);
  });
});
