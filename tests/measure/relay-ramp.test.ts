// Pull-in and drop-out while the coil's supply is turned up and down by hand; armature dip from a coil whose inductance
// grows. Voltages of the changes are given.

import { describe, expect, it } from 'vitest';
import type { Capture, Position } from '../../host/capture/index.js';
import { measureRelay } from '../../host/measure/index.js';
import { seeded } from './closed-form.js';

const RATE_HZ = 5000;

/** Up in `upS` and down again; the relay follows `travelS` after its voltage. */
function turned(
  pullInV: number,
  dropOutV: number,
  { upS = 5, travelS = 0.006, noiseV = 0.018, seed = 1, channel = 'leadBVoltageV', topV = 13 } = {},
): Capture {
  const { normal } = seeded(seed);
  const count = Math.round((2 * upS + 1) * RATE_HZ);
  const timeS = Float64Array.from({ length: count }, (_, i) => i / RATE_HZ);
  const voltsAt = (t: number): number => topV * Math.max(0, Math.min(1, t / upS, (2 * upS + 0.5 - t) / upS));
  const working = new Float64Array(count);
  let isIn = false;
  for (let i = 0; i < count; i++) {
    const coilV = voltsAt(timeS[i]! - travelS);
    isIn = isIn ? coilV > dropOutV : coilV >= pullInV;
    working[i] = (isIn ? -2.7 : 0) + 0.05 * normal();
  }
  return {
    timeS,
    position: new Array<Position>(count).fill('rest'),
    channels: {
      motorCurrentA: working,
      feedCurrentA: new Float64Array(count).fill(2.7),
      [channel]: timeS.map((t) => voltsAt(t) + noiseV * normal()),
    },
    gaps: [],
    sampleRateHz: RATE_HZ,
    notes: [],
  };
}

describe('turning the supply up and down', () => {
  // Limits printed at 20 C: pull-in at most 8 V (dtsheet.com/doc/683074), 7.2 V and drop-out at least 1.2 V
  // (dtsheet.com/doc/683071), 8.4 V (fooclesmod.com/?p=22940), 0.5 V (Panasonic listing at directindustry.com).
  it.each([
    [8, 1.2, 61],
    [7.2, 1.2, 62],
    [8.4, 2.5, 63],
    [7, 0.5, 64],
  ])('pull-in %d V and drop-out %d V are read within their ±, seed %d', (pullInV, dropOutV, seed) => {
    const { measured } = measureRelay(turned(pullInV, dropOutV, { seed }));
    expect(Math.abs(measured.pullInVoltageV!.value - pullInV)).toBeLessThan(
      measured.pullInVoltageV!.expandedUncertainty,
    );
    expect(Math.abs(measured.dropOutVoltageV!.value - dropOutV)).toBeLessThan(
      measured.dropOutVoltageV!.expandedUncertainty,
    );
    expect(measured.pullInVoltageV!.expandedUncertainty).toBeLessThan(0.06);
  });

  it('the supply channel serves where the coil voltage is on it, seed 65', () => {
    const { measured } = measureRelay(turned(7.5, 2, { seed: 65, channel: 'supplyVoltageV' }));
    expect(measured.pullInVoltageV!.value).toBeCloseTo(7.5, 1);
  });

  it('turned too fast it is told, and the ± grows, seed 66', () => {
    const { measured, notes } = measureRelay(turned(7.5, 2, { seed: 66, upS: 1 }));
    expect(notes.some((note) => /turn it slowly/.test(note))).toBe(true);
    expect(Math.abs(measured.pullInVoltageV!.value - 7.5)).toBeLessThan(
      measured.pullInVoltageV!.expandedUncertainty,
    );
  });

  it('a supply that stops short of pull-in gives no number, seed 67', () => {
    const { measured, notes } = measureRelay(turned(9.5, 2, { seed: 67, topV: 9 }));
    expect(measured.pullInVoltageV).toBeUndefined();
    expect(notes.some((note) => /never carried/.test(note))).toBe(true);
  });
});

describe('armature dip', () => {
  // i L = flux; the armature multiplies L by 1.4 between 3 and 6 ms. Flux by Euler steps of 2 us, no solver of ours.
  function dipping(movesAtS: number, landsAtS: number, seed: number): Capture {
    const { normal } = seeded(seed);
    const lengthS = 0.6;
    const count = Math.round(lengthS * RATE_HZ);
    const coil = new Float64Array(count);
    const onS = 0.2001;
    let flux = 0;
    let t = 0;
    const stepS = 2e-6;
    const inductance = (at: number): number => {
      const part = Math.min(1, Math.max(0, (at - onS - movesAtS) / (landsAtS - movesAtS)));
      return 0.3 * (1 + 0.4 * part * part);
    };
    for (let i = 0; i < count; i++) {
      for (; t < i / RATE_HZ; t += stepS)
        if (t >= onS && t < 0.5) flux += stepS * (13 - 85 * (flux / inductance(t)));
      const isOn = i / RATE_HZ >= onS && i / RATE_HZ < 0.5;
      coil[i] = (isOn ? flux / inductance(i / RATE_HZ) : 0) + 0.0007 * normal();
    }
    const timeS = Float64Array.from({ length: count }, (_, i) => i / RATE_HZ);
    return {
      timeS,
      position: Array.from(timeS, (at): Position => (at >= onS && at < 0.5 ? 'forward' : 'rest')),
      channels: { coilCurrentA: coil, supplyVoltageV: new Float64Array(count).fill(13) },
      gaps: [],
      sampleRateHz: RATE_HZ,
      notes: [],
    };
  }

  it.each([
    [0.003, 0.006, 71],
    [0.004, 0.0055, 72],
  ])(
    'has its bottom where the armature lands (moves at %d, lands at %d s), seed %d',
    (movesS, landsS, seed) => {
      const { measured } = measureRelay(dipping(movesS, landsS, seed));
      expect(Math.abs(measured.dipS!.value - landsS)).toBeLessThan(0.0004);
      expect(measured.dipDepthA!.value).toBeGreaterThan(0.002);
    },
  );

  it('is not there where nothing moves, seed 73', () => {
    expect(measureRelay(dipping(1, 2, 73)).measured.dipS).toBeUndefined();
  });
});
