// Limits of known good units in judging: whose a limit is called, which of two stands, where they say nothing.

import { describe, expect, it } from 'vitest';
import { currentChecks } from '../../host/judge/checks/currents.js';
import { learnedChecks } from '../../host/judge/checks/learned.js';
import { learnedTogetherCheck } from '../../host/judge/checks/learned-together.js';
import { asUsual } from '../../host/judge/other-than-usual.js';
import { silentBecause } from '../../host/learn/index.js';
import { keyOf, type QuantityName } from '../../host/measure/index.js';
import type { Learned, LearnedQuantity } from '../../host/profile/index.js';
import { checkNamed, contextOf, FORWARD, measuredOf, REVERSE, type ReadAt } from './handmade.js';

const REST_AT = (supplyV: number): ReadAt => [
  { id: 'rest', feed: 'full', position: 'rest', nth: 1 },
  { supplyVoltageV: supplyV },
];

const limits = (lower: number | undefined, upper: number, unit = 'A'): LearnedQuantity => ({
  ...{
    words: 'any',
    unit,
    centre: ((lower ?? 0) + upper) / 2,
    upper,
    ...(lower === undefined ? {} : { lower }),
  },
  ...{ betweenUnits: 0.03, spread: 'of the logarithm', shape: 'taken as normal', units: 6, starts: 6 },
});

const learnedOf = (quantities: Record<string, LearnedQuantity>): Learned => ({
  ...{ kind: 'learned', version: 1, title: 'any', profile: 'any', circuit: 'any', motor: 'any', plan: 'any' },
  ...{ rig: 'any', learnedOn: '2024-06-11', tool: '0', units: 6, starts: 6, coverage: 0.95, confidence: 0.9 },
  ...{ method: 'any', supplyV: { from: 12, to: 13 }, temperatureC: { from: 17, to: 23, told: true } },
  ...{ runs: [], quantities },
});
const forward = (what: QuantityName, is: LearnedQuantity) => learnedOf({ [keyOf(what, FORWARD)]: is });

const MADE = {
  read: [[FORWARD, { runningCurrentA: [4, 0.1], motorVoltageV: 12 }]] as const,
  good: [[FORWARD, { runningCurrentA: { nominal: 4.5, lower: 3, upper: 6 }, motorVoltageV: 12 }]] as const,
};

