// A drop is judged where its ± in ohms is smallest: at the start, where most current flows (GUM 5.1.6), against the same
// ohms as under the running motor. Outcomes by the guard band of ILAC-G8:09/2019, 4.2.3.

import { describe, expect, it } from 'vitest';
import { dropChecks } from '../../../host/judge/checks/drops.js';
import { keyOf } from '../../../host/measure/index.js';
import { checkNamed, contextOf, FORWARD, type GoodAt, type Reads } from '../handmade.js';

const GOOD: GoodAt = [FORWARD, { groundResistanceOhm: { nominal: 0.01, upper: 0.02 } }];
/** 2 A: the limit is 0.02 Ohm and 0.15 V, 95 mOhm. */
const ground = ([ohm, u]: [number, number], start: [number, number] | undefined, more: Reads = {}) => {
  const reads: Reads = {
    ...{ runningCurrentA: [2, 0.03], groundDropV: [2 * ohm, 2 * u], groundResistanceOhm: [ohm, u] },
    ...(start ? { startLoadA: [14, 0.1], groundResistanceAtStartOhm: start } : {}),
    ...more,
  };
  return checkNamed(
    dropChecks(contextOf({ throws: [FORWARD], good: [GOOD], read: [[FORWARD, reads]] }), FORWARD),
    'ground-drop-forward',
  );
};

describe('a drop too close to its limit under the running motor', () => {
  it.each([
    [[0.09, 0.015], undefined, 'conditional-pass'],
    [[0.09, 0.015], [0.088, 0.002], 'pass'],
    [[0.1, 0.015], [0.088, 0.002], 'pass'],
    [[0.1, 0.015], [0.104, 0.002], 'fail'],
    [[0.09, 0.015], [0.104, 0.002], 'fail'],
    [[0.1, 0.015], [0.096, 0.002], 'conditional-fail'],
  ] as const)('of %j Ω, at the start %j: %s', (running, start, outcome) => {
    expect(ground([...running], start && [...start]).outcome).toBe(outcome);
  });

  it('is told with both, the start last', () => {
    expect(ground([0.09, 0.015], [0.104, 0.002]).sentence).toBe(
      'Forward: from the return lead to ground drops 0.18 ± 0.03 V (at most 0.19 V, too close to the limit to be sure). At the start, 14.0 A, it is 104.0 ± 2.0 mΩ (at most 95 mΩ).',
    );
  });
});

it('a start that is known no better decides nothing', () => {
  expect(ground([0.09, 0.002], [0.1, 0.02]).outcome).toBe('pass');
  expect(ground([0.09, 0.01], [0.104, 0.01]).outcome).toBe('conditional-pass');
});

it('a start that reads otherwise by more than the ± of both is no plain resistance: the running motor decides', () => {
  expect(ground([0.3, 0.01], [0.02, 0.002]).outcome).toBe('fail');
  expect(ground([0.02, 0.01], [0.3, 0.002]).outcome).toBe('pass');
  expect(ground([0.09, 0.015], [0.2, 0.002]).outcome).toBe('conditional-pass');
});

it('what is clear stays clear on its side of the limit, and is left open on the other', () => {
  expect(ground([0.11, 0.014], [0.0965, 0.002]).outcome).toBe('fail');
  expect(ground([0.11, 0.014], [0.0965, 0.0135]).outcome).toBe('fail');
  expect(ground([0.11, 0.0145], [0.0945, 0.01]).outcome).toBe('conditional-fail');
  expect(ground([0.08, 0.0145], [0.0955, 0.01]).outcome).toBe('conditional-fail');
});

it('a good drop keeps its sentence; both readings go with the check as numbers', () => {
  const check = ground([0.05, 0.01], [0.048, 0.002]);
  expect(check.sentence).toBe(
    'Forward: from the return lead to ground drops 0.100 ± 0.020 V (at most 0.19 V).',
  );
  expect(check.inOhms).toMatchObject({ valueOhm: 0.05, atCurrentA: 2 });
  expect(check.inOhmsAtStart).toMatchObject({
    valueOhm: 0.048,
    expandedUncertaintyOhm: 0.002,
    atCurrentA: 14,
  });
  expect(check.inOhmsAtStart?.upperOhm).toBeCloseTo(0.095, 12);
});

it('a current at the end of its channel may be any more, and the limit with it: what passes passes, nothing fails', () => {
  const atEnd = (volts: number) => {
    const context = contextOf({
      ...{ throws: [FORWARD], good: [GOOD] },
      read: [[FORWARD, { runningCurrentA: [30, 0.2], groundDropV: [volts, 0.02] }]],
    });
    const current = context.seen.measured[keyOf('runningCurrentA', FORWARD)];
    if (current) current.isAtEnd = true;
    return checkNamed(dropChecks(context, FORWARD), 'ground-drop-forward');
  };
  expect(atEnd(0.3).outcome).toBe('pass');
  expect(atEnd(2).outcome).toBe('not-tested');
  expect(atEnd(2)).not.toHaveProperty('inOhms');
});
