import { describe, expect, it } from 'vitest';
import type { Capture } from '../../host/capture/index.js';
import { measure } from '../../host/measure/index.js';
import { itTakesLong } from '../mutation/long.js';
import {
  type BenchShape,
  CATALOGUE_MOTOR,
  closedFormCapture,
  type LinearMotor,
  motorState,
  RIG,
  seeded,
  throughConverter,
} from './closed-form.js';

// Control Tutorials for MATLAB and Simulink, DC Motor Position: measured on a real motor; electrically instant.
const TUTORIAL: LinearMotor = {
  resistanceOhm: 4,
  inductanceH: 2.75e-6,
  backEmfVsPerRad: 0.0274,
  torqueNmPerA: 0.0274,
  inertiaKgM2: 3.2284e-6,
  viscousNms: 3.5077e-6,
};

const shape = (over: Partial<BenchShape> = {}): BenchShape => ({
  motor: CATALOGUE_MOTOR,
  supplyV: 13,
  feedOhm: 0.06,
  groundOhm: 0.03,
  release: 'brake-ground',
  sampleRateHz: 5000,
  delayS: 0.0083,
  ...over,
});

/** What the closed forms say of a shape. */
function truth(s: BenchShape) {
  const loop = s.motor.resistanceOhm + s.feedOhm + s.groundOhm;
  let peakA = 0;
  let peakS = 0;
  for (let t = 0; t < 0.05; t += 1e-5) {
    const { i } = motorState(s.motor, loop, s.supplyV, { i: 0, w: 0 }, t);
    if (i > peakA) [peakA, peakS] = [i, t];
  }
  const steady = motorState(s.motor, loop, s.supplyV, { i: 0, w: 0 }, 5);
  const brakeOhm = s.motor.resistanceOhm + 2 * s.groundOhm;
  let brakeA = 0;
  for (let t = 0; t < 0.05; t += 1e-5) {
    brakeA = Math.max(brakeA, -motorState(s.motor, brakeOhm, 0, { i: 0, w: steady.w }, t).i);
  }
  return { peakA, peakS, runA: steady.i, emfV: s.motor.backEmfVsPerRad * steady.w, brakeA };
}

const within = (seen: number | undefined, want: number, relative: number, absolute = 0): void => {
  expect(seen).toBeDefined();
  expect(Math.abs(seen! - want), `seen ${seen}, closed form ${want}`).toBeLessThan(
    relative * Math.abs(want) + absolute,
  );
};

describe('the highest running current', () => {
  // A tight spot of the gear: a quarter more current for 40 ms, of a run that is otherwise steady (closed form).
  const tight = (part: number): Capture => {
    const capture = closedFormCapture(shape());
    const { forwardRunningCurrentA } = measure(capture, { rig: RIG }).measured;
    const fromS = forwardRunningCurrentA!.fromS! + 0.05;
    const motorCurrentA = capture.channels.motorCurrentA!.map((value, k) =>
      capture.timeS[k]! >= fromS && capture.timeS[k]! < fromS + 0.04 ? value * part : value,
    );
    return { ...capture, channels: { ...capture.channels, motorCurrentA } };
  };

  it.each([1, 1.25])('is %d of the running current where the motor goes so much tighter', (part) => {
    const { measured } = measure(throughConverter(tight(part), 8), { rig: RIG });
    const peak = measured.forwardRunningPeakA!;
    const want = part * truth(shape()).runA;
    expect(Math.abs(peak.value - want), `${peak.value}, closed form ${want}`).toBeLessThan(
      peak.expandedUncertainty,
    );
    expect(peak.expandedUncertainty).toBeLessThan(0.1 * want);
  });
});

