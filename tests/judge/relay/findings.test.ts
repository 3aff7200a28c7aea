// Causes ranked by how well their readings explain a relay's run. Likelihoods are worked by hand from what the file says:
// Student's density with four degrees of freedom for numbers, counted as 0.7; -4 for a reading that only one side has; -7
// for a contact that carries where it should not; -5 for another suppression. All of them choices of the program.

import { describe, expect, it } from 'vitest';
import { HEALTHY, nothingWrong } from '../../../host/diagnose/index.js';
import type { Finding } from '../../../host/judge/index.js';
import { relayFindings } from '../../../host/judge/relay/findings.js';
import type { RelayPattern } from '../../../host/judge/relay/patterns.js';
import type { Reads } from '../handmade.js';
import { cycle, type MadeRelay, seenOf } from './handmade.js';

const pattern = (
  id: string,
  ways: readonly MadeRelay[],
  more: Partial<RelayPattern['hypothesis']> = {},
): RelayPattern => ({
  hypothesis: {
    ...nothingWrong,
    ...{ id, sentence: `${id} is so.`, cause: `${id} is so`, nextProbe: `Look at ${id}.`, prior: 1, ...more },
  },
  patterns: ways.map(seenOf),
  answers: {},
});
const found = (seen: MadeRelay, patterns: readonly RelayPattern[]): Finding[] =>
  relayFindings(seenOf(seen), patterns);
const SHARED = 0.7;
/** Student's density, four degrees of freedom: (1 + z^2 / 4)^(-5/2). */
const student = (z: number): number => -2.5 * Math.log1p((z * z) / 4);
/** A number `off` from what a cause foretells, of this deviation, whose least is `floor`. */
const numbered = (off: number, deviation: number, floor: number): number =>
  SHARED * (student(off / deviation) - Math.log(deviation / floor));
/** Nothing on the list: 0.3 before anything was read, and every reading 3.2 deviations off. */
const unlisted = (count: number): number => Math.log(0.3) + SHARED * count * student(3.2);
/** Shares of causes with these scores, nothing on the list among them. */
function shares(scores: Record<string, number>, count: number): Record<string, number> {
  const all = { ...scores, 'not-in-list': unlisted(count) };
  const total = Object.values(all).reduce((sum, score) => sum + Math.exp(score), 0);
  return Object.fromEntries(Object.entries(all).map(([id, score]) => [id, Math.exp(score) / total]));
}
/** Those that read the same are told together, with the likelihood of all of them. */
function expectShares(findings: readonly Finding[], wanted: Record<string, number>): void {
  expect(findings.length).toBeGreaterThan(0);
  for (const { id, likelihood, inseparable = [] } of findings) {
    const sum = [id, ...inseparable].reduce((total, one) => total + (wanted[one] ?? Number.NaN), 0);
    expect(likelihood, id).toBeCloseTo(sum, 9);
  }
}

describe('a number', () => {
  // Operate time: least deviation 0.6 ms, 15 % of what is foretold.
  const FLOOR = 0.0006;
  const at = (operateS: number): MadeRelay => ({ read: { operateS } });

  it('speaks for the cause that foretells it, by how far off the other one is', () => {
    const got = found({ read: { operateS: [0.008, 0.001] } }, [
      pattern('quick', [at(0.008)]),
      pattern('slow', [at(0.03)]),
    ]);
    // Standard uncertainty 0.5 ms beside floor and part.
    const deviations = [0.008, 0.03].map((s) => Math.hypot(FLOOR, 0.15 * s, 0.0005)) as [number, number];
    expectShares(
      got,
      shares({ quick: numbered(0, deviations[0], FLOOR), slow: numbered(0.022, deviations[1], FLOOR) }, 1),
    );
    expect(got.map(({ id }) => id)).toEqual(['quick', 'slow']);
  });

  it('that only one side has speaks against the cause', () => {
    const [missing, there] = [pattern('missing', [{}]), pattern('there', [at(0.008)])];
    const deviation = Math.hypot(FLOOR, 0.15 * 0.008);
    expectShares(
      found(at(0.008), [missing, there]),
      shares({ missing: SHARED * -4, there: numbered(0, deviation, FLOOR) }, 1),
    );
    expectShares(found({}, [missing, there]), shares({ missing: 0, there: SHARED * -4 }, 0));
  });

  it('of the turning of the supply says nothing, where that was not made', () => {
    const ramped = pattern('ramped', [{ read: { pullInVoltageV: 7, dropOutVoltageV: 2.6 } }]);
    expectShares(found({}, [ramped, pattern('plain', [{}])]), shares({ ramped: 0, plain: 0 }, 0));
  });

  it('of the turning of the supply that one part of shows speaks', () => {
    const ramped = pattern('ramped', [{ read: { pullInVoltageV: 7, dropOutVoltageV: 2.6 } }]);
    const deviation = Math.hypot(0.3, 0.05 * 7);
    expectShares(
      found({ read: { pullInVoltageV: 7 } }, [ramped, pattern('plain', [{}])]),
      shares({ ramped: numbered(0, deviation, 0.3) + SHARED * -4, plain: SHARED * -4 }, 1),
    );
  });

  it('says the same beyond its most, and is then as certain as can be', () => {
    // Test resistance: 3 Ohm, 7 %, all above 500 Ohm the same.
    const ohm = (markedTestOhm: number): MadeRelay => ({ read: { markedTestOhm } });
    const got = found({ read: { markedTestOhm: [5000, 4000] } }, [
      pattern('open', [ohm(9000)]),
      pattern('winding', [ohm(400)]),
    ]);
    const deviations = [500, 400].map((value) => Math.hypot(3, 0.07 * value)) as [number, number];
    expectShares(
      got,
      shares({ open: numbered(0, deviations[0], 3), winding: numbered(100, deviations[1], 3) }, 1),
    );
  });

  it('at its most is as certain as it was read', () => {
    const ohm = (markedTestOhm: number): MadeRelay => ({ read: { markedTestOhm } });
    const got = found({ read: { markedTestOhm: [500, 80] } }, [
      pattern('open', [ohm(500)]),
      pattern('other', [{}]),
    ]);
    expectShares(got, shares({ open: numbered(0, Math.hypot(3, 35, 40), 3), other: SHARED * -4 }, 1));
  });

  it('that no cause is weighed by is left out', () => {
    const got = found({ read: { dipS: 0.005 } }, [pattern('plain', [{}])]);
    expectShares(got, shares({ plain: 0 }, 0));
  });
});

