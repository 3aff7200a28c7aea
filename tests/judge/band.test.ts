// Lowest and highest of the draws on a grid of 2 ms, channel by channel.

import { describe, expect, it } from 'vitest';
import { bandOf, mergeBand, startBand, widenBand } from '../../host/judge/band.js';
import { captureOf } from './handmade.js';

/** 0.4 ms apart as the draws are, five to a slot. */
const run = (value: number | ((atS: number) => number), durationS = 0.01, rateHz = 2500) =>
  captureOf([{ position: 'rest', durationS, channels: { leadAVoltageV: value } }], rateHz);
const started = (...values: (number | ((atS: number) => number))[]) => {
  const band = startBand(run(0));
  for (const value of values) widenBand(band, run(value));
  return band;
};

describe('a band', () => {
  it('begins as long as its run, empty, with the channels that the run has', () => {
    const band = startBand(run(0));
    expect([...band.timeS]).toEqual([0, 0.002, 0.004, 0.006, 0.008]);
    expect(Object.keys(band.lower)).toEqual(['leadAVoltageV']);
    expect(Object.keys(band.upper)).toEqual(['leadAVoltageV']);
    expect(band.lower.leadAVoltageV).toEqual(new Float64Array(5).fill(Number.POSITIVE_INFINITY));
    expect(band.upper.leadAVoltageV).toEqual(new Float64Array(5).fill(Number.NEGATIVE_INFINITY));
  });

  it('of an empty run has one slot', () => {
    expect([...startBand(run(0, 0)).timeS]).toEqual([0]);
  });

  it('takes the lowest and the highest of every draw', () => {
    const { lower, upper } = started(3, 1, 2);
    expect([...(lower.leadAVoltageV ?? [])]).toEqual([1, 1, 1, 1, 1]);
    expect([...(upper.leadAVoltageV ?? [])]).toEqual([3, 3, 3, 3, 3]);
  });

  it('has each sample in the slot that it falls into', () => {
    const { lower, upper } = started((atS) => 1000 * atS);
    expect([...(lower.leadAVoltageV ?? [])].map((value) => Number(value.toFixed(3)))).toEqual([
      0, 2, 4, 6, 8,
    ]);
    expect([...(upper.leadAVoltageV ?? [])].map((value) => Number(value.toFixed(3)))).toEqual([
      1.6, 3.6, 5.6, 7.6, 9.6,
    ]);
  });

  it('takes what goes on beyond its end into its last slot', () => {
    const band = startBand(run(0));
    widenBand(
      band,
      run((atS) => 1000 * atS, 0.02),
    );
    expect(band.upper.leadAVoltageV?.[4]).toBeCloseTo(19.6, 9);
    expect(band.upper.leadAVoltageV).toHaveLength(5);
  });

  it('leaves out a channel that the draw lacks, or that it does not have', () => {
    const band = startBand(run(0));
    const other = captureOf([{ position: 'rest', durationS: 0.01, channels: { leadBVoltageV: 7 } }], 2500);
    widenBand(band, other);
    expect(Object.keys(band.upper)).toEqual(['leadAVoltageV']);
    expect(band.upper.leadAVoltageV?.[0]).toBe(Number.NEGATIVE_INFINITY);
  });

  it('needs both sides of a channel', () => {
    const band = startBand(run(0));
    for (const half of [
      { ...band, upper: {} },
      { ...band, lower: {} },
    ]) {
      widenBand(half, run(3));
      mergeBand(half, started(3));
      mergeBand(started(3), half);
    }
    expect(band.lower.leadAVoltageV?.[0]).toBe(Number.POSITIVE_INFINITY);
    expect(band.upper.leadAVoltageV?.[0]).toBe(Number.NEGATIVE_INFINITY);
  });
});

describe('two bands of one plan', () => {
  it('are one, and the first of them holds it', () => {
    const first = started((atS) => (atS < 0.004 ? 1 : 5));
    const merged = mergeBand(
      first,
      started((atS) => (atS < 0.004 ? 3 : 2)),
    );
    expect(merged).toBe(first);
    expect([...(merged.lower.leadAVoltageV ?? [])]).toEqual([1, 1, 2, 2, 2]);
    expect([...(merged.upper.leadAVoltageV ?? [])]).toEqual([3, 3, 5, 5, 5]);
  });
});

describe('a finished band', () => {
  it('has no number where no sample fell', () => {
    // One sample in 5 ms.
    const band = startBand(run(0));
    widenBand(band, run(4, 0.01, 200));
    const done = bandOf(band);
    expect(done).toBe(band);
    for (const side of [done.lower, done.upper])
      expect([...(side.leadAVoltageV ?? [])]).toEqual([4, Number.NaN, 4, Number.NaN, Number.NaN]);
  });
});
