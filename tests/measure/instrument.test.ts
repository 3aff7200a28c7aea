// An instrument that is no rig: its accuracy in the ± (GUM 4.3.7, rectangular limits), its zero, and the end of its range.
// The motor is the closed form of closed-form.ts.

import { describe, expect, it } from 'vitest';
import type { Capture } from '../../host/capture/index.js';
import { nominalInput, simulatePlan } from '../../host/circuit/index.js';
import { fitMotor, measure } from '../../host/measure/index.js';
import { clippedAt, zeroFromRest } from '../../host/measure/instrument.js';
import { loadUnit } from '../../host/profile/index.js';
import { CATALOGUE_MOTOR, closedFormCapture, seeded } from './closed-form.js';

const SHAPE = {
  motor: CATALOGUE_MOTOR,
  supplyV: 13,
  feedOhm: 0.06,
  groundOhm: 0.03,
  release: 'coast',
  sampleRateHz: 5000,
  delayS: 0.0083,
} as const;
const whole = closedFormCapture(SHAPE);

/** As an instrument with a step and a range gives it, with noise of so much. */
function through(
  capture: Capture,
  { stepA, rangeA, noiseA }: { stepA: number; rangeA: number; noiseA: number },
): Capture {
  const { normal: random } = seeded(4711);
  const current = capture.channels.motorCurrentA!.map((value) => {
    const counts = Math.round((value + noiseA * random()) / stepA) * stepA;
    return Math.max(-rangeA, Math.min(rangeA, counts));
  });
  return { ...capture, channels: { ...capture.channels, motorCurrentA: current } };
}
const alone = (capture: Capture): Capture => ({
  ...capture,
  channels: { motorCurrentA: capture.channels.motorCurrentA! },
});

/** A current from 0.3 s on, by the time since then. */
function loaded(currentA: (sinceS: number) => number): Capture {
  const timeS = Float64Array.from({ length: 5000 }, (_, k) => k / 5000);
  const motorCurrentA = timeS.map((t) => (t < 0.3 ? 0 : currentA(t - 0.3)));
  return { ...whole, timeS, position: new Array(5000).fill('rest'), channels: { motorCurrentA } };
}

describe('the accuracy of an instrument', () => {
  it('puts its limits of error, taken as rectangular, into the ± of a level (GUM 4.3.7)', () => {
    const capture = alone(through(whole, { stepA: 0.01, rangeA: 50, noiseA: 0.02 }));
    const bare = measure(capture).measured.forwardRunningCurrentA!;
    const told = measure(capture, {
      instrument: { motorCurrentA: { part: 0.015, constant: 0.02 } },
    }).measured.forwardRunningCurrentA!;
    const limits = Math.hypot((0.015 * told.value) / Math.sqrt(3), 0.02 / Math.sqrt(3));
    expect(told.value).toBe(bare.value);
    expect(told.standardUncertainty ** 2 - bare.standardUncertainty ** 2).toBeCloseTo(limits ** 2, 5);
  });
});

describe('the zero of an instrument', () => {
  it('is taken from what the current reads before the first throw', () => {
    const off = alone(through(whole, { stepA: 0.01, rangeA: 50, noiseA: 0.02 }));
    const shifted = {
      ...off,
      channels: { motorCurrentA: off.channels.motorCurrentA!.map((value) => value + 0.4) },
    };
    for (const capture of [shifted, { ...shifted, positionKnown: false }]) {
      const zeroed = zeroFromRest(capture as Capture);
      expect(zeroed.channels.motorCurrentA![0]! - off.channels.motorCurrentA![0]!).toBeCloseTo(0, 1);
      expect(zeroed.notes.at(-1)).toMatch(
        /^The zero of the motor current was taken from rest: 0\.\d+ A taken away\.$/,
      );
    }
  });
});

