// Times of a relay over its cycles, worked by hand: an edge lies anywhere between two samples (rectangular, GUM F.2.2.1).

import { describe, expect, it } from 'vitest';
import type { CycleSeen } from '../../host/measure/index.js';
import { timingOf } from '../../host/measure/relay/timing.js';

const STEP_S = 0.0002;
/** Two edges of one time. */
const SAMPLING_S = Math.SQRT2 * (STEP_S / Math.sqrt(12));
const cycle = (more: Partial<CycleSeen> = {}): CycleSeen => ({
  operate: { opensS: 0.003, closesS: 0.005, bounceS: 0.001, gapless: false },
  release: { opensS: 0.002, closesS: 0.004, bounceS: 0.0005, gapless: false },
  ...{ before: 'rest', on: 'working', after: 'rest', workingOpensS: 0.002 },
  ...more,
});
const closing = (closesS: number): CycleSeen =>
  cycle({ operate: { opensS: 0.003, closesS, bounceS: 0.001, gapless: false } });
const timed = (...cycles: CycleSeen[]) => timingOf(cycles, STEP_S);

describe('the times of a relay', () => {
  it('are told of one cycle as they are', () => {
    const told = Object.fromEntries(
      Object.entries(timed(cycle())).map(([name, { value }]) => [name, Number((1000 * value).toFixed(9))]),
    );
    expect(told).toEqual({
      ...{ operateS: 5, operateOpensS: 3, releaseOpensS: 2, releaseS: 4 },
      ...{ makeBounceS: 1, breakBounceS: 0.5, operateGapS: 2, releaseGapS: 2 },
    });
  });

  it('are means, known to the sampling or to their scatter, whichever is more', () => {
    const even = timed(cycle(), cycle(), cycle(), cycle()).operateS;
    expect(even?.value).toBeCloseTo(0.005, 12);
    expect(even?.standardUncertainty).toBeCloseTo(SAMPLING_S / 2, 12);
    expect(even?.degreesOfFreedom).toBe(Number.POSITIVE_INFINITY);
    const scattered = timed(closing(0.004), closing(0.006), closing(0.008)).operateS;
    expect(scattered?.value).toBeCloseTo(0.006, 12);
    expect(scattered?.standardUncertainty).toBeCloseTo(0.002 / Math.sqrt(3), 12);
    expect(scattered?.degreesOfFreedom).toBeCloseTo(2, 9);
  });

  it('are of cycles in which the contact came to carry, and came back', () => {
    const stuck = cycle({
      on: 'none',
      operate: { closesS: 0.05, opensS: 0.05, bounceS: 0.05, gapless: true },
    });
    const welded = cycle({ after: 'working', release: { closesS: 0.05, bounceS: 0.05, gapless: false } });
    const told = timed(stuck, cycle(), welded);
    expect(told.operateS?.value).toBeCloseTo(0.005, 12);
    expect(told.makeBounceS?.value).toBe(0.001);
    expect(told.releaseS?.value).toBeCloseTo(0.004, 12);
    expect(told.breakBounceS?.value).toBe(0.0005);
    expect(told.operateGapS?.value).toBeCloseTo(0.002, 12);
    expect(told.releaseGapS?.value).toBeCloseTo(0.002, 12);
    expect(timed(stuck)).toEqual({});
    expect(timed()).toEqual({});
  });

  it('have the longest bounce of all cycles, known to the sampling', () => {
    const bouncing = (bounceS: number) =>
      cycle({
        operate: { closesS: 0.005, bounceS, gapless: false },
        release: { closesS: 0.004, bounceS, gapless: false },
      });
    const { makeBounceS, breakBounceS } = timed(bouncing(0.001), bouncing(0.004), bouncing(0.002));
    expect([makeBounceS?.value, breakBounceS?.value]).toEqual([0.004, 0.004]);
    expect(makeBounceS?.standardUncertainty).toBeCloseTo(SAMPLING_S, 12);
  });

  it('have a gap of half a step where one transfer shows none', () => {
    const gapless = cycle({ operate: { gapless: true } });
    const { operateGapS, releaseGapS } = timed(cycle(), gapless);
    expect(operateGapS?.value).toBe(STEP_S / 2);
    expect(operateGapS?.standardUncertainty).toBeCloseTo(STEP_S / Math.sqrt(12), 12);
    expect(releaseGapS?.value).toBeCloseTo(0.002, 12);
  });

  it('have no gap where a transfer was not seen from both sides', () => {
    const half = (more: Partial<CycleSeen['operate']>) => cycle({ operate: { gapless: false, ...more } });
    expect(timed(half({ opensS: 0.003 })).operateGapS).toBeUndefined();
    expect(timed(half({ closesS: 0.003 })).operateGapS).toBeUndefined();
  });
});
