// A clamp or amplifier that ends its range before noise is put on: no reading equals another, and still the start is no more
// than a bound. Against a motor integrated by other means (references/outside-motor.ts), whose truth is known.

import { describe, expect, it } from 'vitest';
import { measure } from '../../host/measure/index.js';
import { asSeen, type OutsideRun, outsideRun, type Scope } from '../references/outside-motor.js';

const SEED = 8117;
const BOTH: OutsideRun = {
  throws: [
    [0.3, 1.2, 1],
    [1.9, 2.8, -1],
  ],
  lasts: 3.4,
};
const SLOW = { inertiaKgM2: 1.6e-4, inductanceH: 0.004 };
const VENT = {
  ...{ resistanceOhm: 2.2, inductanceH: 0.0033, backEmfVsPerRad: 0.0325, torqueNmPerA: 0.0315 },
  ...{ inertiaKgM2: 1.1e-5, viscousNms: 5.1e-5, frictionNm: 0.016 },
};
const runs = [{}, SLOW, VENT].map((motor) => outsideRun({ ...BOTH, motor }));
const peakOf = (run: (typeof runs)[number]): number => Math.max(...run.channels.motorCurrentA);
const endsAt =
  (endA: number): NonNullable<Scope['errorA']> =>
  (_t, trueA) =>
    Math.sign(trueA) * Math.min(0, endA - Math.abs(trueA));

describe(`the end of an instrument with noise behind it (noise ${SEED})`, () => {
  it.each([0.01, 0.02, 0.03])(
    'is seen at five sixths and seven tenths of the start, noise %d of it',
    (part) => {
      for (const run of runs)
        for (const endPart of [0.83, 0.7]) {
          const endA = endPart * peakOf(run);
          const noiseA = part * peakOf(run);
          const { measured, notes } = measure(
            asSeen(run, ['motorCurrentA'], { seed: SEED, noiseA, errorA: endsAt(endA) }),
          );
          for (const way of ['forward', 'reverse']) {
            const peak = measured[`${way}InrushPeakA`]!;
            expect(peak.atLeast, `${endPart} ${way}`).toBe(true);
            expect(peak.value).toBeGreaterThan(0.96 * endA);
            expect(peak.value).toBeLessThan(1.03 * endA);
          }
          expect(measured.inrushAsymmetryPercent).toBeUndefined();
          expect(notes.join(' ')).toMatch(/The start is at least that/);
        }
    },
  );

  it.each([0.001, 0.003])(
    'is seen by its corners at twelve thirteenths and nineteen twentieths of the start, noise %d of it',
    (part) => {
      for (const run of runs)
        for (const endPart of [0.92, 0.95])
          for (const seed of [SEED, SEED + 1]) {
            const endA = endPart * peakOf(run);
            const noiseA = part * peakOf(run);
            const { measured } = measure(
              asSeen(run, ['motorCurrentA'], { seed, noiseA, errorA: endsAt(endA) }),
            );
            const peak = measured.forwardInrushPeakA!;
            expect(peak.atLeast, `${endPart}`).toBe(true);
            expect(peak.value).toBeGreaterThan(0.98 * endA);
            expect(peak.value).toBeLessThan(1.02 * endA);
            expect(measured.forwardInrushTimeS).toBeUndefined();
          }
    },
  );

  it.each([0.0003, 0.002, 0.01, 0.03, 0.05])('is not seen in a rounded top, noise %d of it', (part) => {
    for (const run of runs)
      for (const seed of [SEED, SEED + 1]) {
        const { forwardInrushPeakA } = measure(
          asSeen(run, ['motorCurrentA'], { seed, noiseA: part * peakOf(run) }),
        ).measured;
        expect(forwardInrushPeakA!.atLeast).toBeUndefined();
      }
  });

  it('is not seen where a load comes on, the supply is soft or the brushes take a volt', () => {
    const others: Partial<OutsideRun>[] = [
      { sourceOhm: 0.3 },
      { loadNm: (t) => 0.1 * Math.max(0, t - 0.3) },
      { motor: { brushV: 0.8, frictionNm: 0.15 } },
      { motor: { ripple: 0.12 } },
      { motor: { ripple: 0.12, segments: 24, inertiaKgM2: 8e-5 } },
      { supplyV: (t) => 13 * (1 - Math.exp(-Math.max(0, t - 0.3) / 0.02)) },
      { supplyV: (t) => (t < 0.3 ? 13 : 13 - 2 * Math.exp(-(t - 0.3) / 0.02)) },
    ];
    for (const other of others) {
      const run = outsideRun({ ...BOTH, ...other });
      for (const part of [0.0005, 0.002, 0.03]) {
        const { forwardInrushPeakA } = measure(
          asSeen(run, ['motorCurrentA'], { seed: SEED, noiseA: part * peakOf(run) }),
        ).measured;
        expect(forwardInrushPeakA!.atLeast).toBeUndefined();
      }
    }
  });
});
