// The motor's element against its outside sources: friction, stops, knee of the brushes, ripple.

import { describe, expect, it } from 'vitest';
import {
  type CircuitElement,
  type MotorElement,
  type ScheduleEntry,
  simulate,
} from '../../host/circuit/index.js';
import { supply } from './supply.js';

const MOTOR: MotorElement = {
  kind: 'motor',
  id: 'm',
  a: 'p',
  b: 'ground',
  resistanceOhm: 0.6,
  inductanceH: 2e-4,
  backEmfVsPerRad: 0.03,
  torqueNmPerA: 0.028,
  inertiaKgM2: 5e-5,
  viscousNms: 1e-5,
  coulombNm: 0.04,
  brushDropV: 0,
  brushKneeA: 0.3,
  temperatureC: 25,
};
const MOTOR_PROBES = {
  i: { kind: 'current', element: 'm' },
  w: { kind: 'speed', element: 'm' },
  angle: { kind: 'angle', element: 'm' },
} as const;
function runMotor(
  motor: MotorElement,
  voltageV: number,
  untilS: number,
  schedule: ScheduleEntry[] = [],
  extra: CircuitElement[] = [],
) {
  const netlist = { elements: [supply(voltageV), motor, ...extra] };
  return simulate({ netlist, schedule, untilS, sampleRateHz: 10_000, probes: MOTOR_PROBES });
}

