// What a good unit of a profile does, from runs made by hand: limits over the draws, releases that they agree on, readings
// taken together. Howe's factor for 99.99 % with 95 % confidence as in NIST/SEMATECH e-Handbook 7.2.6.3.

import { afterAll, describe, expect, it, vi } from 'vitest';
import type { Band } from '../../host/circuit/index.js';
import {
  type ExpectationOptions,
  expectation,
  goodDraws,
  type UnitExpectation,
} from '../../host/judge/expectation.js';
import type { GoodShare } from '../../host/judge/good-draws.js';
import * as relay from '../../host/judge/relay/index.js';
import {
  keyOf,
  type MeasureResult,
  REST,
  type ReleaseClass,
  runStretch,
  type Segment,
  toleranceFactor,
} from '../../host/measure/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import {
  FORWARD,
  LIMITED_FORWARD,
  measuredOf,
  REVERSE,
  type ReadAt,
  type Reads,
  segmentOf,
  shipped,
  WHOLE,
} from './handmade.js';

// Put in place while these tests run, and taken away behind them: files share their modules.
const STAND_INS = [vi.spyOn(relay, 'relayExpectation')];
afterAll(() => {
  for (const one of STAND_INS) one.mockRestore();
});

const UNIT = shipped('entry-step-relays');
const DRAWS = 20;
/** The nominal unit at these parts of its supply, itself first. */
const SUPPLIES = [1, 0.84, 0.92, 1.06, 1.13];
const FACTOR = toleranceFactor(DRAWS, 0.9999, 0.95);

interface Run {
  read: readonly ReadAt[];
  segments?: readonly Segment[];
}
const resultOf = ({ read, segments = [] }: Run): MeasureResult => ({
  measured: measuredOf(read),
  segments: [...segments],
  notSampled: [],
  notes: [],
});
const BAND = (): Band => ({
  timeS: Float64Array.of(0, 0.002),
  lower: { leadAVoltageV: Float64Array.of(1, Number.POSITIVE_INFINITY) },
  upper: { leadAVoltageV: Float64Array.of(2, Number.NEGATIVE_INFINITY) },
});

/** Of the nominal unit at a part of its supply, and of each draw. */
function expectedOf(
  nominal: (part: number) => Run,
  draw: (n: number) => Run,
  { motor, unit = UNIT }: { motor?: GoodShare['motor']; unit?: ResolvedUnit } = {},
): UnitExpectation {
  const options: ExpectationOptions = { draws: DRAWS, seed: 3 };
  const work = goodDraws(unit, options);
  const runs = [...SUPPLIES.map(nominal), ...Array.from({ length: DRAWS }, (_, n) => draw(n))];
  work.add({
    results: runs.map((run, piece) => [piece, resultOf(run)]),
    draws: { done: Array.from({ length: DRAWS }, (_, n) => n), band: BAND() },
    ...(motor === undefined ? {} : { motor }),
  });
  const made = expectation(unit, options, work);
  if (made.kind !== 'unit') throw new Error('no unit');
  return made;
}
/** Deterministic, of mean 0: -0.95 to 0.95 by the number of the draw. */
const spread = (n: number): number => (n - (DRAWS - 1) / 2) / 10;
const deviationOf = (values: readonly number[]): number => {
  const mean = values.reduce((a, b) => a + b) / values.length;
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1));
};
const OFFSETS = Array.from({ length: DRAWS }, (_, n) => spread(n));

describe('the work that an expectation rests on', () => {
  it('is of the profile’s draws, the program’s seed and half the rig’s rate', () => {
    expect(goodDraws(UNIT).options).toEqual({ seed: 20200901, draws: 80, sampleRateHz: 2500 });
    expect(goodDraws(UNIT).unit).toBe(UNIT);
  });
  it('is of what is asked for', () => {
    const asked = { seed: 0, draws: 24, sampleRateHz: 5000 };
    expect(goodDraws(UNIT, asked).options).toEqual(asked);
  });
});

describe('an expectation', () => {
  const plain = () =>
    expectedOf(
      () => ({ read: [] }),
      () => ({ read: [] }),
    );

  it('says what it is of and how it came about', () => {
    expect(plain()).toMatchObject({
      kind: 'unit',
      profileId: 'entry-step-relays',
      seed: 3,
      draws: DRAWS,
      nominalSupplyV: 13,
      features: {},
      throws: [],
      method:
        "20 seeded draws of the profile's tolerances through the circuit model; limits are the normal tolerance interval (of the logarithm, for what cannot be negative) that holds 99.99 % of good units with 95 % confidence, widened to the draws, moved with the measured supply",
    });
    expect(plain()).not.toHaveProperty('together');
    expect(plain()).not.toHaveProperty('motor');
  });

  it('has the band of the draws, without numbers where none fell', () => {
    const { band } = plain();
    expect([...(band.lower.leadAVoltageV ?? [])]).toEqual([1, Number.NaN]);
    expect([...(band.upper.leadAVoltageV ?? [])]).toEqual([2, Number.NaN]);
  });

  it('has the spread of motors where one was found', () => {
    const motor = { names: ['a'], mean: [0], covariance: [[1]], count: 1 };
    expect(
      expectedOf(
        () => ({ read: [] }),
        () => ({ read: [] }),
        { motor },
      ).motor,
    ).toBe(motor);
  });

  it('of a relay by itself is that of its profile', () => {
    const own = { kind: 'relay' } as ReturnType<typeof relay.relayExpectation>;
    vi.mocked(relay.relayExpectation).mockReturnValue(own);
    const unit = shipped('mini-changeover-alone');
    expect(expectation(unit, { seed: 9 })).toBe(own);
    expect(relay.relayExpectation).toHaveBeenCalledWith(unit, { seed: 9 });
  });
});

