// Resistance of the way to the motor behind the inrush peak, against closed forms whose resistances are known. That its ±
// falls with the current is GUM 5.1.6 (relative variances of a quotient add), worked out by hand beside each check.

import { expect, it } from 'vitest';
import { measure } from '../../host/measure/index.js';
import { type BenchShape, CATALOGUE_MOTOR, closedFormCapture, RIG, throughConverter } from './closed-form.js';

const SHAPE: BenchShape = {
  ...{ motor: CATALOGUE_MOTOR, supplyV: 13, feedOhm: 0.06, groundOhm: 0.1, delayS: 0.0083 },
  ...{ release: 'brake-ground', sampleRateHz: 5000 },
};
const readOf = (shape: Partial<BenchShape> = {}, seed = 9401) =>
  measure(throughConverter(closedFormCapture({ ...SHAPE, ...shape }), seed), { rig: RIG }).measured;

it.each([9401, 9402, 9403])(
  'at the start is read through noise and rounding within its ± (seed %i)',
  (seed) => {
    for (const way of ['forward', 'reverse']) {
      const { [`${way}GroundResistanceAtStartOhm`]: ground, [`${way}FeedResistanceAtStartOhm`]: feed } =
        readOf({}, seed);
      expect(Math.abs(ground!.value - SHAPE.groundOhm)).toBeLessThan(ground!.expandedUncertainty);
      expect(Math.abs(feed!.value - SHAPE.feedOhm)).toBeLessThan(feed!.expandedUncertainty);
    }
  },
);

it('is known better there by as much as more current flows', () => {
  const read = readOf();
  const ratio = read.forwardStartLoadA!.value / read.forwardRunningCurrentA!.value;
  // A free motor of 1.6 A, behind the peak of its start still above 10 A.
  expect(ratio).toBeGreaterThan(5);
  // u(V) is the same offset of 0.01 V at both; u(I)/I adds 0.5 % of gain at the start, 0.5 % and 0.03 A of 1.9 A before.
  const { forwardGroundResistanceOhm: running, forwardGroundResistanceAtStartOhm: start } = read;
  expect(running!.expandedUncertainty / start!.expandedUncertainty).toBeGreaterThan(0.6 * ratio);
  const byHandOhm = Math.hypot(0.01 / read.forwardStartLoadA!.value, 0.1 * 0.005, 0.1 * 0.005);
  expect(start!.standardUncertainty / byHandOhm).toBeGreaterThan(0.8);
  expect(start!.standardUncertainty / byHandOhm).toBeLessThan(1.6);
});

it('says nothing where the current or a lead ran into the end of its channel', () => {
  const capture = closedFormCapture(SHAPE);
  const cut = (channel: 'motorCurrentA' | 'leadAVoltageV', most: number) => {
    const values = capture.channels[channel]!.map((value) => Math.min(most, value));
    const scale = RIG.scales[channel];
    const scales = { ...RIG.scales, [channel]: { ...scale, perCount: (most - scale.atZeroCount) / 1023 } };
    return measure(
      { ...capture, channels: { ...capture.channels, [channel]: values } },
      { rig: { ...RIG, scales } },
    ).measured;
  };
  expect(cut('motorCurrentA', 12)).not.toHaveProperty('forwardGroundResistanceAtStartOhm');
  expect(cut('leadAVoltageV', 12)).not.toHaveProperty('forwardGroundResistanceAtStartOhm');
  expect(cut('leadAVoltageV', 14)).toHaveProperty('forwardGroundResistanceAtStartOhm');
});

it('says nothing where samples lie too far apart to follow the start', () => {
  expect(readOf({ sampleRateHz: 1000 })).not.toHaveProperty('forwardGroundResistanceAtStartOhm');
});

it('is right behind a contact that bounced on the rise', () => {
  const { forwardGroundResistanceAtStartOhm: start } = readOf({ bounce: [[0.002, 0.0035]] });
  expect(start).toBeDefined();
  expect(Math.abs(start!.value - SHAPE.groundOhm)).toBeLessThan(start!.expandedUncertainty);
});
