// Limits of one reading: how they move with the supply, and how they come about. The tolerance interval is held to the
// published example of 43 wafers of mean 97.07 and deviation 0.0268, 90 % of them with 99 % confidence: NIST/SEMATECH
// e-Handbook 7.2.6.3, factor 2.217, and its work sheet, 97.0106 to 97.1294.

import { describe, expect, it } from 'vitest';
import {
  carriedTo,
  type FeatureBand,
  interval,
  limitsOf,
  type SupplyCurve,
  supplyCurve,
} from '../../host/judge/feature-band.js';
import {
  type Measured,
  REST,
  type RunStretch,
  readingOf,
  supplyReadingFor,
  toleranceFactor,
} from '../../host/measure/index.js';
import { bandOf, FORWARD, LIMITED_FORWARD, measuredOf, REVERSE, type Reads, WHOLE } from './handmade.js';

const at = (supplyV: number, reads: Reads = {}): Measured =>
  measuredOf([[FORWARD, { supplyVoltageV: supplyV, ...reads }]]);

describe('the supply reading that a reading moves with', () => {
  const full = measuredOf([
    [REST, { supplyVoltageV: 13 }],
    [FORWARD, { supplyVoltageV: 12.5, inrushSupplyVoltageV: 11 }],
  ]);
  const of = (
    what: Parameters<typeof supplyReadingFor>[0]['what'],
    stretch: RunStretch | undefined,
    measured = full,
  ) => supplyReadingFor(stretch === undefined ? { what } : { what, of: stretch }, measured);

  it('is that of its own throw', () => {
    expect(of('runningCurrentA', FORWARD)).toBe('supplyVoltageV');
    // A law of power 0 moves with it a little.
    expect(of('settleS', FORWARD)).toBe('supplyVoltageV');
  });
  it('is that at the inrush for what happens there', () => {
    expect(of('inrushPeakA', FORWARD)).toBe('inrushSupplyVoltageV');
    expect(of('inrushPeakA', REVERSE)).toBe('supplyVoltageV');
  });
  it('is that at rest where its own throw has none', () => {
    expect(of('runningCurrentA', REVERSE)).toBe('supplyVoltageV');
    expect(of('runningCurrentA', REVERSE, measuredOf([[REST, { supplyVoltageV: 13 }]]))).toBe(
      'supplyVoltageV',
    );
    expect(of('runningCurrentA', REVERSE, measuredOf([[FORWARD, { supplyVoltageV: 13 }]]))).toBeUndefined();
  });
  it('is none for what has no law of supply, is of the whole run, or of a rest', () => {
    expect(of('feedResistanceOhm', FORWARD)).toBeUndefined();
    expect(of('dropoutsMotorSide', FORWARD)).toBeUndefined();
    expect(of('leadAVoltageV', WHOLE)).toBeUndefined();
    expect(of('leadAVoltageV', REST)).toBeUndefined();
  });
});