describe('measuring an ideal closed-form run', () => {
  it.each([5000, 10000, 20000, 100000])(
    'reads inrush, running current and drops at %i samples a second',
    (sampleRateHz) => {
      const s = shape({ sampleRateHz });
      const want = truth(s);
      const { measured, segments } = measure(closedFormCapture(s));
      for (const name of ['forward', 'reverse'] as const) {
        within(measured[`${name}InrushPeakA`]?.value, want.peakA, 0.01);
        within(measured[`${name}InrushTimeS`]?.value, want.peakS, 0, 0.0006);
        within(measured[`${name}RunningCurrentA`]?.value, want.runA, 0.005);
        within(measured[`${name}FeedResistanceOhm`]?.value, 0.06, 0.01);
        within(measured[`${name}GroundResistanceOhm`]?.value, 0.03, 0.01);
        within(measured[`${name}ContactDelayS`]?.value, 0.0083, 0, 0.0003);
        within(measured[`${name}BrakePeakA`]?.value, want.brakeA, 0.06);
      }
      expect(measured.forwardMotorVoltageV!.value).toBeGreaterThan(12);
      expect(measured.reverseMotorVoltageV!.value).toBeLessThan(-12);
      expect(segments.map(({ of }) => of.id)).toEqual(['rest', 'forward', 'rest2', 'reverse', 'rest3']);
      expect(segments[1]!.release).toBe('brake-ground');
      expect(segments[3]!.release).toBe('brake-ground');
      within(measured.runningAsymmetryPercent?.value, 0, 0, 0.2);
    },
  );

  it('reads an electrically instant motor right at the contact (12 V: 3 A stall, 0.0550378 A free, by the tutorial)', () => {
    const s = shape({ motor: TUTORIAL, supplyV: 12, feedOhm: 0, groundOhm: 0 });
    const { measured } = measure(closedFormCapture(s));
    within(measured.forwardRunningCurrentA?.value, 0.0550378, 0.01);
    within(measured.forwardInrushPeakA?.value, truth(s).peakA, 0.015);
  });

  it.each(['coast', 'brake-ground', 'brake-high'] as const)(
    'tells a release to %s, either way',
    (release) => {
      const s = shape({ release });
      const { segments, measured } = measure(closedFormCapture(s));
      expect(segments.filter(({ of }) => of.position !== 'rest').map((segment) => segment.release)).toEqual([
        release,
        release,
      ]);
      if (release === 'coast') {
        within(measured.forwardReleaseBackEmfV?.value, truth(s).emfV, 0.02);
        within(measured.reverseReleaseBackEmfV?.value, truth(s).emfV, 0.02);
        expect(measured.forwardBrakePeakA).toBeUndefined();
      }
    },
  );

  it('gives exchanged leads the opposite sign of voltage and current, the same running current', () => {
    const { measured } = measure(closedFormCapture(shape({ exchanged: true })));
    expect(measured.forwardMotorVoltageV!.value).toBeLessThan(-12);
    expect(measured.forwardMotorCurrentA!.value).toBeLessThan(-1);
    within(measured.forwardRunningCurrentA?.value, truth(shape()).runA, 0.01);
  });

  it("tells a capacitor spike and contact bounce from the motor's own peak", () => {
    const s = shape({
      spikeA: 40,
      bounce: [
        [0.0012, 0.0019],
        [0.0031, 0.0036],
      ],
    });
    const { measured, segments } = measure(closedFormCapture(s));
    within(measured.forwardInrushPeakA?.value, truth(s).peakA, 0.015);
    expect(measured.forwardSpikeA!.value).toBeGreaterThan(25);
    within(measured.forwardBounceS?.value, 0.0036, 0, 0.0005);
    expect(segments[1]!.bounceEndS).toBeDefined();
  });
});