describe('a feature', () => {
  it('has the tolerance interval of the logarithms of the draws', () => {
    const { features } = expectedOf(
      () => ({ read: [[FORWARD, { feedResistanceOhm: 0.02 }]] }),
      (n) => ({ read: [[FORWARD, { feedResistanceOhm: 0.02 * Math.exp(0.1 * spread(n)) }]] }),
    );
    const band = features[keyOf('feedResistanceOhm', FORWARD)];
    const reach = FACTOR * 0.1 * deviationOf(OFFSETS);
    expect(band).toMatchObject({ what: 'feedResistanceOhm', of: FORWARD, nominal: 0.02 });
    expect(band?.lower).toBeCloseTo(0.02 * Math.exp(-reach), 9);
    expect(band?.upper).toBeCloseTo(0.02 * Math.exp(reach), 9);
    // Does not move with the supply.
    expect(band).not.toHaveProperty('curve');
    expect(band?.conditioned).toMatchObject({ lower: band?.lower, upper: band?.upper });
    const values = OFFSETS.map((off) => 0.02 * Math.exp(0.1 * off));
    expect(band?.conditioned.deviation).toBeCloseTo(deviationOf(values), 12);
  });

  it('of the run as a whole is of no stretch', () => {
    const { features } = expectedOf(
      () => ({ read: [[WHOLE, { runningAsymmetryPercent: 0 }]] }),
      (n) => ({ read: [[WHOLE, { runningAsymmetryPercent: spread(n) }]] }),
    );
    expect(features.runningAsymmetryPercent).not.toHaveProperty('of');
    expect(features.runningAsymmetryPercent?.upper).toBeCloseTo(FACTOR * deviationOf(OFFSETS), 9);
  });

  it('moves with the supply, and its draws are carried to the nominal one', () => {
    // A current that goes with the supply; every draw has its own supply and is else a good unit.
    const at = (supplyVoltageV: number, more = 1): Run => ({
      read: [[FORWARD, { supplyVoltageV, runningCurrentA: (4 * more * supplyVoltageV) / 12 }]],
    });
    const { features } = expectedOf(
      (part) => at(12 * part),
      (n) => at(12 + 0.5 * spread(n), 1 + 0.01 * spread(n)),
    );
    const band = features[keyOf('runningCurrentA', FORWARD)];
    expect(band?.curve).toEqual({
      by: 'supplyVoltageV',
      supplyV: [0.84, 0.92, 1, 1.06, 1.13].map((part) => 12 * part),
      value: [0.84, 0.92, 1, 1.06, 1.13].map((part) => expect.closeTo(4 * part, 9)),
      referenceV: 12,
    });
    // Carried, only the part of the unit itself is left.
    expect(band?.conditioned.deviation).toBeCloseTo(4 * 0.01 * deviationOf(OFFSETS), 9);
    expect((band?.upper ?? 0) - (band?.lower ?? 0)).toBeGreaterThan(
      1.5 * ((band?.conditioned.upper ?? 0) - (band?.conditioned.lower ?? 0)),
    );
  });

  it('that one good unit does not show is asked of none', () => {
    const reads = (shows: boolean): Reads => ({ bounceS: 0.002, ...(shows ? { spikeA: 3 } : {}) });
    const features = (missing: number) =>
      Object.keys(
        expectedOf(
          () => ({ read: [[FORWARD, reads(true)]] }),
          (n) => ({ read: [[FORWARD, reads(n !== missing)]] }),
        ).features,
      );
    expect(features(-1)).toEqual(['forwardBounceS', 'forwardSpikeA']);
    expect(features(7)).toEqual(['forwardBounceS']);
  });

  it('that the nominal unit does not show is not asked', () => {
    const made = expectedOf(
      () => ({ read: [] }),
      () => ({ read: [[FORWARD, { bounceS: 0.002 }]] }),
    );
    expect(made.features).toEqual({});
  });
});