describe('the curve of a reading over the supply', () => {
  const runs = [
    at(13, { runningCurrentA: 4.4 }),
    at(11, { runningCurrentA: 4 }),
    at(12, { runningCurrentA: 4.2 }),
  ];
  const nominal = runs[2]!;
  const curve = (of: readonly Measured[], from = nominal) =>
    supplyCurve(readingOf(nominal, 'runningCurrentA', FORWARD)!, of, from);

  it('stands over ascending supplies, with the nominal unit’s own as reference', () => {
    expect(curve(runs)).toEqual({
      by: 'supplyVoltageV',
      supplyV: [11, 12, 13],
      value: [4, 4.2, 4.4],
      referenceV: 12,
    });
  });
  it('leaves out runs that show the reading or its supply not', () => {
    const blind = measuredOf([[FORWARD, { runningCurrentA: 9 }]]);
    expect(curve([...runs, at(14), blind])).toMatchObject({ supplyV: [11, 12, 13] });
  });
  it('takes the supply at rest where the throw has none', () => {
    const run = (supplyV: number, runningCurrentA: number) =>
      measuredOf([
        [REST, { supplyVoltageV: supplyV }],
        [FORWARD, { runningCurrentA }],
      ]);
    const [low, high] = [run(11, 4), run(13, 4.4)];
    expect(supplyCurve(readingOf(low, 'runningCurrentA', FORWARD)!, [low, high], low)).toEqual({
      by: 'supplyVoltageV',
      supplyV: [11, 13],
      value: [4, 4.4],
      referenceV: 11,
    });
  });
  it('is none of fewer than two runs', () => {
    expect(curve(runs.slice(0, 1))).toBeUndefined();
    expect(curve(runs.slice(0, 2))).toBeDefined();
  });
  it('is none where two supplies are the same within 0.01 V', () => {
    expect(curve([at(12, { runningCurrentA: 4 }), at(12.005, { runningCurrentA: 4.1 })])).toBeUndefined();
    expect(curve([at(12, { runningCurrentA: 4 }), at(12.02, { runningCurrentA: 4.1 })])).toBeDefined();
    expect(curve([...runs, at(13.005, { runningCurrentA: 4.1 })])).toBeUndefined();
  });
  it('is none where the nominal unit does not show the reading, or moves with nothing', () => {
    expect(curve(runs, at(12))).toBeUndefined();
    const drops = runs.map(() => at(12, { dropoutsMotorSide: 0 }));
    expect(
      supplyCurve(readingOf(drops[0]!, 'dropoutsMotorSide', FORWARD)!, drops, drops[0]!),
    ).toBeUndefined();
  });
});

const CURVE: SupplyCurve = {
  by: 'supplyVoltageV',
  supplyV: [10, 12, 14],
  value: [3, 4, 6],
  referenceV: 12,
};
const band = (more: Partial<FeatureBand> = {}): FeatureBand =>
  bandOf('runningCurrentA', FORWARD, {
    nominal: 4,
    lower: 2,
    upper: 8,
    conditioned: { lower: 3.2, upper: 5, mean: 4, deviation: 0.3 },
    curve: CURVE,
    ...more,
  });

describe('limits at the supply that a run had', () => {
  it.each([
    // Straight between the points, in the direction of the last two beyond them; all by hand.
    [12, 1],
    [11, 3.5 / 4],
    [13, 5 / 4],
    [10, 3 / 4],
    [9, 2.5 / 4],
    [14, 6 / 4],
    [15, 7 / 4],
  ])('of %f V are moved as the nominal unit moves: %f times', (supplyV, factor) => {
    const { lower, upper, nominal } = limitsOf(band(), at(supplyV));
    expect(lower).toBeCloseTo(3.2 * factor, 12);
    expect(upper).toBeCloseTo(5 * factor, 12);
    expect(nominal).toBeCloseTo(4 * factor, 12);
  });

  it('are those over all supplies where the run’s was not read, or nothing moves', () => {
    expect(limitsOf(band(), measuredOf([]))).toEqual({ lower: 2, upper: 8, nominal: 4 });
    const { curve: _, ...still } = band();
    expect(limitsOf(still, at(14))).toEqual({ lower: 2, upper: 8, nominal: 4 });
  });

  it('are shifted where the reading changes its sign over the supply', () => {
    const crossing = band({ curve: { ...CURVE, value: [-1, 0.5, 2] }, nominal: 0.5 });
    // From 12 to 14 V the nominal one gains 1.5.
    expect(limitsOf(crossing, at(14))).toEqual({ lower: 4.7, upper: 6.5, nominal: 2 });
  });

  it('are shifted where the reading would change its sign beyond the curve', () => {
    const falling = band({ curve: { ...CURVE, value: [1, 4, 6] } });
    // Beyond the first point 1.5 A a volt: at 9 V -0.5, that is 4.5 less.
    const { lower, nominal } = limitsOf(falling, at(9));
    expect(nominal).toBeCloseTo(-0.5, 12);
    expect(lower).toBeCloseTo(3.2 - 4.5, 12);
  });

  it('are shifted where the nominal unit touches zero on the way', () => {
    const touching = band({ curve: { ...CURVE, value: [0, 4, 6] } });
    expect(limitsOf(touching, at(14)).lower).toBeCloseTo(3.2 + 2, 12);
  });

  it('of a negative reading are moved as a whole, too', () => {
    const negative = band({
      nominal: -4,
      conditioned: { lower: -5, upper: -3.2, mean: -4, deviation: 0.3 },
      curve: { ...CURVE, value: [-3, -4, -6] },
    });
    expect(limitsOf(negative, at(14))).toEqual({ lower: -7.5, upper: -3.2 * 1.5, nominal: -6 });
  });
});

