// Start, running current and run-up time taken together, on a spread whose distances are worked by hand. That one good
// motor in a thousand may exceed the limit and 1 % is open in each reading are choices of the program.

import { describe, expect, it } from 'vitest';
import { togetherCheck } from '../../../host/judge/checks/together.js';
import { type JointSpread, jointLimit } from '../../../host/judge/joint.js';
import type { QuantityName } from '../../../host/measure/index.js';
import {
  contextOf,
  FORWARD,
  type GoodAt,
  type Handmade,
  NOMINAL_SUPPLY_V,
  proportional,
  type Reads,
  shipped,
} from '../handmade.js';

const WHAT: QuantityName[] = ['inrushPeakA', 'runningCurrentA', 'settleS'];
/** Independent, a tenth each: a distance is the root of the sum of squares of logarithms over a tenth. */
const SPREAD: JointSpread = {
  names: WHAT,
  mean: [Math.log(16), Math.log(4), Math.log(0.1)],
  covariance: [
    [0.01, 0, 0],
    [0, 0.01, 0],
    [0, 0, 0.01],
  ],
  count: 80,
};
const GOOD: GoodAt = [FORWARD, { inrushPeakA: 16, runningCurrentA: 4, settleS: 0.1 }];
const USUAL: Reads = { inrushPeakA: 16, runningCurrentA: 4, settleS: 0.1 };
const asked = (reads: Reads, made: Handmade = {}) =>
  togetherCheck(
    contextOf({
      together: { of: FORWARD, what: WHAT, spread: SPREAD },
      good: [GOOD],
      read: [[FORWARD, reads]],
      ...made,
    }),
  );

describe('start, running current and run-up time taken together', () => {
  it('are the usual ones', () => {
    const [check, ...more] = asked(USUAL);
    expect(more).toEqual([]);
    expect(check).toMatchObject({
      id: 'motor-signature',
      of: 'motor',
      origin: shipped('entry-step-relays').motor.origin,
      required: true,
      outcome: 'pass',
      unit: '1',
    });
    expect(check?.throw).toBeUndefined();
    expect(check?.value).toBeCloseTo(0, 6);
    expect(check?.upper).toBeCloseTo(jointLimit(SPREAD, 0.999), 12);
  });

  it('lie as far off as by hand, with the uncertainty that the readings give', () => {
    // Two spreads in one, three in another: the root of 13. Each reading is open by 1 %, a tenth of a spread.
    const [check] = asked({ ...USUAL, inrushPeakA: 16 * Math.exp(0.2), settleS: 0.1 * Math.exp(-0.3) });
    expect(check?.value).toBeCloseTo(Math.sqrt(13), 2);
    expect(check?.expandedUncertainty).toBeCloseTo(1.96 * 0.1, 3);
    expect(check).toMatchObject({
      outcome: 'pass',
      sentence:
        'Taken together, start, running current and run-up time are those of a normal motor (distance 3.6 ± 0.2, at most 4.3).',
    });
  });

  it('take the readings’ own uncertainty in', () => {
    // 5 % in the reading that is off: half a spread; with the 1 % 0.051.
    const [check] = asked({ ...USUAL, inrushPeakA: [16 * Math.exp(0.2), 2 * 0.05 * 16 * Math.exp(0.2)] });
    expect(check?.expandedUncertainty).toBeCloseTo(1.96 * 10 * Math.hypot(0.05, 0.01), 2);
  });

  it('fail beyond the limit, and say when they are too close to it', () => {
    expect(asked({ ...USUAL, inrushPeakA: 16 * Math.exp(0.6) })[0]).toMatchObject({
      outcome: 'fail',
      sentence:
        'Taken together, start, running current and run-up time are far from a normal motor (distance 6.0 ± 0.2, at most 4.3).',
    });
    const limit = jointLimit(SPREAD, 0.999);
    expect(asked({ ...USUAL, inrushPeakA: 16 * Math.exp(0.1 * (limit + 0.1)) })[0]).toMatchObject({
      outcome: 'conditional-fail',
      sentence: expect.stringContaining('at most 4.3, too close to the limit to be sure).'),
    });
  });

  it('are carried to the supply that the spread holds at', () => {
    // At twice the supply twice the inrush is the usual one.
    const curve = proportional(16, NOMINAL_SUPPLY_V);
    const good: GoodAt = [FORWARD, { inrushPeakA: { nominal: 16, curve }, runningCurrentA: 4, settleS: 0.1 }];
    const [check] = asked({ ...USUAL, inrushPeakA: 32, supplyVoltageV: 24 }, { good: [good] });
    expect(check?.value).toBeCloseTo(0, 6);
  });

  it.each<[string, Reads, Handmade]>([
    ['one of them was not measured', { inrushPeakA: 16, runningCurrentA: 4 }, {}],
    ['one of them is nothing', { ...USUAL, runningCurrentA: 0 }, {}],
    ['one of them is negative', { ...USUAL, runningCurrentA: -4 }, {}],
    ['nothing is known of one of them', USUAL, { good: [[FORWARD, { inrushPeakA: 16, settleS: 0.1 }]] }],
    ['the supply did not hold', USUAL, { supplyHolds: false }],
  ])('are not tested where %s', (_, reads, made) => {
    expect(asked(reads, made)).toMatchObject([
      {
        id: 'motor-signature',
        outcome: 'not-tested',
        origin: shipped('entry-step-relays').motor.origin,
        required: true,
        sentence:
          'Start, running current and run-up time, taken together: not tested, one of them was not measured.',
      },
    ]);
  });

  it('are not asked about where no such spread is known', () =>
    expect(togetherCheck(contextOf())).toEqual([]));
});
