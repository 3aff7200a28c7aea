// The zero of the current channels from the lead-in with everything off, and what rounding leaves in a mean of noisy readings.

import { describe, expect, it } from 'vitest';
import type { Capture, Feed } from '../../host/capture/index.js';
import { measure } from '../../host/measure/index.js';
import { roundingUncertainty } from '../../host/measure/rounding.js';
import {
  type BenchShape,
  CATALOGUE_MOTOR,
  closedFormCapture,
  RIG,
  seeded,
  throughConverter,
} from './closed-form.js';

const SHAPE: BenchShape = {
  motor: CATALOGUE_MOTOR,
  supplyV: 13,
  feedOhm: 0.06,
  groundOhm: 0.03,
  release: 'coast',
  sampleRateHz: 5000,
  delayS: 0.008,
};
const LEAD_IN_S = 0.2;

/** The first 0.2 s of the rest are the lead-in; the currents read `offsetA` too much. */
function captureWith(offsetA: number, seed: number): Capture {
  const ideal = closedFormCapture(SHAPE);
  const channels = { ...ideal.channels };
  for (const channel of ['motorCurrentA', 'feedCurrentA'] as const)
    channels[channel] = ideal.channels[channel]!.map((value) => value + offsetA);
  const feed = Array.from(ideal.timeS, (timeS): Feed => (timeS < LEAD_IN_S ? 'off' : 'full'));
  return { ...throughConverter({ ...ideal, channels }, seed), feed };
}

describe('zero from the lead-in', () => {
  it.each([0.06, -0.11])('takes an offset of %f A off every current (noise seed 41)', (offsetA) => {
    const truth = measure(captureWith(0, 40), { rig: RIG }).measured.forwardRunningCurrentA!;
    const { measured, notes } = measure(captureWith(offsetA, 41), { rig: RIG });
    const running = measured.forwardRunningCurrentA!;
    expect(Math.abs(measured.zeroMotorCurrentA!.value - offsetA)).toBeLessThan(0.01);
    expect(Math.abs(running.value - truth.value)).toBeLessThan(0.015);
    // Without the lead-in the offset's 0.03 A alone would stand there.
    expect(running.standardUncertainty).toBeLessThan(0.03);
    expect(notes.join(' ')).toMatch(
      /everything off before the feed came on, and taken off: .* mA of the motor current/,
    );
  });

  it('tells a current that no zero explains, and takes nothing off', () => {
    const { measured, notes } = measure(captureWith(0.8, 42), { rig: RIG });
    expect(notes.join(' ')).toMatch(
      /Motor current reads 0\.\d+ A with everything off.*Nothing was taken off/,
    );
    expect(measured.restMotorCurrentA!.value).toBeGreaterThan(0.7);
  });

  it('leaves captures alone that do not tell their feed', () => {
    const { feed: _, ...untold } = captureWith(0.06, 43);
    const { measured, notes } = measure(untold, { rig: RIG });
    expect(measured.zeroMotorCurrentA).toBeUndefined();
    expect(notes.join(' ')).not.toMatch(/taken off/);
  });
});

describe('what rounding leaves in a mean', () => {
  it('is a step over the root of twelve without noise (GUM F.2.2.1)', () => {
    expect(roundingUncertainty(1, 0)).toBeCloseTo(1 / Math.sqrt(12), 12);
  });

  it.each([0.1, 0.2, 0.3])(
    'is the deviation of such means over places between two steps, noise %f of a step',
    (noise) => {
      // Exact mean of rounded readings at place x: sum of P(reading above k + 1/2), by a fine sum over a normal's density.
      const { normal } = seeded(44);
      const draws = Float64Array.from({ length: 4000 }, () => noise * normal());
      const places = 50;
      let squares = 0;
      for (let p = 0; p < places; p++) {
        const x = (p + 0.5) / places;
        let sum = 0;
        for (const draw of draws) sum += Math.round(x + draw) - (x + draw);
        squares += (sum / draws.length) ** 2 / places;
      }
      const seen = Math.sqrt(noise * noise + 1 / 12);
      expect(roundingUncertainty(1, seen) / Math.sqrt(squares)).toBeGreaterThan(0.9);
      expect(roundingUncertainty(1, seen) / Math.sqrt(squares)).toBeLessThan(1.1);
    },
  );
});