describe('a reading carried to the supply that its limits are stated for', () => {
  it('is what it would have been there', () => {
    expect(carriedTo(band(), at(14, { runningCurrentA: 6.6 }))).toBeCloseTo(4.4, 12);
    expect(carriedTo(band(), at(12, { runningCurrentA: 4.4 }))).toBeCloseTo(4.4, 12);
  });
  it('is itself where it does not move, or no supply was read', () => {
    const { curve: _, ...still } = band();
    expect(carriedTo(still, at(14, { runningCurrentA: 6.6 }))).toBe(6.6);
    expect(carriedTo(band(), measuredOf([[FORWARD, { runningCurrentA: 6.6 }]]))).toBe(6.6);
  });
  it('is none where it was not measured', () => {
    expect(carriedTo(band(), at(14))).toBeUndefined();
    expect(carriedTo(band(), measuredOf([[LIMITED_FORWARD, { runningCurrentA: 6 }]]))).toBeUndefined();
  });
});

describe('the interval that good units lie in', () => {
  it('is mean and deviation times the published factor for 43 readings', () => {
    const factor = toleranceFactor(43, 0.9, 0.99);
    expect(factor).toBeCloseTo(2.217, 3);
    // Two values about zero with that deviation: what lies on either side of zero is not skewed.
    const offset = 0.0268 / Math.SQRT2;
    const { lower, upper, mean, deviation } = interval([-offset, offset], factor);
    expect(mean).toBeCloseTo(0, 12);
    expect(deviation).toBeCloseTo(0.0268, 12);
    expect(97.07 + lower).toBeCloseTo(97.0106, 4);
    expect(97.07 + upper).toBeCloseTo(97.1294, 4);
  });

  it('of what keeps its sign is that of the logarithm', () => {
    // By hand: logarithms 0.9 and 1.1, mean 1, deviation 0.2 / sqrt 2.
    const [low, high] = [Math.exp(0.9), Math.exp(1.1)];
    const reach = (2 * 0.2) / Math.SQRT2;
    const positive = interval([low, high], 2);
    expect(positive.lower).toBeCloseTo(Math.exp(1 - reach), 12);
    expect(positive.upper).toBeCloseTo(Math.exp(1 + reach), 12);
    expect(positive.mean).toBeCloseTo((low + high) / 2, 12);
    const negative = interval([-low, -high], 2);
    expect(negative.lower).toBeCloseTo(-Math.exp(1 + reach), 12);
    expect(negative.upper).toBeCloseTo(-Math.exp(1 - reach), 12);
  });

  it('of what spreads by half of itself or more is that of the number itself', () => {
    // 1 and 3: deviation 1.414 of a mean of 2.
    const { lower, upper } = interval([1, 3], 2);
    expect(lower).toBeCloseTo(2 - 2 * Math.SQRT2, 12);
    expect(upper).toBeCloseTo(2 + 2 * Math.SQRT2, 12);
    const below = interval([-1, -3], 2);
    expect(below.lower).toBeCloseTo(-2 - 2 * Math.SQRT2, 12);
  });

  it('that touches zero is that of the number itself', () => {
    const zero = interval([0, 1, 1, 1, 1, 1, 1, 1], 1);
    expect(zero.lower).toBe(0);
    expect(Number.isFinite(zero.upper)).toBe(true);
    const below = interval([0, -1, -1, -1, -1, -1, -1, -1], 1);
    // By hand: mean 0.875, variance (7 x 0.125^2 + 0.875^2) / 7 = 0.125.
    expect(below.lower).toBeCloseTo(-0.875 - Math.sqrt(0.125), 12);
    expect(below.upper).toBe(0);
  });

  it('is never narrower than the values themselves', () => {
    expect(interval([1, 3, 3.5], 0.001)).toMatchObject({ lower: 1, upper: 3.5 });
    expect(interval([-3.5, 3, 1], 0.001)).toMatchObject({ lower: -3.5, upper: 3 });
  });
});
