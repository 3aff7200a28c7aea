// The motor against published examples and catalogue figures; each source stands beside its numbers.

import { describe, expect, it } from 'vitest';
import { type MotorElement, simulate } from '../../host/circuit/index.js';

function motor(values: Partial<MotorElement>): MotorElement {
  return {
    kind: 'motor',
    id: 'm',
    a: 'p',
    b: 'ground',
    resistanceOhm: 1,
    inductanceH: 0,
    backEmfVsPerRad: 0.01,
    torqueNmPerA: 0.01,
    inertiaKgM2: 1e-5,
    viscousNms: 0,
    coulombNm: 0,
    brushDropV: 0,
    brushKneeA: 0.1,
    temperatureC: 25,
    ...values,
  };
}
function step(element: MotorElement, voltageV: number, untilS: number, samples = 400) {
  return simulate({
    netlist: {
      elements: [
        { kind: 'supply', id: 'v', plus: 'p', minus: 'ground', voltageV, sourceResistanceOhm: 0 },
        element,
      ],
    },
    schedule: [],
    untilS,
    sampleRateHz: samples / untilS,
    probes: {
      w: { kind: 'speed', element: 'm' },
      i: { kind: 'current', element: 'm' },
      angle: { kind: 'angle', element: 'm' },
    },
  });
}
/** Speed after a voltage step from the two real poles of K/((Js+b)(Ls+R)+K^2). */
function twoPoleSpeed(j: number, b: number, k: number, r: number, l: number, voltageV: number) {
  const half = (j * r + l * b) / (2 * j * l);
  const product = (b * r + k * k) / (j * l);
  const fast = -half - Math.sqrt(half * half - product);
  const slow = product / fast;
  const steady = (voltageV * k) / (b * r + k * k);
  return (t: number) =>
    steady * (1 + (fast * Math.exp(slow * t) - slow * Math.exp(fast * t)) / (slow - fast));
}

describe('motor step responses with published parameters', () => {
  // Control Tutorials for MATLAB and Simulink (Univ. of Michigan, CMU, Detroit Mercy), DC Motor Speed: J 0.01, b 0.1,
  // K 0.01, R 1, L 0.5; poles printed as -2 and -10, settling time printed 2.07 s, steady speed printed 0.1 rad/s.
  const speed = motor({
    inertiaKgM2: 0.01,
    viscousNms: 0.1,
    backEmfVsPerRad: 0.01,
    torqueNmPerA: 0.01,
    resistanceOhm: 1,
    inductanceH: 0.5,
  });

  it('DC Motor Speed: speed at 0.5, 1 and 2 s', () => {
    const run = step(speed, 1, 3, 600);
    const at = (t: number) => run.values.w![Math.round(t * 200)]!;
    // Closed form from the poles -2.00250078 and -9.99749922.
    [
      [0.5, 0.0541701],
      [1, 0.0830371112],
      [2, 0.0976234889],
    ].forEach(([t, value]) => {
      expect(Math.abs(at(t!) - value!)).toBeLessThan(5e-4 * 0.1);
    });
  });

  it('DC Motor Speed: settles to 2 % at 2.0652 s and ends at 0.0999 rad/s per volt', () => {
    const run = step(speed, 1, 6, 60_000);
    const steady = run.values.w!.at(-1)!;
    expect(steady).toBeCloseTo(0.0999000999, 5);
    const settledAt = run.timeS[run.values.w!.findIndex((w) => w > 0.98 * 0.0999000999)]!;
    expect(Math.abs(settledAt - 2.0652)).toBeLessThan(0.005);
  });

  it('DC Motor Position, measured on a real motor and stiff (poles -59.2 and -1.45e6): the whole curve', () => {
    // Same tutorials, DC Motor Position: J 3.2284e-6, b 3.5077e-6, K 0.0274, R 4, L 2.75e-6.
    const [j, b, k, r, l] = [3.2284e-6, 3.5077e-6, 0.0274, 4, 2.75e-6];
    const position = motor({
      inertiaKgM2: j,
      viscousNms: b,
      backEmfVsPerRad: k,
      torqueNmPerA: k,
      resistanceOhm: r,
      inductanceH: l,
    });
    const truth = twoPoleSpeed(j, b, k, r, l, 12);
    expect(truth(10)).toBeCloseTo(429.92149, 4);
    const run = step(position, 12, 0.1);
    run.timeS.forEach((t, n) => {
      expect(Math.abs(run.values.w![n]! - truth(t))).toBeLessThan(5e-4 * 430);
    });
    const late = step(position, 12, 0.5);
    expect(late.values.i!.at(-1)!).toBeCloseTo(0.0550378, 5);
    expect(run.steps).toBeLessThan(300);
  });

  it('university exercise: K 0.028, I 1.2e-4, C 4.1e-5, Ra 11.2, 30 V, no inductance', () => {
    // Data as printed; w0 675.67568 rad/s, time constant 1.0810811 s from w0 and the linear model.
    const run = step(
      motor({
        resistanceOhm: 11.2,
        backEmfVsPerRad: 0.028,
        torqueNmPerA: 0.028,
        inertiaKgM2: 1.2e-4,
        viscousNms: 4.1e-5,
      }),
      30,
      8,
    );
    const steady = (30 * 0.028) / (4.1e-5 * 11.2 + 0.028 ** 2);
    const tau = (1.2e-4 * 11.2) / (4.1e-5 * 11.2 + 0.028 ** 2);
    expect(steady).toBeCloseTo(675.67568, 4);
    expect(tau).toBeCloseTo(1.0810811, 6);
    run.timeS.forEach((t, n) => {
      expect(Math.abs(run.values.w![n]! - steady * (1 - Math.exp(-t / tau)))).toBeLessThan(5e-4 * steady);
    });
    expect(run.values.i![0]).toBeCloseTo(30 / 11.2, 3);
  });
});