describe('measuring through a 10-bit converter with noise', () => {
  itTakesLong(
    'keeps the truth inside the stated 95 % intervals in at least 90 % of 60 runs (seeds 1 to 60)',
    () => {
      const s = shape({ supplyV: 12.7 });
      const want = truth(s);
      const ideal = closedFormCapture(s);
      const held: Record<string, number> = {
        InrushPeakA: 0,
        RunningCurrentA: 0,
        FeedDropV: 0,
        GroundDropV: 0,
      };
      for (let seed = 1; seed <= 60; seed++) {
        const { normal } = seeded(1000 + seed);
        // A gain and an offset error of the rig in each channel, as its profile says they scatter.
        const channels: Capture['channels'] = {};
        for (const [name, values] of Object.entries(ideal.channels)) {
          const { gainUncertaintyPercent, offsetUncertainty } = RIG.scales[name as keyof typeof RIG.scales];
          const gain = 1 + (gainUncertaintyPercent / 100) * normal();
          const offset = offsetUncertainty * normal();
          channels[name as keyof typeof RIG.scales] = values.map((value) => gain * value + offset);
        }
        const { measured } = measure(throughConverter({ ...ideal, channels }, seed), { rig: RIG });
        const truths = {
          InrushPeakA: want.peakA,
          RunningCurrentA: want.runA,
          FeedDropV: want.runA * 0.06,
          GroundDropV: want.runA * 0.03,
        };
        for (const [key, value] of Object.entries(truths)) {
          const quantity = measured[`forward${key}`]!;
          if (Math.abs(quantity.value - value) <= quantity.expandedUncertainty) held[key]!++;
        }
      }
      for (const [key, count] of Object.entries(held)) expect(count, key).toBeGreaterThanOrEqual(54);
    },
  );

  it.each([11, 12, 13])(
    'seed %i: reads inrush within 3 per cent, running within 2 per cent or 2 counts, classes right',
    (seed) => {
      for (const release of ['coast', 'brake-ground'] as const) {
        const s = shape({ release, spikeA: 20, bounce: [[0.0012, 0.0019]] });
        const want = truth(s);
        const { measured, segments } = measure(throughConverter(closedFormCapture(s), seed), { rig: RIG });
        within(measured.forwardInrushPeakA?.value, want.peakA, 0.03);
        within(measured.reverseRunningCurrentA?.value, want.runA, 0.02, 0.16);
        expect(segments[1]!.release).toBe(release);
        expect(segments[3]!.release).toBe(release);
        expect(measured.forwardDropoutsMotorSide!.value).toBe(0);
        expect(measured.forwardDropoutsHarnessSide!.value).toBe(0);
      }
    },
  );

  it('counts dropouts and tells their side by the leads', () => {
    const capture = throughConverter(closedFormCapture(shape()), 21);
    const { motorCurrentA } = capture.channels;
    // Three brush losses forward (leads stay), two losses in reverse with the lead gone.
    for (const atS of [0.95, 1.02, 1.2]) motorCurrentA!.fill(0, atS * 5000, atS * 5000 + 12);
    for (const atS of [2.2, 2.45]) {
      motorCurrentA!.fill(0, atS * 5000, atS * 5000 + 15);
      capture.channels.leadBVoltageV!.fill(0, atS * 5000, atS * 5000 + 15);
    }
    const { measured } = measure(capture, { rig: RIG });
    expect(measured.forwardDropoutsMotorSide!.value).toBe(3);
    expect(measured.forwardDropoutsHarnessSide!.value).toBe(0);
    expect(measured.reverseDropoutsMotorSide!.value).toBe(0);
    expect(measured.reverseDropoutsHarnessSide!.value).toBe(2);
    within(measured.forwardRunningCurrentA?.value, truth(shape()).runA, 0.03, 0.05);
  });

  it('reads a tone of known frequency in the running current (312.5 Hz, 0.4 A, in noise; seed 31)', () => {
    const ideal = closedFormCapture(shape());
    ideal.channels.motorCurrentA = ideal.channels.motorCurrentA!.map(
      (value, k) =>
        value +
        (Math.abs(value) > 0.5 ? 0.4 * Math.sign(value) * Math.sin(2 * Math.PI * 312.5 * (k / 5000)) : 0),
    );
    const { measured } = measure(throughConverter(ideal, 31), { rig: RIG });
    within(measured.forwardRippleHz?.value, 312.5, 0.003);
    within(measured.forwardRippleAmplitudeA?.value, 0.4, 0.08);
  });

  it('reports no ripple where there is none (seeds 41 to 60)', () => {
    for (let seed = 41; seed <= 60; seed++) {
      const { measured } = measure(throughConverter(closedFormCapture(shape()), seed), { rig: RIG });
      expect(measured.forwardRippleHz, `seed ${seed}`).toBeUndefined();
    }
  });

  it('takes what a capture was computed or rounded by for no ripple: four decimals, no noise', () => {
    const capture = closedFormCapture(shape());
    const motorCurrentA = capture.channels.motorCurrentA!.map((value) => Number(value.toFixed(4)));
    for (const of of [capture, { ...capture, channels: { ...capture.channels, motorCurrentA } }])
      expect(measure(of, { ripplesPerTurn: 8 }).measured.forwardRippleHz).toBeUndefined();
  });
});

describe('what cannot be measured', () => {
  it('is absent when the inrush was lost, and said in a note', () => {
    const capture = throughConverter(closedFormCapture(shape()), 51);
    for (const values of Object.values(capture.channels)) values.fill(Number.NaN, 0.505 * 5000, 0.52 * 5000);
    const { measured, notes } = measure(capture, { rig: RIG });
    expect(measured.forwardInrushPeakA).toBeUndefined();
    expect(measured.forwardRunningCurrentA).toBeDefined();
    expect(measured.reverseInrushPeakA).toBeDefined();
    expect(notes.join(' ')).toMatch(/Forward: 2 % of the motor current was lost/);
  });

  it('is absent for channels that were not sampled, present for the rest', () => {
    const capture = closedFormCapture(shape());
    const { leadAVoltageV: _a, leadBVoltageV: _b, ...channels } = capture.channels;
    const { measured, notes } = measure({ ...capture, channels }, { nominalVoltageV: 13 });
    expect(measured.forwardRunningCurrentA).toBeDefined();
    expect(measured.forwardMotorVoltageV).toBeUndefined();
    expect(measured.forwardFeedDropV).toBeUndefined();
    expect(notes).toContain('Lead A was not sampled.');
  });

  it('has no running level in a throw cut off after 60 ms, but has its leads', () => {
    const { measured, segments } = measure(closedFormCapture(shape({ holdS: 0.06 })));
    expect(segments[1]!.brief).toBe(true);
    expect(measured.forwardRunningCurrentA).toBeUndefined();
    expect(measured.forwardLeadAVoltageV!.value).toBeGreaterThan(12);
  });

  it('never yields a number that is not finite', () => {
    for (const s of [shape(), shape({ holdS: 0.02 }), shape({ sampleRateHz: 1000 })]) {
      for (const [name, quantity] of Object.entries(
        measure(throughConverter(closedFormCapture(s), 61), { rig: RIG }).measured,
      )) {
        expect(Number.isFinite(quantity.value) && Number.isFinite(quantity.expandedUncertainty), name).toBe(
          true,
        );
      }
    }
  });
});