describe('contacts', () => {
  const GOOD = cycle('rest', 'working', 'rest');
  const seen: MadeRelay = { cycles: [GOOD, GOOD, cycle('none', 'none', 'none')] };
  const carrying = (...carriers: Parameters<typeof cycle>) =>
    pattern('it', [{ cycles: [cycle(...carriers)] }]);

  it.each<[string, Parameters<typeof cycle>, number]>([
    ['that carry as usual', ['rest', 'working', 'rest'], 0],
    ['of which one does not at rest', ['none', 'working', 'rest'], -7],
    ['of which one does not when on', ['rest', 'none', 'rest'], -7],
    ['of which one does not behind it', ['rest', 'working', 'none'], -7],
    ['that are welded', ['working', 'working', 'working'], -14],
    ['that were not seen', ['unknown', 'unknown', 'unknown'], 0],
  ])('%s', (_, carriers, score) => {
    expectShares(
      found(seen, [carrying(...carriers), pattern('other', [{ cycles: [GOOD] }])]),
      shares({ it: score, other: 0 }, 0),
    );
  });

  it('that the run did not show say nothing', () => {
    const blind: MadeRelay = { cycles: [cycle('unknown', 'unknown', 'unknown')] };
    const welded = carrying('working', 'working', 'working');
    expectShares(
      found(blind, [welded, pattern('other', [{ cycles: [GOOD] }])]),
      shares({ it: 0, other: 0 }, 0),
    );
  });

  it('are those that carried oftenest, whenever', () => {
    const late: MadeRelay = { cycles: [cycle('none', 'none', 'none'), GOOD, GOOD] };
    expectShares(
      found(late, [carrying('rest', 'working', 'rest'), pattern('other', [{ cycles: [GOOD] }])]),
      shares({ it: 0, other: 0 }, 0),
    );
  });

  it('that never came up speak against a cause that had them', () => {
    expectShares(
      found({}, [carrying('rest', 'working', 'rest'), pattern('other', [{}])]),
      shares({ it: -21, other: 0 }, 0),
    );
  });
});

describe('suppression', () => {
  const with_ = (suppression: MadeRelay['suppression']): MadeRelay => (suppression ? { suppression } : {});
  const weighed = (seen: MadeRelay['suppression'], own: MadeRelay['suppression'], score: number) => {
    const same = pattern('same', [with_({ kind: 'unknown', why: '' })]);
    expectShares(
      found(with_(seen), [pattern('own', [with_(own)]), same]),
      shares({ own: score, same: 0 }, 0),
    );
  };
  const UNKNOWN = { kind: 'unknown', why: 'nobody looked' } as const;
  const NONE = { kind: 'none' } as const;
  const resistor = (ohm: number, standardUncertainty = 0) =>
    ({ kind: 'resistor', ohm, standardUncertainty }) as const;
  const diode = (anodeAt: '85' | '86') => ({ kind: 'diode', anodeAt }) as const;

  it('of another kind speaks against the cause', () => {
    weighed(NONE, resistor(680), -5);
    weighed(diode('85'), NONE, -5);
  });
  it('of the same kind does not', () => {
    weighed(NONE, NONE, 0);
    weighed(diode('85'), diode('85'), 0);
  });
  it('that was not told says nothing', () => {
    weighed(UNKNOWN, resistor(680), 0);
    weighed(resistor(680), UNKNOWN, 0);
  });
  it('by a diode the other way round speaks against it', () => weighed(diode('85'), diode('86'), -5));
  it('by a resistor is weighed by its size: 15 % and what it was read to', () => {
    weighed(resistor(816, 50), resistor(680), SHARED * student(136 / Math.hypot(50, 102)));
  });
});