describe('motor', () => {
  it('sticks until the torque exceeds Coulomb friction, and then runs', () => {
    const stuck = runMotor(MOTOR, 0.8, 0.1);
    expect(stuck.values.w!.every((w) => w === 0)).toBe(true);
    // 0.8 V / 0.6 Ohm x 0.028 = 0.037 Nm holds, 0.9 V gives 0.042 Nm and slips.
    expect(runMotor(MOTOR, 0.9, 0.5).values.w!.at(-1)).toBeGreaterThan(0.5);
  });

  it('goes the way it is driven when it was let go with a trace of speed left the other way', () => {
    // Inertia and drive by which the solver was seen to stop: the speed left lies just beyond its guard.
    const driveNm = 1.05 * MOTOR.coulombNm;
    const heavy = { ...MOTOR, inductanceH: 0, inertiaKgM2: 1, viscousNms: 0, startSpeedRadS: 1.1e-6 };
    const voltageV = (-driveNm / MOTOR.torqueNmPerA) * (MOTOR.resistanceOhm + 1e-3);
    const letGo = ['held', 'free'].map((state) => ({ atS: 1e-9, settings: [{ element: 'm', state }] }));
    const { w } = runMotor(heavy, voltageV, 0.5, letGo).values;
    // Newton's second law: the drive less friction over the inertia.
    expect(w!.at(-1)).toBeCloseTo(-(driveNm - MOTOR.coulombNm) * 0.5, 5);
  });

  it('coasts down linearly under Coulomb friction alone and stops at J w0 / T', () => {
    const element = { ...MOTOR, b: 'q', viscousNms: 0 };
    const extra: CircuitElement[] = [
      {
        kind: 'contact',
        id: 's',
        a: 'q',
        b: 'ground',
        closed: true,
        contactResistanceOhm: 0.001,
        closeDelayS: 0,
        openDelayS: 0,
      },
      { kind: 'resistor', id: 'load', a: 'q', b: 'p', resistanceOhm: 1e6 },
    ];
    const run = runMotor(element, 12, 1.5, [{ atS: 0.8, settings: [{ element: 's', state: false }] }], extra);
    const w0 = run.values.w![8000]!;
    const stop = run.events.find(
      ({ element: id, what, timeS }) => id === 'm' && what === 'stuck' && timeS > 0.8,
    )!;
    expect(Math.abs((stop.timeS - 0.8) / ((5e-5 * w0) / 0.04) - 1)).toBeLessThan(2e-3);
    expect(run.values.w![8000 + 2000]! / (w0 - (0.04 / 5e-5) * 0.2)).toBeCloseTo(1, 2);
  });

  it('draws stall current with its rotor held, and starts when let go', () => {
    const run = runMotor({ ...MOTOR, rotorHeld: true }, 12, 0.6, [
      { atS: 0.1, settings: [{ element: 'm', state: false }] },
    ]);
    expect(run.values.i![999]).toBeCloseTo(12 / 0.601, 2);
    expect(run.values.w![999]).toBe(0);
    expect(run.values.w!.at(-1)).toBeGreaterThan(300);
  });

  it('stops dead at an end stop, stays under drive, and leaves it when driven back', () => {
    const element: MotorElement = { ...MOTOR, a: 'x', b: 'y', endStopsRad: { minimum: -10, maximum: 20 } };
    const pole = (id: string, forward: string, reverse: string) => ({
      id,
      common: id,
      throws: { forward, reverse },
      contactResistanceOhm: 0.001,
    });
    const elements: CircuitElement[] = [
      supply(12),
      {
        kind: 'switch',
        id: 'sw',
        position: 'forward',
        transferS: 0.001,
        delayS: 0,
        poles: [pole('x', 'p', 'ground'), pole('y', 'ground', 'p')],
      },
      element,
      { kind: 'resistor', id: 'lx', a: 'x', b: 'ground', resistanceOhm: 1000 },
      { kind: 'resistor', id: 'ly', a: 'y', b: 'ground', resistanceOhm: 1000 },
    ];
    const run = simulate({
      netlist: { elements },
      schedule: [{ atS: 0.5, settings: [{ element: 'sw', state: 'reverse' }] }],
      untilS: 1,
      sampleRateHz: 10_000,
      probes: MOTOR_PROBES,
    });
    expect(run.values.angle![4900]).toBeCloseTo(20, 6);
    expect(run.values.i![4900]).toBeCloseTo(12 / 0.603, 1);
    expect(run.values.angle!.at(-1)).toBeCloseTo(-10, 6);
    expect(Math.max(...run.values.angle!)).toBeLessThan(20.00001);
    const { suppliedJ, dissipatedJ, storedJ } = run.energy;
    expect(Math.abs(suppliedJ - dissipatedJ - storedJ) / suppliedJ).toBeLessThan(1e-3);
  });

  it('ripples in current at segments times shaft speed', () => {
    const run = runMotor({ ...MOTOR, ripple: { segments: 10, amplitude: 0.05 } }, 12, 0.6);
    const tail = run.values.i!.subarray(5000);
    const mean = tail.reduce((sum, i) => sum + i, 0) / tail.length;
    let crossings = 0;
    for (let k = 1; k < tail.length; k++) if (tail[k - 1]! < mean && tail[k]! >= mean) crossings++;
    const shaftHz = run.values.w!.at(-1)! / (2 * Math.PI);
    expect(Math.abs(crossings / 0.1 / (10 * shaftHz) - 1)).toBeLessThan(0.03);
  });

  it.for([
    [8, 0.02],
    [10, 0.05],
    [12, 0.04],
  ] as const)(
    'ripples as stated: %i periods a turn, back-EMF by a fraction of %f',
    ([segments, amplitude]) => {
      // Running free at w0 (inertia keeps the speed within a ripple period), V = R i + L di/dt + ke w (1 + A cos(n angle))
      // is a phasor equation: |i| = A ke w / sqrt(R^2 + (n w L)^2), against the back-EMF and late by atan(n w L / R).
      const wave = { ...MOTOR, coulombNm: 0, viscousNms: 0, ripple: { segments, amplitude } };
      const w0 = 300;
      const run = runMotor(wave, 0.03 * w0, 3);
      const from = 25_000;
      const turns = (run.values.angle!.at(-1)! - run.values.angle![from]!) / (2 * Math.PI);
      const w = (turns * 2 * Math.PI) / ((run.values.i!.length - 1 - from) / 10_000);
      let [cosine, sine, mean] = [0, 0, 0];
      for (let k = from; k < run.values.i!.length; k++) {
        const phase = segments * run.values.angle![k]!;
        cosine += run.values.i![k]! * Math.cos(phase);
        sine += run.values.i![k]! * Math.sin(phase);
        mean += run.values.i![k]!;
      }
      const count = run.values.i!.length - from;
      const peakA = (2 * Math.hypot(cosine, sine)) / count;
      const reactanceOhm = segments * w * 2e-4 - (0.03 * 0.028) / (segments * w * 5e-5);
      const ohm = Math.hypot(0.601, reactanceOhm);
      expect(w / w0).toBeCloseTo(1, 2);
      expect(Math.abs(mean / count)).toBeLessThan(0.05 * peakA);
      expect(Math.abs(peakA / ((amplitude * 0.03 * w) / ohm) - 1)).toBeLessThan(0.01);
      const lagRad = Math.atan2(-sine, -cosine);
      expect(Math.abs(lagRad)).toBeCloseTo(Math.atan(reactanceOhm / 0.601), 2);
      // Nothing at the neighbouring orders: the frequency is `segments` a turn.
      for (const other of [segments - 1, segments + 1]) {
        let [c, s] = [0, 0];
        for (let k = from; k < run.values.i!.length; k++) {
          c += run.values.i![k]! * Math.cos(other * run.values.angle![k]!);
          s += run.values.i![k]! * Math.sin(other * run.values.angle![k]!);
        }
        expect((2 * Math.hypot(c, s)) / count).toBeLessThan(0.03 * peakA);
      }
    },
  );

  it('shows a faulty stretch of commutator once a turn', () => {
    const run = runMotor(
      { ...MOTOR, segmentFault: { kind: 'open', resistanceFactor: 3, widthTurns: 0.1 } },
      12,
      0.6,
    );
    const tail = run.values.i!.subarray(5000);
    const mean = tail.reduce((sum, i) => sum + i, 0) / tail.length;
    let dips = 0;
    for (let k = 1; k < tail.length; k++) if (tail[k - 1]! >= 0.97 * mean && tail[k]! < 0.97 * mean) dips++;
    const turns = (run.values.angle!.at(-1)! - run.values.angle![5000]!) / (2 * Math.PI);
    expect(Math.abs(dips - turns)).toBeLessThan(1.01);
  });

  it('hot, loses stall current and gains free speed: 25 to 80 C gives R +21 %, flux -11 %', () => {
    const hot = { ...MOTOR, temperatureC: 80 };
    const stall = (element: MotorElement) =>
      runMotor({ ...element, rotorHeld: true }, 12, 0.1).values.i!.at(-1)!;
    // (1 + 0.00393 x 60) / (1 + 0.00393 x 5), IEC 60028.
    expect(stall(MOTOR) / stall(hot)).toBeCloseTo(1.2358 / 1.01965, 2);
    const free = (element: MotorElement) =>
      runMotor({ ...element, coulombNm: 0, viscousNms: 0 }, 12, 1.5).values.w!.at(-1)!;
    expect(free(hot) / free(MOTOR)).toBeCloseTo(1 / 0.89, 2);
  });

  it('drops its brush voltage above the knee only', () => {
    const held = { ...MOTOR, rotorHeld: true, brushDropV: 1 };
    expect(runMotor(held, 12, 0.1).values.i!.at(-1)).toBeCloseTo(11 / 0.601, 2);
    // Below the knee the drop is 1 V / 0.3 A more resistance.
    expect(runMotor(held, 0.5, 0.1).values.i!.at(-1)).toBeCloseTo(0.5 / (0.601 + 1 / 0.3), 4);
  });
});