describe('a current beyond the range of its instrument', () => {
  it.each([
    [0.001, 0, 12],
    [0.078, 0, 12],
    [0.078, 0.05, 12],
    [0.02, 0.03, 8],
  ])('is seen with steps of %d A and noise of %d A at %d A', (stepA, noiseA, rangeA) => {
    const top = clippedAt(through(whole, { stepA, noiseA, rangeA }), 'motorCurrentA');
    expect(top?.above).toBeCloseTo(rangeA, 1);
    expect(top?.below).toBeCloseTo(-rangeA, 1);
  });

  it.each([
    [1e-6, 0],
    [0.01, 0],
    [0.078, 0],
    [0.078, 0.03],
    [0.3, 0],
    [0.02, 0.05],
  ])('is not seen in an ordinary rounded top, with steps of %d A and noise of %d A', (stepA, noiseA) => {
    for (const sampleRateHz of [2000, 5000, 50_000]) {
      const capture = closedFormCapture({ ...SHAPE, sampleRateHz });
      expect(clippedAt(through(capture, { stepA, noiseA, rangeA: 100 }), 'motorCurrentA')).toBeUndefined();
    }
  });

  it('is seen where a short runs into it from one reading to the next, and stays there', () => {
    // 80 A behind 0.2 ms: past 40 A within one reading; a clamp that reads up to 40 A.
    const short = loaded((sinceS) => 80 * (1 - Math.exp(-sinceS / 0.0002)));
    expect(clippedAt(through(short, { stepA: 0.02, rangeA: 40, noiseA: 0.05 }), 'motorCurrentA')).toEqual({
      above: 40,
    });
  });

  it('is not seen where a resistor takes one level, however coarse the steps and quiet the instrument', () => {
    const resistor = loaded(() => 5.03);
    for (const [stepA, noiseA] of [
      [0.1, 0],
      [0.1, 0.01],
      [0.02, 0.05],
    ] as const)
      expect(clippedAt(through(resistor, { stepA, rangeA: 40, noiseA }), 'motorCurrentA')).toBeUndefined();
  });

  it('is not seen in simulated runs of a held rotor and of a motor that turns', () => {
    const unit = loadUnit('roof-vent-switch');
    const capture = simulatePlan(nominalInput(unit), unit.plan);
    for (const stepA of [1e-6, 0.02, 0.078])
      expect(
        clippedAt(through(capture, { stepA, noiseA: 0, rangeA: 1000 }), 'motorCurrentA'),
      ).toBeUndefined();
  });

  it('makes a lower bound of the peak, takes away what it spoils, and says so', () => {
    const { measured, notes } = measure(alone(through(whole, { stepA: 0.02, noiseA: 0.03, rangeA: 12 })));
    expect(measured.forwardInrushPeakA).toMatchObject({
      value: expect.closeTo(12, 1) as number,
      atLeast: true,
    });
    expect(measured.forwardRunningCurrentA!.atLeast).toBeUndefined();
    expect(measured.forwardFlatTopA).toBeUndefined();
    expect(measured.inrushAsymmetryPercent).toBeUndefined();
    expect(notes.join(' ')).toMatch(
      /Forward: the motor current ran beyond the range of the instrument: at least 12\.0 A/,
    );
  });

  it('refuses to fit the motor rather than tell a resistance that is too high', () => {
    const unit = loadUnit('window-lift-alone');
    const turned = simulatePlan(nominalInput(unit), unit.plan);
    const clipped = through(turned, { stepA: 0.02, noiseA: 0.03, rangeA: 10 });
    const { model, notes } = fitMotor(clipped);
    expect(model).toEqual({});
    expect(notes.join(' ')).toMatch(/not fitted: its current ran beyond the range of the instrument/);
    expect(
      fitMotor(through(turned, { stepA: 0.02, noiseA: 0.03, rangeA: 30 })).model.resistanceOhm,
    ).toBeDefined();
  });

  it('keeps readings that the instrument itself marked as beyond its range as lower bounds', () => {
    const capture = {
      ...alone(through(whole, { stepA: 0.02, noiseA: 0.03, rangeA: 12 })),
      beyondRange: { motorCurrentA: { above: 12 } },
    };
    expect(measure(capture).measured.forwardInrushPeakA!.atLeast).toBe(true);
  });
});
