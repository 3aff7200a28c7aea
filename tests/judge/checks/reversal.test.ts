// A throw into a shaft that still turns the other way. Peak over stall 1.4 to 1.6 and 0.83 to 0.89 of the stall current
// for a start from rest: plugging of DC motors, voltage and back-EMF add; the figures by hand from 0.75 to 0.86 V.

import { describe, expect, it } from 'vitest';
import { checkOf } from '../../../host/judge/check.js';
import { reversalChecks, withoutFalseStarts } from '../../../host/judge/checks/reversal.js';
import type { CheckKind } from '../../../host/judge/index.js';
import { REST, runStretch } from '../../../host/measure/index.js';
import { contextOf, FORWARD, type Handmade, LIMITED_REVERSE, REVERSE, segmentOf, told } from '../handmade.js';

const AT_ONCE = [segmentOf(FORWARD, { fromS: 0, toS: 1 }), segmentOf(REVERSE, { fromS: 1.0, toS: 2 })];
const asked = (made: Handmade) => reversalChecks(contextOf({ segments: AT_ONCE, ...made }));
const peaks = (forwardA: number, reverseA: number): Handmade => ({
  read: [
    [FORWARD, { inrushPeakA: forwardA }],
    [REVERSE, { inrushPeakA: reverseA }],
  ],
});

describe('a reversal without a pause', () => {
  it('is told by its peak over the stall current, and holds no verdict up', () => {
    // 0.86 x 17.5 / 10 = 1.505, just below in binary; uncertainty of the start over stall alone: 17.5 x 0.03 / sqrt(3) / 10 x 1.96 = 0.0594.
    const [check, ...more] = asked(peaks(10, 17.5));
    expect(more).toEqual([]);
    expect(check).toMatchObject({
      id: 'reversal-reverse',
      throw: REVERSE,
      of: 'motor',
      required: false,
      origin: 'generic',
      upper: 1.6,
      unit: 'times',
      outcome: 'pass',
      sentence:
        'Reverse, reversed without a pause: the current peaks at, over the stall current, 1.50 ± 0.06 times (at most 1.60 times).',
    });
    expect(check?.value).toBeCloseTo(1.505, 12);
    expect(check?.expandedUncertainty).toBeCloseTo(0.0594, 4);
  });

  it('carries the uncertainty of both peaks', () => {
    // By hand: (0.86/10 x 0.5)^2 + (0.86 x 17.5/100 x 0.2)^2 + (17.5 x 0.0173205/10)^2, root, times 1.96: U of peaks are 1.0 and 0.4.
    const [check] = asked({
      read: [
        [FORWARD, { inrushPeakA: [10, 0.4] }],
        [REVERSE, { inrushPeakA: [17.5, 1] }],
      ],
    });
    expect(check?.expandedUncertainty).toBeCloseTo(1.959964 * Math.hypot(0.043, 0.0301, 0.0303109), 5);
  });

  it('that peaks higher says what bears it', () => {
    expect(asked(peaks(10, 21))[0]).toMatchObject({
      outcome: 'fail',
      sentence:
        'Reverse, reversed without a pause: the current peaks at, over the stall current, 1.81 ± 0.07 times (at most 1.60 times). Contacts, fuse and gearbox bear it each time: let the motor stop before it is reversed.',
    });
  });

  it('is not tested where one of the starts was not seen', () => {
    for (const of of [FORWARD, REVERSE])
      expect(told(asked({ read: [[of, { inrushPeakA: 10 }]] }))).toEqual([
        [
          'reversal-reverse',
          'not-tested',
          'Reverse, reversed without a pause: current peak not tested, one of the two starts was not seen.',
        ],
      ]);
  });

  it('is one only while the shaft still turns: for 0.03 s', () => {
    const following = (pauseS: number) =>
      asked({
        segments: [segmentOf(FORWARD, { toS: 1 }), segmentOf(REVERSE, { fromS: 1 + pauseS })],
      }).length;
    expect(following(0.0299)).toBe(1);
    expect(following(0.0301)).toBe(0);
    const edge = [segmentOf(FORWARD, { fromS: -1, toS: 0 }), segmentOf(REVERSE, { fromS: 0.03 })];
    expect(asked({ segments: edge })).toEqual([]);
  });

  it('is none the same way, through the limited feed, or of the first throw', () => {
    const again = runStretch('full', 'forward', { nth: 2 });
    const pair = (into: typeof FORWARD, from = FORWARD) =>
      asked({ segments: [segmentOf(from, { toS: 1 }), segmentOf(into, { fromS: 1 })] });
    expect(pair(again)).toEqual([]);
    expect(pair(LIMITED_REVERSE)).toEqual([]);
    expect(pair(REVERSE, LIMITED_REVERSE)).toEqual([]);
    expect(asked({ segments: [segmentOf(FORWARD)] })).toEqual([]);
  });

  it('is seen across a rest that is no rest', () => {
    const rest = segmentOf(runStretch('full', 'rest', { nth: 2, behind: FORWARD }), { fromS: 1, toS: 1.01 });
    const [from] = AT_ONCE;
    expect(asked({ segments: [from!, rest, segmentOf(REVERSE, { fromS: 1.01 })] })).toHaveLength(1);
  });
});

describe('checks of a start from rest', () => {
  const kind = (more: Partial<CheckKind>): CheckKind => ({ id: 'any', of: 'motor', rank: 1, ...more });
  const of = (start: boolean, thrown?: typeof FORWARD) =>
    checkOf(kind(start ? { isOfStart: true } : {}), { throw: thrown, sentence: '', outcome: 'fail' });
  const checks = [of(true, FORWARD), of(true, REVERSE), of(true), of(false, REVERSE), of(false)];

  it('stand where nothing was reversed', () => {
    expect(
      withoutFalseStarts(contextOf({ segments: [segmentOf(FORWARD), segmentOf(REST)] }), checks),
    ).toEqual(checks);
  });
  it('go for the throw that was none, and where they take every throw for one', () => {
    expect(withoutFalseStarts(contextOf({ segments: AT_ONCE }), checks)).toEqual([
      checks[0],
      checks[3],
      checks[4],
    ]);
  });
});