describe('learned limits', () => {
  it('take the place of the usual ones, with their origin and the units behind them', () => {
    const context = contextOf({ ...MADE, learned: forward('runningCurrentA', limits(4.5, 5.5)) });
    const check = checkNamed(currentChecks(context), 'running-forward');
    expect(check).toMatchObject({ origin: 'learned', outcome: 'fail', lower: 4.5, upper: 5.5 });
    expect(check.sentence).toContain('(expected 4.50 to 5.50 A, of 6 good units)');
  });

  it('leave the usual ones where few units make them wider on both sides', () => {
    const context = contextOf({ ...MADE, learned: forward('runningCurrentA', limits(1, 20)) });
    const check = checkNamed(currentChecks(context), 'running-forward');
    expect(check).toMatchObject({ origin: context.unit.motor.origin, lower: 3, upper: 6 });
    expect(check.sentence).not.toContain('good units');
  });

  it('hold readings together that each lie within their own limits', () => {
    const [inrush, running] = [keyOf('inrushPeakA', FORWARD), keyOf('runningCurrentA', FORWARD)];
    const plain = { ...limits(8, 12), spread: 'plain' } as const;
    const learned = {
      ...learnedOf({ [inrush]: plain, [running]: plain }),
      together: {
        ...{ upper: 4, coverage: 0.975, confidence: 0.95, shrunk: 0.3, method: 'any' },
        readings: [
          { reading: inrush, spread: 1, correlation: [1] },
          { reading: running, spread: 1, correlation: [0.9, 1] },
        ],
      },
    };
    const told = (peakA: number, currentA: number) =>
      checkNamed(
        learnedTogetherCheck(
          contextOf({
            read: [[FORWARD, { inrushPeakA: [peakA, 0.1], runningCurrentA: [currentA, 0.1] }]],
            learned,
          }),
        ),
        'learned-together',
      );
    // Of two readings a and b from their centres, in spreads: (a^2 - 2 r a b + b^2) / (1 - r^2).
    expect(told(11.5, 11.5)).toMatchObject({ outcome: 'pass', origin: 'learned' });
    expect(told(11.5, 11.5).value).toBeCloseTo(Math.sqrt((2 * 1.5 ** 2 * 0.1) / 0.19), 9);
    const apart = told(11.8, 8.5);
    expect(apart.value).toBeCloseTo(Math.sqrt((1.8 ** 2 + 2 * 0.9 * 1.8 * 1.5 + 1.5 ** 2) / 0.19), 9);
    expect(apart).toMatchObject({ outcome: 'fail', of: 'unit' });
    // From the running current 1.5 spreads below, the peak is looked for 0.9 times as far below.
    expect(apart.sentence).toMatch(
      /^Forward: the inrush, 11.8 A, does not go with the other readings: by those a good unit has about 8.65 A \(distance 7\.\d ± \d\.\d, at most 4\.0, of 6 good units\)\.$/,
    );
    // One reading alone has no others to be held against.
    const alone = contextOf({ read: [[FORWARD, { inrushPeakA: [11.8, 0.1] }]], learned });
    expect(learnedTogetherCheck(alone)).toEqual([]);
  });

  it('go with the supply of the run by the power of the file', () => {
    const at = { ...limits(9, 11), supplyPower: 1, atSupplyV: 12 };
    const context = contextOf({
      read: [[FORWARD, { releaseBackEmfV: [10, 0.1], supplyVoltageV: 6 }]],
      learned: forward('releaseBackEmfV', { ...at, unit: 'V' }),
    });
    const check = checkNamed(learnedChecks(context), 'learned-back-emf-forward');
    expect(check.lower).toBeCloseTo(4.5, 9);
    expect(check).toMatchObject({ origin: 'learned', outcome: 'fail' });
    expect(check.upper).toBeCloseTo(5.5, 9);
  });

  it('ask only for too much of the resistance of a way', () => {
    const context = contextOf({
      read: [[REVERSE, { feedResistanceOhm: [0.2, 0.01] }]],
      learned: learnedOf({ [keyOf('feedResistanceOhm', REVERSE)]: limits(undefined, 0.09, 'Ohm') }),
    });
    const check = checkNamed(learnedChecks(context), 'learned-feed-path-reverse');
    expect(check).toMatchObject({ outcome: 'fail', of: 'harness', upper: 0.09 });
    expect(check.lower).toBeUndefined();
  });

  it('say nothing outside the supply and the temperature that were seen', () => {
    const learned = learnedOf({});
    const told = { nominal: 20, plusMinus: 3 };
    const at = (supplyV: number, ambientC = told) =>
      silentBecause(learned, measuredOf([REST_AT(supplyV)]), ambientC);
    expect(at(12.5)).toBeUndefined();
    expect(at(11.4)).toBe('the supply stands at 11.4 V, and they are of 12.0 to 13.0 V');
    expect(at(12.5, { nominal: 2, plusMinus: 3 })).toBe('it is 2 °C, and they are of 17 to 23 °C');
    // Nobody read a thermometer: it may be as warm as it was.
    expect(at(12.5, { nominal: 20, plusMinus: 20 })).toBeUndefined();
    expect(silentBecause(learned, {}, told)).toBe('the supply was not sampled');
  });

  it('speak for a motor other than the usual one only where enough of them hold', () => {
    const kind = { id: 'any', of: 'motor', rank: 150, usual: 'start' } as const;
    const check = { kind, of: 'motor', sentence: 'Any.', required: true } as const;
    const taught = [1, 2, 3, 4].map((n) => ({
      ...({ ...check, id: `taught-${n}`, origin: 'learned', outcome: 'pass' } as const),
    }));
    const other = { ...check, id: 'other', origin: 'generic', outcome: 'fail' } as const;
    const of = (...learned: typeof taught) => checkNamed(asUsual([...learned, other], true), 'other');
    expect(of(...taught)).toMatchObject({ required: false, outcome: 'conditional-fail' });
    expect(of(...taught.slice(1)).required).toBe(true);
    expect(checkNamed(asUsual([...taught, other]), 'other').required).toBe(true);
    // Each alone like the good ones, together like none.
    const apart = {
      ...({ ...check, id: 'apart', origin: 'learned', outcome: 'fail' } as const),
      kind: { id: 'apart', of: 'unit', rank: 150, isOfAllReadings: true } as const,
    };
    expect(checkNamed(asUsual([...taught, apart, other], true), 'other').required).toBe(true);
  });
});
