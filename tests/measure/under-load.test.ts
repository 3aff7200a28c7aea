// Source resistance, energy, held rotor, flat top, brake decay, ripple: each against its own closed form.

import { describe, expect, it } from 'vitest';
import type { Capture, Position } from '../../host/capture/index.js';
import { type Measured, measure } from '../../host/measure/index.js';
import { ripplesPerTurn } from '../../host/profile/index.js';
import { itTakesLong } from '../mutation/long.js';
import {
  type BenchShape,
  CATALOGUE_MOTOR,
  closedFormCapture,
  motorState,
  RIG,
  seeded,
  throughConverter,
} from './closed-form.js';

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
const LOOP_OHM = CATALOGUE_MOTOR.resistanceOhm + 0.09;

const within = (measured: Measured, name: string, want: number, part: number, absolute = 0): void => {
  const quantity = measured[name];
  expect(quantity, name).toBeDefined();
  expect(Math.abs(quantity!.value - want), `${name}: ${quantity!.value}, closed form ${want}`).toBeLessThan(
    part * Math.abs(want) + absolute,
  );
  expect(Math.abs(quantity!.value - want), `${name} outside its interval`).toBeLessThan(
    1.5 * quantity!.expandedUncertainty,
  );
};

/** Rest 0.3 s, forward for as long as `currentA` says, rest 0.3 s; leads and supply from the function. */
function oneThrow(
  holdS: number,
  at: (t: number) => { currentA: number; motorV: number; supplyV: number },
  restV = 13,
): Capture {
  const rate = 5000;
  const n = Math.round((0.6 + holdS) * rate);
  const timeS = Float64Array.from({ length: n }, (_, k) => k / rate);
  const position: Position[] = [];
  const [current, leadA, leadB, supply] = [0, 0, 0, 0].map(() => new Float64Array(n)) as [
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  timeS.forEach((time, k) => {
    const t = time - 0.3;
    const isOn = t >= -1e-9 && t < holdS - 1e-9;
    position.push(isOn ? 'forward' : 'rest');
    const { currentA, motorV, supplyV } = isOn ? at(t) : { currentA: 0, motorV: 0, supplyV: restV };
    current[k] = currentA;
    leadB[k] = 0.03 * currentA;
    leadA[k] = motorV + leadB[k]!;
    supply[k] = supplyV;
  });
  return {
    timeS,
    position,
    channels: {
      feedCurrentA: current.slice(),
      motorCurrentA: current,
      leadAVoltageV: leadA,
      leadBVoltageV: leadB,
      supplyVoltageV: supply,
    },
    gaps: [],
    sampleRateHz: rate,
    notes: [],
  };
}

describe('source resistance', () => {
  it.each([0.02, 0.08, 0.3])(
    'of %f Ohm is the fall of the supply with its current (noise seed 101)',
    (ohm) => {
      const capture = closedFormCapture(shape());
      const { feedCurrentA, supplyVoltageV } = capture.channels;
      capture.channels.supplyVoltageV = supplyVoltageV!.map((value, k) => value - ohm * feedCurrentA![k]!);
      const { measured } = measure(throughConverter(capture, 101), { rig: RIG });
      within(measured, 'forwardSourceResistanceOhm', ohm, 0.02, 0.001);
      within(measured, 'reverseSourceResistanceOhm', ohm, 0.02, 0.001);
    },
  );
});

describe('energy of a throw', () => {
  it('is the integral of voltage times current (noise seed 102)', () => {
    const { measured } = measure(throughConverter(closedFormCapture(shape()), 102), { rig: RIG });
    // The throw is commanded for 0.8 s; the contact closes 8.3 ms into it.
    const stepS = 1e-5;
    let motorJ = 0;
    let feedJ = 0;
    for (let t = stepS / 2; t < 0.8 - 0.0083; t += stepS) {
      const { i } = motorState(CATALOGUE_MOTOR, LOOP_OHM, 13, { i: 0, w: 0 }, t);
      motorJ += (13 - i * 0.09) * i * stepS;
      feedJ += 13 * i * stepS;
    }
    within(measured, 'forwardEnergyJ', motorJ, 0.01);
    within(measured, 'reverseEnergyJ', motorJ, 0.01);
    within(measured, 'forwardFeedEnergyJ', feedJ, 0.01);
  });
});

describe('held rotor', () => {
  // Copper: 0.393 % a kelvin at 20 degrees (IEC 60028); warming by 40 K a second.
  const heldA = (t: number): number => (13 / (0.9 * (1 + 0.00393 * 40 * t))) * (1 - Math.exp(-t / 0.001));
  const capture = () =>
    oneThrow(1.2, (t) => ({ currentA: heldA(t), motorV: 13 - 0.09 * heldA(t), supplyV: 13 }));

  it('gives its current and how far it falls as the copper warms (noise seed 103)', () => {
    const { measured } = measure(throughConverter(capture(), 103), { rig: RIG });
    within(measured, 'forwardHeldRotorCurrentA', heldA(0.015), 0.02);
    within(measured, 'forwardHeldRotorFallPercent', 100 * (1 - heldA(1.2) / heldA(0.015)), 0.05);
    expect(measured.forwardFlatTopA).toBeUndefined();
  });

  it('is not seen in a motor that turns', () => {
    const { measured } = measure(throughConverter(closedFormCapture(shape()), 104), { rig: RIG });
    expect(measured.forwardHeldRotorCurrentA).toBeUndefined();
    // Nor in one with thirty times the inertia, whose start takes most of a second.
    const heavy = { ...CATALOGUE_MOTOR, inertiaKgM2: 3.6e-4 };
    const slow = measure(throughConverter(closedFormCapture(shape({ motor: heavy, holdS: 3 })), 105), {
      rig: RIG,
    });
    expect(slow.measured.forwardHeldRotorCurrentA).toBeUndefined();
    expect(slow.measured.forwardFlatTopA).toBeUndefined();
  });
});

describe('flat top of a supply limited to 8 A', () => {
  const limitA = 8;
  const {
    resistanceOhm: R,
    backEmfVsPerRad: ke,
    torqueNmPerA: kt,
    inertiaKgM2: J,
    viscousNms: b,
  } = CATALOGUE_MOTOR;
  // Constant current: J dw/dt = kt I - b w, until R I + ke w needs the whole supply.
  const speed = (t: number): number => ((kt * limitA) / b) * (1 - Math.exp((-b * t) / J));
  const endW = (13 - limitA * LOOP_OHM) / ke;
  const endS = (-J / b) * Math.log(1 - (endW * b) / (kt * limitA));
  const at = (t: number) => {
    if (t < endS) {
      const motorV = R * limitA + ke * speed(t);
      return { currentA: limitA, motorV, supplyV: motorV + 0.09 * limitA };
    }
    const { i } = motorState(CATALOGUE_MOTOR, LOOP_OHM, 13, { i: limitA, w: endW }, t - endS);
    return { currentA: i, motorV: 13 - 0.09 * i, supplyV: 13 };
  };

  it('is told with its current and length (noise seed 106)', () => {
    const { measured } = measure(throughConverter(oneThrow(0.8, at), 106), { rig: RIG });
    within(measured, 'forwardFlatTopA', limitA, 0.01);
    within(measured, 'forwardFlatTopS', endS, 0.05, 0.001);
    expect(measured.forwardHeldRotorCurrentA).toBeUndefined();
  });

  it('is told from the current alone', () => {
    const capture = throughConverter(oneThrow(0.8, at), 107);
    const { measured } = measure({
      ...capture,
      positionKnown: false,
      channels: { motorCurrentA: capture.channels.motorCurrentA! },
    });
    within(measured, 'forwardFlatTopA', limitA, 0.01);
  });

  it('is not seen in a free start (seeds 108 to 117)', () => {
    for (let seed = 108; seed < 118; seed++) {
      const noisy = throughConverter(closedFormCapture(shape()), seed);
      expect(measure(noisy, { rig: RIG }).measured.forwardFlatTopA, `seed ${seed}`).toBeUndefined();
      const clamp = measure({ ...noisy, channels: { motorCurrentA: noisy.channels.motorCurrentA! } });
      expect(clamp.measured.forwardFlatTopA, `seed ${seed}, current alone`).toBeUndefined();
    }
  });
});

describe('brake decay', () => {
  it.each([1, 3])('is the slow pole of the shorted motor, inertia times %f (noise seed 118)', (times) => {
    const motor = { ...CATALOGUE_MOTOR, inertiaKgM2: times * CATALOGUE_MOTOR.inertiaKgM2 };
    const { measured } = measure(throughConverter(closedFormCapture(shape({ motor })), 118), { rig: RIG });
    const loop = motor.resistanceOhm + 0.06;
    const { inductanceH: L, inertiaKgM2: J, viscousNms: b, torqueNmPerA: kt, backEmfVsPerRad: ke } = motor;
    const sum = loop / L + b / J;
    const slow = (sum - Math.sqrt(sum * sum - (4 * (loop * b + kt * ke)) / (L * J))) / 2;
    within(measured, 'forwardBrakeDecayS', 1 / slow, 0.06);
    within(measured, 'reverseBrakeDecayS', 1 / slow, 0.06);
  });
});

/** Adds a tone to the running current; `depth` gives the part of the amplitude at each phase of the turn. */
function withRipple(
  capture: Capture,
  rippleHz: number,
  amplitudeA: number,
  perTurn = 1,
  depth = (_slot: number) => 1,
): Capture {
  const motorCurrentA = capture.channels.motorCurrentA!.map((value, k) => {
    if (Math.abs(value) < 0.5) return value;
    const phase = rippleHz * capture.timeS[k]! + 0.25;
    return (
      value +
      Math.sign(value) *
        amplitudeA *
        depth(((Math.floor(phase) % perTurn) + perTurn) % perTurn) *
        Math.sin(2 * Math.PI * (phase - 0.25))
    );
  });
  return { ...capture, channels: { ...capture.channels, motorCurrentA } };
}

describe('ripple', () => {
  itTakesLong(
    'gives a known tone in noise within 0.2 %, the interval holding it in at least 27 of 30 (seeds 201 to 230)',
    () => {
      const ideal = closedFormCapture(shape({ holdS: 0.9 }));
      let held = 0;
      for (let seed = 201; seed <= 230; seed++) {
        const { uniform } = seeded(seed);
        const hz = 150 + 2000 * uniform();
        const { measured } = measure(throughConverter(withRipple(ideal, hz, 0.15 + 0.2 * uniform()), seed), {
          rig: RIG,
          ripplesPerTurn: 10,
        });
        const { forwardRippleHz: seen, forwardSpeedRpm: speed } = measured;
        expect(Math.abs(seen!.value - hz) / hz, `seed ${seed}: ${hz} Hz`).toBeLessThan(0.002);
        expect(speed!.value / (6 * seen!.value)).toBeCloseTo(1, 9);
        if (Math.abs(seen!.value - hz) <= seen!.expandedUncertainty) held++;
      }
      expect(held).toBeGreaterThanOrEqual(27);
    },
  );

  it('is found above what the working grid holds, when the capture is quicker (3333 Hz at 50 kHz)', () => {
    const fast = withRipple(closedFormCapture(shape({ sampleRateHz: 50_000 })), 3333, 0.2);
    const { measured } = measure(throughConverter(fast, 231), { rig: RIG });
    expect(measured.forwardRippleHz!.value / 3333).toBeCloseTo(1, 2);
  });

  // Least common multiple of two brushes and the segments.
  it.each([
    [3, 6],
    [5, 10],
    [7, 14],
    [8, 8],
    [10, 10],
    [12, 12],
  ])('of %i segments comes %i times a turn', (segments, ripples) => {
    expect(ripplesPerTurn(segments)).toBe(ripples);
  });

  it.each([
    ['all alike', () => 1, 0, 0],
    ['one missing', (slot: number) => (slot === 4 ? 0.1 : 1), 1, 0],
    ['two missing', (slot: number) => (slot === 4 || slot === 7 ? 0.1 : 1), 2, 0],
    ['one deep', (slot: number) => (slot === 2 ? 3 : 1), 0, 1],
  ])('tells uneven ripples of a turn: %s (noise seed 232)', (_words, depth, missing, deep) => {
    const ideal = closedFormCapture(shape({ holdS: 0.9 }));
    const capture = withRipple(ideal, 437.3, 0.3, 10, depth);
    const { measured } = measure(throughConverter(capture, 232), { rig: RIG, ripplesPerTurn: 10 });
    expect(measured.forwardRipplesMissingPerTurn?.value).toBe(missing);
    expect(measured.forwardRipplesDeepPerTurn?.value).toBe(deep);
    const uneven = measured.forwardRippleUnevenPercent!.value;
    if (missing + deep === 0) expect(uneven).toBeLessThan(25);
    else expect(uneven).toBeGreaterThan(75);
  });

  it('tells a tone at the rate of the shaft (43.73 Hz, 0.12 A, noise seed 233)', () => {
    const ideal = withRipple(closedFormCapture(shape({ holdS: 0.9 })), 437.3, 0.3);
    const plain = measure(throughConverter(ideal, 233), { rig: RIG, ripplesPerTurn: 10 }).measured;
    const toned = throughConverter(withRipple(ideal, 43.73, 0.12), 233);
    const { forwardShaftRateAmplitudeA: seen } = measure(toned, { rig: RIG, ripplesPerTurn: 10 }).measured;
    expect(Math.abs(seen!.value - 0.12)).toBeLessThan(0.02);
    expect(plain.forwardShaftRateAmplitudeA!.value).toBeLessThan(0.01);
  });
});

describe('an ugly start', () => {
  it.each([301, 302, 303, 304])(
    'with a spike, a bounce gap and a burst of noise before it still gives the motor its own peak (seed %i)',
    (seed) => {
      const { normal } = seeded(seed);
      const s = shape({
        spikeA: 35,
        bounce: [
          [0.0012, 0.0032],
          [0.0041, 0.0046],
        ],
      });
      const capture = closedFormCapture(s);
      let peakA = 0;
      for (let t = 0; t < 0.05; t += 1e-5)
        peakA = Math.max(peakA, motorState(CATALOGUE_MOTOR, LOOP_OHM, 13, { i: 0, w: 0 }, t).i);
      // A quarter of a second of sparking before the throw: single samples, 2 A deviation.
      const current = capture.channels.motorCurrentA!;
      for (let k = 1200; k < 2500; k += 7) current[k] = current[k]! + 2 * normal();
      const noisy = throughConverter(capture, seed);
      for (const given of [
        noisy,
        { ...noisy, positionKnown: false },
        { ...noisy, positionKnown: false, channels: { motorCurrentA: noisy.channels.motorCurrentA! } },
      ]) {
        const { measured } = measure(given, { rig: RIG });
        expect(Math.abs(measured.forwardInrushPeakA!.value - peakA) / peakA).toBeLessThan(0.03);
        expect(measured.forwardSpikeA!.value).toBeGreaterThan(20);
      }
    },
  );
});