describe('catalogue motors, where the torque constant is not the back-EMF constant', () => {
  // Catalogue figures as held in wpilibsuite/allwpilib, DCMotor.java: 12 V, stall torque, stall current, free current,
  // free speed. R = V/Is, kt = Ts/Is, ke = (V - R I0)/w0, friction = kt I0.
  const MOTORS: [string, number, number, number, number][] = [
    ['CIM', 2.42, 133, 2.7, 5310],
    ['Mini CIM', 1.41, 89, 3, 5840],
    ['BAG', 0.43, 53, 1.8, 13180],
    ['RS775-125', 0.28, 18, 1.6, 5800],
  ];
  it.for(MOTORS)(
    '%s runs free at its catalogue speed and current, and stalls at its catalogue current',
    ([, stallNm, stallA, freeA, rpm]) => {
      const resistanceOhm = 12 / stallA;
      const kt = stallNm / stallA;
      const w0 = (rpm * 2 * Math.PI) / 60;
      const ke = (12 - resistanceOhm * freeA) / w0;
      const element = motor({
        resistanceOhm,
        torqueNmPerA: kt,
        backEmfVsPerRad: ke,
        coulombNm: kt * freeA,
        inductanceH: 1e-4,
      });
      const free = step(element, 12, 3);
      expect(free.values.w!.at(-1)! / w0).toBeCloseTo(1, 4);
      expect(free.values.i!.at(-1)! / freeA).toBeCloseTo(1, 3);
      const stalled = step({ ...element, rotorHeld: true }, 12, 0.1);
      expect(stalled.values.i!.at(-1)! / stallA).toBeCloseTo(1, 4);
      expect(stalled.values.w!.at(-1)).toBe(0);
      const { suppliedJ, dissipatedJ, storedJ } = free.energy;
      expect(Math.abs(suppliedJ - dissipatedJ - storedJ) / suppliedJ).toBeLessThan(1e-3);
    },
  );
});

describe('friction that is more one way than the other', () => {
  // Steady state of kt i = friction: no source beyond the equation itself.
  const lift = motor({ coulombNm: 0.02, reverseFrictionRatio: 2.5 });
  const settled = (voltageV: number) => {
    const { values } = step(lift, voltageV, 2);
    return { currentA: values.i!.at(-1)!, speedRadS: values.w!.at(-1)! };
  };

  it('takes the current of each direction, and the speed that is left', () => {
    const up = settled(12);
    expect(up.currentA).toBeCloseTo(2, 4);
    expect(up.speedRadS).toBeCloseTo((12 - 2) / 0.01, 1);
    const down = settled(-12);
    expect(down.currentA).toBeCloseTo(-5, 4);
    expect(down.speedRadS).toBeCloseTo(-(12 - 5) / 0.01, 1);
  });

  it('stands where the torque does not reach the friction of that direction', () => {
    expect(settled(2.5).speedRadS).toBeGreaterThan(10);
    expect(settled(-4.5)).toMatchObject({ speedRadS: 0, currentA: expect.closeTo(-4.5, 6) });
    expect(settled(-5.5).speedRadS).toBeLessThan(-10);
  });
});
