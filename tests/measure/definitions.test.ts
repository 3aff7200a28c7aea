// Times of a rippled, flat top, the fall to 37 %, and the ripple's frequency: what the definition is worth stands in
// the budget. Currents written down from plain curves; noise from a fixed generator.

import { describe, expect, it } from 'vitest';
import type { Capture } from '../../host/capture/index.js';
import { measure } from '../../host/measure/index.js';
import { rippleOf } from '../../host/measure/ripple.js';
import { seeded } from './closed-form.js';

const RATE_HZ = 5000;
const CONTACT_S = 0.25;

function start(currentA: (t: number) => number, noiseA = 0.02, seed = 1): Capture {
  const { normal } = seeded(seed);
  const timeS = Float64Array.from({ length: 1.25 * RATE_HZ }, (_, i) => i / RATE_HZ);
  return {
    timeS,
    position: Array.from(timeS, (t) => (t < CONTACT_S ? ('rest' as const) : ('forward' as const))),
    channels: {
      motorCurrentA: timeS.map((t) => noiseA * normal() + (t < CONTACT_S ? 0 : currentA(t - CONTACT_S))),
    },
    gaps: [],
    sampleRateHz: RATE_HZ,
    notes: [],
  };
}

const rise = (t: number): number => -Math.expm1(-t / 0.001);

describe('the fall from the peak to 37 % above the running level', () => {
  it('of an exponential run-up is its time constant, less what the rise took of the peak', () => {
    const tauS = 0.05;
    const told = measure(start((t) => (3 + 12 * Math.exp(-t / tauS)) * rise(t))).measured;
    const [fall, peak] = [told.forwardFallTo37S, told.forwardInrushTimeS];
    // Peak where the slope is none; from its height the exponential takes ln(height / (12 / e)) of tau.
    const height = (told.forwardInrushPeakA?.value ?? 0) - 3;
    const truthS = tauS * Math.log((12 * Math.E) / height) - (peak?.value ?? 0);
    expect(Math.abs((fall?.value ?? 0) - truthS)).toBeLessThan(fall?.expandedUncertainty ?? 0);
    expect(fall?.expandedUncertainty).toBeLessThan(0.1 * tauS);
  });

  it('is the wider the more the current ripples', () => {
    const at = (part: number) =>
      measure(
        start((t) => (3 + 12 * Math.exp(-t / 0.05)) * rise(t) * (1 + part * Math.sin(2 * Math.PI * 130 * t))),
      ).measured.forwardFallTo37S?.standardUncertainty ?? 0;
    expect(at(0.1)).toBeGreaterThan(1.5 * at(0));
  });
});

describe('the time of the inrush peak', () => {
  // A top that stands for 30 ms and ripples: any of its ripples may be the highest.
  const flat = (phase: number) => (t: number) =>
    rise(t) *
    (t < 0.03 ? 12 : 3 + 9 * Math.exp(-(t - 0.03) / 0.04)) *
    (1 + 0.05 * Math.sin(2 * Math.PI * (210 * t + phase)));

  it('of a flat, rippled top carries the width of the top', () => {
    for (const phase of [0, 0.2, 0.4, 0.6, 0.8]) {
      const time = measure(start(flat(phase))).measured.forwardInrushTimeS;
      const line = time?.budget?.find(({ source }) => source === 'flat top');
      expect(line?.standardUncertainty, `phase ${phase}`).toBeGreaterThan(0.003);
      // The middle of the top lies within the interval, wherever the highest ripple stood.
      expect(Math.abs((time?.value ?? 0) - 0.017), `phase ${phase}`).toBeLessThan(
        time?.expandedUncertainty ?? 0,
      );
    }
  });

  it('of a plain peak is good to a sample and a half, as ever', () => {
    const time = measure(start((t) => (3 + 12 * Math.exp(-t / 0.05)) * rise(t))).measured.forwardInrushTimeS;
    expect(time?.standardUncertainty).toBeLessThan(2 / RATE_HZ);
  });
});

describe('the ripple frequency', () => {
  const ripple = (hz: (t: number) => number) => {
    const { normal } = seeded(5);
    let phase = 0;
    const timeS = Float64Array.from({ length: 2048 }, (_, i) => i / RATE_HZ);
    const current = timeS.map((t) => {
      phase += (2 * Math.PI * hz(t)) / RATE_HZ;
      return 3 + 0.2 * Math.sin(phase) + 0.02 * normal();
    });
    return rippleOf({ current, timeS, stepS: 1 / RATE_HZ, from: 0, to: 2048 }).rippleHz;
  };
  const choice = (quantity: ReturnType<typeof ripple>): number =>
    quantity?.budget?.find(({ source }) => source === 'choice of the window')?.standardUncertainty ??
    Number.NaN;

  it('of a steady speed knows no choice of window', () => {
    expect(choice(ripple(() => 430))).toBe(0);
  });

  it('of a speed that climbs 6 Hz through the window holds what either half would say', () => {
    const climbing = ripple((t) => 430 + 6 * (t / 0.4096));
    expect(choice(climbing)).toBeGreaterThan(0.4);
    for (const halfHz of [431.5, 434.5])
      expect(Math.abs((climbing?.value ?? 0) - halfHz)).toBeLessThan(
        1.3 * (climbing?.expandedUncertainty ?? 0),
      );
  });
});
