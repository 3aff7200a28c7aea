// Honest accuracy: two hundred random motors from closed forms, through a rig with its own gain, offset and clock errors, noise
// and ten bits. Errors within what is promised, and the stated 95 % intervals holding the truth about as often as stated.

import { describe, expect, it } from 'vitest';
import type { Capture, Channel } from '../../host/capture/index.js';
import { measure } from '../../host/measure/index.js';
import {
  type BenchShape,
  closedFormCapture,
  type LinearMotor,
  motorState,
  RIG,
  seeded,
  throughConverter,
} from './closed-form.js';

const SEED = 20240611;
const MOTORS = 200;
/** At standstill there is no commutation: ripple comes 0.3 s into each throw. */
const isRunning = (t: number): boolean => (t > 0.8 && t < 1.31) || (t > 2.1 && t < 2.61);
const between = (uniform: () => number, low: number, high: number): number => low * (high / low) ** uniform();

function randomMotor(uniform: () => number): LinearMotor {
  for (;;) {
    const resistanceOhm = between(uniform, 0.5, 2.5);
    const kt = between(uniform, 0.012, 0.04);
    const runA = between(uniform, 0.6, 2.5);
    const speed = (12.5 - runA * resistanceOhm) / kt;
    const motor = {
      resistanceOhm,
      inductanceH: resistanceOhm * between(uniform, 0.0004, 0.0015),
      backEmfVsPerRad: kt,
      torqueNmPerA: kt,
      viscousNms: (kt * runA) / speed,
      inertiaKgM2: (between(uniform, 0.03, 0.1) * kt * kt) / resistanceOhm,
    };
    if (speed > 0 && runA < 4 / resistanceOhm) return motor;
  }
}

/** A rig's own errors: gain and offset by its profile, a clock off by up to 0.3 %. */
function throughRig(ideal: Capture, seed: number): Capture {
  const { normal, uniform } = seeded(seed);
  const channels: Capture['channels'] = {};
  for (const [name, values] of Object.entries(ideal.channels) as [Channel, Float64Array][]) {
    const { gainUncertaintyPercent, offsetUncertainty } = RIG.scales[name];
    const gain = 1 + (gainUncertaintyPercent / 100) * normal();
    const offset = offsetUncertainty * normal();
    channels[name] = values.map((value) => gain * value + offset);
  }
  const clock = 1 + 0.003 * (2 * uniform() - 1);
  return throughConverter({ ...ideal, timeS: ideal.timeS.map((t) => t * clock), channels }, seed + 1);
}

describe(`two hundred random motors (seed ${SEED})`, () => {
  it('are measured as promised, and the intervals hold', () => {
    const { uniform } = seeded(SEED);
    const held: Record<string, [number, number]> = {};
    let classes = 0;
    for (let n = 0; n < MOTORS; n++) {
      const motor = randomMotor(uniform);
      const release = (['coast', 'brake-ground', 'brake-high'] as const)[n % 3]!;
      const s: BenchShape = {
        motor,
        supplyV: 11.5 + 2 * uniform(),
        feedOhm: 0.03 + 0.08 * uniform(),
        groundOhm: 0.02 + 0.05 * uniform(),
        release,
        sampleRateHz: 5000,
        delayS: 0.004 + 0.008 * uniform(),
        holdS: 0.8,
      };
      const ideal = closedFormCapture(s);
      const rippleHz = between(uniform, 150, 1500);
      const ohm = 0.03 + 0.07 * uniform();
      const { motorCurrentA, supplyVoltageV, feedCurrentA } = ideal.channels;
      supplyVoltageV!.forEach((value, k) => {
        supplyVoltageV![k] = value - ohm * feedCurrentA![k]!;
      });
      const loop = motor.resistanceOhm + s.feedOhm + s.groundOhm;
      const runA = motorState(motor, loop, s.supplyV, { i: 0, w: 0 }, 5).i;
      motorCurrentA!.forEach((value, k) => {
        if (Math.abs(value) > 0.9 * runA && isRunning(ideal.timeS[k]!))
          motorCurrentA![k] =
            value + Math.sign(value) * 0.2 * Math.sin(2 * Math.PI * rippleHz * ideal.timeS[k]!);
      });
      let peakA = 0;
      for (let t = 0; t < 0.02; t += 2e-5)
        peakA = Math.max(peakA, motorState(motor, loop, s.supplyV, { i: 0, w: 0 }, t).i);
      const { measured, segments } = measure(throughRig(ideal, SEED + 10 * n), {
        rig: RIG,
        ripplesPerTurn: 12,
      });
      const where = `motor ${n}`;
      const truths: [string, number, number, number][] = [
        ['InrushPeakA', peakA, 0.03, 0.2],
        ['RunningCurrentA', runA, 0.02, 2 * 0.078125],
        ['FeedResistanceOhm', s.feedOhm - ohm, 1, 0.4],
        ['GroundDropV', runA * s.groundOhm, 0.02, 0.06],
        ['SourceResistanceOhm', ohm, 0.03, 0.004],
        ['SpeedRpm', 5 * rippleHz, 0.01, 0],
        ['RippleHz', rippleHz, 0.01, 0],
      ];
      for (const [key, truth, part, absolute] of truths) {
        const quantity = measured[`forward${key}`];
        expect(quantity, `${where} ${key}`).toBeDefined();
        const error = Math.abs(quantity!.value - truth);
        expect(error, `${where} ${key}: ${quantity!.value}, true ${truth}`).toBeLessThan(
          part * Math.abs(truth) + absolute,
        );
        const count = held[key] ?? [0, 0];
        held[key] = count;
        count[1]++;
        if (error <= quantity!.expandedUncertainty) count[0]++;
      }
      if (segments[1]!.release === release && segments[3]!.release === release) classes++;
    }
    console.info(
      Object.entries(held)
        .map(([key, [inside, all]]) => `${key} ${((100 * inside) / all).toFixed(1)} %`)
        .join(', '),
    );
    // Of 200 intervals that hold in 95 of 100 cases, fewer than 184 hold in 3 of 100 such tests. What a rectangular share
    // rules (the clock in speed, the rounding in small drops) holds more often (GUM G.6.5); it is printed above.
    for (const [key, [inside, all]] of Object.entries(held))
      expect(inside / all, key).toBeGreaterThanOrEqual(0.92);
    expect(classes).toBe(MOTORS);
  });
});