describe('what is told', () => {
  const at = (operateS: number): MadeRelay => ({ read: { operateS } });

  it('takes the better of the ways that a cause may show', () => {
    const both = pattern('both', [at(0.03), at(0.008)]);
    const one = pattern('one', [at(0.008)], { sentence: 'Another.' });
    const got = found(at(0.008), [both, one]);
    expect(got.map(({ likelihood }) => likelihood)).toEqual([got[0]?.likelihood, got[0]?.likelihood]);
  });

  it('takes what is common for likelier', () => {
    const got = found({}, [
      pattern('common', [{}], { prior: 2 }),
      pattern('rare', [{ cycles: [cycle('none', 'none', 'none')] }]),
    ]);
    expectShares(got, shares({ common: Math.log(2), rare: -21 }, 0));
  });

  it('names causes that read the same together, with all their ids', () => {
    const [first, ...more] = found(at(0.008), [
      pattern('coil-open', [at(0.008)], { prior: 2 }),
      pattern('wire-open', [at(0.008)]),
    ]);
    expect(first).toMatchObject({
      id: 'coil-open',
      sentence: 'One of these two, which read the same: coil-open is so; or wire-open is so.',
      nextProbe: 'Look at coil-open.',
      inseparable: ['wire-open'],
    });
    expect(more.map(({ id }) => id)).not.toContain('wire-open');
  });

  it('names those of one group together, though they read apart', () => {
    const grouped = (group?: string, other = group) =>
      found(at(0.009), [
        pattern('a', [at(0.008)], group === undefined ? {} : { group }),
        pattern('b', [at(0.014)], other === undefined ? {} : { group: other }),
      ]).map(({ id, inseparable }) => [id, inseparable]);
    expect(grouped('stuck')).toContainEqual(['a', ['b']]);
    expect(grouped('stuck', 'loose')).toContainEqual(['a', undefined]);
    expect(grouped()).toContainEqual(['a', undefined]);
  });

  it('keeps those apart of which one would not be taken for the other', () => {
    // The run of `both` might be either way; that of `one` is not that of `both`.
    const both = pattern('both', [at(0.008), at(0.02)]);
    const one = pattern('one', [at(0.008)]);
    for (const patterns of [
      [both, one],
      [one, both],
    ])
      expect(found(at(0.008), patterns).every(({ inseparable }) => inseparable === undefined)).toBe(true);
  });

  it('never takes a fault for nothing wrong', () => {
    for (const prior of [1, 9]) {
      const patterns = [
        pattern(HEALTHY, [at(0.008)], { prior: 3 }),
        pattern('fault', [at(0.008)], { prior }),
      ];
      expect(
        found(at(0.008), patterns)
          .map(({ id }) => id)
          .sort(),
      ).toEqual(['fault', HEALTHY].sort());
    }
  });

  it('says when nothing on the list explains the readings', () => {
    const reads: Reads = { operateS: 0.1, releaseS: 0.1, makeBounceS: 0.1 };
    const [first] = found({ read: reads }, [
      pattern('quick', [{ read: { operateS: 0.001, releaseS: 0.001, makeBounceS: 0.0001 } }]),
    ]);
    expect(first).toMatchObject({
      id: 'not-in-list',
      nextProbe: 'Check the profile against the relay on the bench, then repeat the run.',
    });
  });

  /** Told apart by their contacts, of a run that shows none of them: each as likely as its prior. */
  const BLIND: MadeRelay = {
    cycles: [cycle('unknown', 'unknown', 'unknown')],
    suppression: { kind: 'unknown', why: 'nobody looked' },
  };
  const carriers = ['rest', 'working', 'none'] as const;
  const apart = (priors: readonly number[]) =>
    priors.map((prior, i) =>
      pattern(
        `cause-${i}`,
        [{ cycles: [cycle(carriers[i % 3]!, carriers[Math.floor(i / 3) % 3]!, 'rest')] }],
        { prior },
      ),
    );

  it('is the likeliest first, and ends after six', () => {
    const ids = found(BLIND, apart([1, 2, 3, 4, 5, 6, 7, 8])).map(({ id }) => id);
    expect(ids).toEqual(['cause-7', 'cause-6', 'cause-5', 'cause-4', 'cause-3', 'cause-2']);
  });

  it('leaves out what is not worth a line', () => {
    // Of 2.36 with nothing on the list: 0.04 are 1.7 %, 0.02 are 0.85 %.
    expect(found(BLIND, apart([2, 0.04, 0.02])).map(({ id }) => id)).toEqual(['cause-0', 'cause-1']);
  });

  it('puts nothing on the list where its likelihood stands', () => {
    // 0.3 of 1.4.
    expect(found(BLIND, apart([1, 0.1])).map(({ id }) => id)).toEqual(['cause-0', 'not-in-list', 'cause-1']);
  });
});
