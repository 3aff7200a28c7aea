// The armature's mark in the coil current, on a rise that is written down: 5 kHz, a dip of so many milliamperes.

import { describe, expect, it } from 'vitest';
import type { Capture } from '../../host/capture/index.js';
import { budgetsOf } from '../../host/measure/budget.js';
import { dipsOf } from '../../host/measure/relay/dip.js';
import { shipped } from '../judge/handmade.js';

const RATE_HZ = 5000;
const CYCLE = { from: 0, on: 500, off: 1500, to: 2500 };
type Course = (atS: number) => number;
/** 0.14 A with a time constant of 4 ms. */
const rise: Course = (atS) => 0.14 * -Math.expm1(-atS / 0.004);
/** A triangle 2 ms wide to either side. */
const triangle =
  (middleS: number, depthA: number): Course =>
  (atS) =>
    depthA * Math.max(0, 1 - Math.abs(atS - middleS) / 0.002);

function dips(on: Course, off: Course = () => 0, cycles = [CYCLE], budgets = budgetsOf(undefined)) {
  const timeS = Float64Array.from({ length: 2500 }, (_, i) => i / RATE_HZ);
  const value = (i: number): number => {
    if (i < CYCLE.on) return 0;
    return i < CYCLE.off ? on((i - CYCLE.on) / RATE_HZ) : off((i - CYCLE.off) / RATE_HZ);
  };
  const capture: Capture = {
    timeS,
    position: Array.from(timeS, () => 'rest' as const),
    channels: { coilCurrentA: timeS.map((_, i) => value(i)) },
    gaps: [],
    sampleRateHz: RATE_HZ,
    notes: [],
  };
  return dipsOf(capture, cycles, 1 / RATE_HZ, budgets);
}

describe('the mark of an armature', () => {
  it('is the deepest fall in the rise, from the command to its bottom', () => {
    const told = dips((atS) => rise(atS) - triangle(0.008, 0.03)(atS));
    // Half a sample from the command to the first sample; the bottom is flat for a sample either way.
    expect(told.dipS?.value).toBeGreaterThan(0.0078);
    expect(told.dipS?.value).toBeLessThan(0.0084);
    expect(told.dipS?.standardUncertainty).toBeCloseTo(1 / RATE_HZ, 12);
    // The rise goes on beneath it.
    expect(told.dipDepthA?.value).toBeGreaterThan(0.01);
    expect(told.dipDepthA?.value).toBeLessThan(0.03);
    expect(told.releaseRiseS).toBeUndefined();
  });

  it('on release is a rise in the fall', () => {
    const fall: Course = (atS) => 0.14 * Math.exp(-atS / 0.004) + triangle(0.008, 0.03)(atS);
    const told = dips(rise, fall);
    expect(told.dipS).toBeUndefined();
    expect(told.releaseRiseS?.value).toBeGreaterThan(0.0076);
    expect(told.releaseRiseS?.value).toBeLessThan(0.0084);
    expect(told.releaseRiseDepthA?.value).toBeGreaterThan(0.01);
  });

  it('is none where the current only rises, and falls again: the armature is held', () => {
    const told = dips(rise, (atS) => 0.14 * Math.exp(-atS / 0.004));
    expect(Object.keys(told)).toEqual(['armatureMoves']);
    expect(told.armatureMoves?.value).toBe(0);
  });

  it('is looked for within 50 ms of the command', () => {
    const late = (middleS: number) => dips((atS) => rise(atS) - triangle(middleS, 0.03)(atS)).dipS?.value;
    expect(late(0.046)).toBeGreaterThan(0.045);
    expect(late(0.055)).toBeUndefined();
  });

  it('must be deeper than one and a half counts of the rig', () => {
    const { rig } = shipped('mini-changeover-alone');
    const budgets = budgetsOf(rig);
    const countA = Math.abs(rig.scales.coilCurrentA.perCount);
    const flat =
      (depthA: number): Course =>
      (atS) =>
        0.14 - triangle(0.02, depthA)(atS);
    // Each sample with its two neighbours takes a fifteenth off the tip.
    expect(dips(flat(1.8 * countA), undefined, [CYCLE], budgets).dipS).toBeDefined();
    expect(dips(flat(1.4 * countA), undefined, [CYCLE], budgets).dipS).toBeUndefined();
  });

  it('needs a coil current and a cycle', () => {
    expect(dips((atS) => rise(atS) - triangle(0.008, 0.03)(atS), undefined, [])).toEqual({});
  });
});