describe('the throws of a plan', () => {
  const throwsOf = (releases: readonly (ReleaseClass | undefined)[], breakS?: number) =>
    expectedOf(
      () => ({
        read: [],
        segments: [
          segmentOf(LIMITED_FORWARD),
          segmentOf(REST),
          segmentOf(FORWARD, { toS: 2, ...(breakS === undefined ? {} : { breakS }) }),
          segmentOf(REVERSE),
        ],
      }),
      (n) => ({
        read: [],
        segments: [
          segmentOf(LIMITED_FORWARD, { release: 'driven' }),
          segmentOf(REVERSE, { release: 'still' }),
          segmentOf(FORWARD, releases[n] === undefined ? {} : { release: releases[n] }),
        ],
      }),
    ).throws;
  const of = (count: number, release: ReleaseClass, other?: ReleaseClass) =>
    Array.from({ length: DRAWS }, (_, n) => (n < count ? release : other));

  it('are those with the full feed, in order', () => {
    expect(throwsOf([]).map((one) => one.of.id)).toEqual(['forward', 'reverse']);
    expect(throwsOf([])[1]?.release).toBe('still');
  });

  it('release as 95 % of good units do', () => {
    const release = (releases: readonly (ReleaseClass | undefined)[]) => throwsOf(releases)[0]?.release;
    expect(release(of(20, 'coast'))).toBe('coast');
    expect(release(of(19, 'coast', 'still'))).toBe('coast');
    expect(release(of(1, 'coast', 'still'))).toBe('still');
    expect(release(of(18, 'coast', 'still'))).toBeUndefined();
    expect(release(of(19, 'coast'))).toBe('coast');
    expect(release(of(18, 'coast'))).toBeUndefined();
    expect(release([])).toBeUndefined();
  });

  it('break by so much behind their command, where that was seen', () => {
    expect(throwsOf([], 2.004)[0]?.breakDelayS).toBeCloseTo(0.004, 12);
    expect(throwsOf([])[0]).not.toHaveProperty('breakDelayS');
  });
});

describe('readings taken together', () => {
  const second = runStretch('full', 'forward', { nth: 2 });
  const reads = (n: number): Reads => ({
    inrushPeakA: 16 * Math.exp(0.1 * spread(n)),
    runningCurrentA: 4 * Math.exp(0.05 * spread((n * 7) % DRAWS)),
    settleS: 0.1 * Math.exp(0.08 * spread((n * 3) % DRAWS)),
  });
  const both = (n: number, more: Partial<Record<'first' | 'last', Reads>> = {}): Run => ({
    read: [
      [FORWARD, more.first ?? reads(n)],
      [second, more.last ?? reads(n)],
    ],
  });
  const nominal: Reads = { inrushPeakA: 16, runningCurrentA: 4, settleS: 0.1 };
  const asNominal = (): Run => ({
    read: [
      [FORWARD, nominal],
      [second, nominal],
    ],
  });

  it('are start, running current and run-up time of the last throw that runs up', () => {
    const { together } = expectedOf(asNominal, (n) => both(n));
    expect(together?.of).toEqual(second);
    expect(together?.what).toEqual(['inrushPeakA', 'runningCurrentA', 'settleS']);
    expect(together?.spread).toMatchObject({
      names: ['inrushPeakA', 'runningCurrentA', 'settleS'],
      count: DRAWS,
    });
    expect(together?.spread.mean[0]).toBeCloseTo(Math.log(16), 12);
    const variance = (0.1 * deviationOf(OFFSETS)) ** 2;
    expect(together?.spread.covariance[0]?.[0]).toBeCloseTo(variance, 12);
  });

  it('are of the throw that runs up, whichever comes last', () => {
    const { settleS: _, ...stopped } = nominal;
    const { together } = expectedOf(
      () => ({
        read: [
          [FORWARD, nominal],
          [second, stopped],
        ],
      }),
      (n) => both(n),
    );
    expect(together?.of).toEqual(FORWARD);
  });

  it('are two of them where good units do not all show the third', () => {
    const { together } = expectedOf(asNominal, (n) => {
      const { runningCurrentA: _, ...some } = reads(n);
      return both(n, { last: n === 3 ? some : reads(n) });
    });
    expect(together?.what).toEqual(['inrushPeakA', 'settleS']);
  });

  it('are none of one reading, of none, or of what is not positive', () => {
    const alone = (last: (n: number) => Reads, from: () => Run = asNominal) =>
      expectedOf(from, (n) => both(n, { last: last(n) })).together;
    expect(alone(() => ({ settleS: 0.1 }))).toBeUndefined();
    expect(
      alone(reads, () => ({ read: [[second, { inrushPeakA: 16, runningCurrentA: 4 }]] })),
    ).toBeUndefined();
    expect(alone((n) => ({ ...reads(n), runningCurrentA: n === 3 ? 0 : 4 }))).toBeUndefined();
  });

  it('are carried to the nominal supply', () => {
    const at = (supplyVoltageV: number): Reads => ({
      supplyVoltageV,
      inrushPeakA: (16 * supplyVoltageV) / 12,
      runningCurrentA: 4,
      settleS: 0.1,
    });
    const { together } = expectedOf(
      (part) => ({ read: [[FORWARD, at(12 * part)]] }),
      (n) => ({ read: [[FORWARD, at(12 + 0.5 * spread(n))]] }),
    );
    expect(together?.spread.covariance[0]?.[0]).toBeCloseTo(0, 12);
  });
});
