// The line fit against the GUM's own example, and a motor from steady points against catalogue figures.

import { describe, expect, it } from 'vitest';
import {
  fitLinear,
  fitStatic,
  predictLinear,
  type Quantity,
  type SteadyPoint,
} from '../../host/measure/index.js';
import { seeded } from './closed-form.js';

/** JCGM 100:2008 (GUM), H.3, table H.6: thermometer readings and corrections, C. */
const TEMPERATURE_C = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.01, 26.511];
const CORRECTION_C = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.16];

describe('line fit of GUM H.3', () => {
  const fit = fitLinear(
    TEMPERATURE_C.map((t) => [1, t - 20]),
    CORRECTION_C,
  );
  const u1 = Math.sqrt(fit.covariance[0]![0]!);
  const u2 = Math.sqrt(fit.covariance[1]![1]!);

  it('gives the printed intercept, slope, their uncertainties and correlation', () => {
    expect(fit.parameters[0]).toBeCloseTo(-0.1712, 4);
    expect(u1).toBeCloseTo(0.0029, 4);
    expect(fit.parameters[1]).toBeCloseTo(0.00218, 5);
    expect(u2).toBeCloseTo(0.00067, 5);
    expect(fit.covariance[0]![1]! / (u1 * u2)).toBeCloseTo(-0.93, 2);
    expect(fit.residualDeviation).toBeCloseTo(0.0035, 4);
    expect(fit.degreesOfFreedom).toBe(9);
  });

  it('gives the printed correction at 30 C with the correlation in its uncertainty', () => {
    const predicted = predictLinear(fit, [1, 10]);
    expect(predicted.value).toBeCloseTo(-0.1494, 4);
    expect(predicted.standardUncertainty).toBeCloseTo(0.0041, 4);
  });

  it('refuses points that do not fix the line', () => {
    expect(() => fitLinear([[1, 2]], [3])).toThrow(/1 rows cannot fix 2/);
    expect(() =>
      fitLinear(
        [
          [1, 2],
          [1, 2],
          [1, 2],
        ],
        [3, 3, 3],
      ),
    ).toThrow(/parameter 2/);
  });
});

/**
 * Maker's catalogue figures at 12 V as held in wpilibsuite/allwpilib (wpimath DCMotor): stall torque, stall current, free
 * current, free speed. R = V/Is, kt = Ts/Is, ke = (V - R I0)/w0 are the straight-line motor through them.
 */
const CATALOGUE = [
  {
    name: 'CIM',
    stallNm: 2.42,
    stallA: 133,
    freeA: 2.7,
    freeRpm: 5310,
    resistance: 0.090226,
    kt: 0.0181955,
    ke: 0.0211422,
  },
  {
    name: 'Mini CIM',
    stallNm: 1.41,
    stallA: 89,
    freeA: 3,
    freeRpm: 5840,
    resistance: 0.134831,
    kt: 0.0158427,
    ke: 0.0189604,
  },
  {
    name: 'BAG',
    stallNm: 0.43,
    stallA: 53,
    freeA: 1.8,
    freeRpm: 13180,
    resistance: 0.226415,
    kt: 0.0081132,
    ke: 0.0083991,
  },
  {
    name: 'RS775-125',
    stallNm: 0.28,
    stallA: 18,
    freeA: 1.6,
    freeRpm: 5800,
    resistance: 0.666667,
    kt: 0.0155556,
    ke: 0.018001,
  },
];

/** Points at several voltages and loads; losses split evenly between constant and speed, which the catalogue does not tell. */
function pointsOf(motor: (typeof CATALOGUE)[number]): SteadyPoint[] {
  const points: SteadyPoint[] = [];
  const freeRadS = (motor.freeRpm * Math.PI) / 30;
  const constantA = motor.freeA / 2;
  const slope = motor.freeA / 2 / freeRadS;
  for (const way of [1, -1]) {
    for (const speed of [0.2, 0.5, 0.8, 1]) {
      for (const load of [0, 0.2]) {
        const speedRadS = way * speed * freeRadS;
        const torqueNm = way * load * motor.stallNm;
        const currentA = way * constantA + slope * speedRadS + torqueNm / motor.kt;
        points.push({
          voltageV: motor.resistance * currentA + motor.ke * speedRadS,
          currentA,
          speedRadS,
          torqueNm,
        });
      }
    }
  }
  return points;
}

describe('static fit of catalogue motors', () => {
  for (const motor of CATALOGUE) {
    it(`${motor.name}: R, ke, kt and both frictions come back`, () => {
      const { model } = fitStatic(pointsOf(motor));
      const freeRadS = (motor.freeRpm * Math.PI) / 30;
      expect(model.resistanceOhm!.value).toBeCloseTo(motor.stallA ** -1 * 12, 4);
      expect(model.resistanceOhm!.value / motor.resistance).toBeCloseTo(1, 5);
      expect(model.backEmfVsPerRad!.value / motor.ke).toBeCloseTo(1, 5);
      expect(model.torqueNmPerA!.value / (motor.stallNm / motor.stallA)).toBeCloseTo(1, 4);
      expect(model.coulombCurrentA!.value / (motor.freeA / 2)).toBeCloseTo(1, 5);
      expect(model.viscousAPerRadS!.value / (motor.freeA / 2 / freeRadS)).toBeCloseTo(1, 5);
      expect(model.coulombNm!.value / ((motor.kt * motor.freeA) / 2)).toBeCloseTo(1, 4);
    });
  }

  it('covers the truth in 92 to 98 % of 400 noisy sets, seeds 1 to 400', () => {
    const motor = CATALOGUE[3]!;
    const truth: Record<string, number> = {
      resistanceOhm: motor.resistance,
      backEmfVsPerRad: motor.ke,
      torqueNmPerA: motor.kt,
    };
    const held: Record<string, number> = {};
    for (let seed = 1; seed <= 400; seed++) {
      const { normal } = seeded(seed);
      const points = pointsOf(motor).map((point) => ({
        ...point,
        voltageV: point.voltageV + 0.05 * normal(),
      }));
      const { normal: other } = seeded(seed + 10000);
      // Current noise on the friction fit only: a fit of V on I takes I as exact.
      const noisy = pointsOf(motor).map((point) => ({ ...point, currentA: point.currentA + 0.05 * other() }));
      const model: Record<string, Quantity> = { ...fitStatic(noisy).model, ...pick(fitStatic(points).model) };
      for (const [name, value] of Object.entries(truth)) {
        const { value: seen, expandedUncertainty } = model[name]!;
        held[name] = (held[name] ?? 0) + (Math.abs(seen - value) <= expandedUncertainty ? 1 : 0);
      }
    }
    for (const name of Object.keys(truth)) {
      expect(held[name]! / 400, name).toBeGreaterThanOrEqual(0.92);
      expect(held[name]! / 400, name).toBeLessThanOrEqual(0.98);
    }
  });

  it('says that as many points as parameters tell no uncertainty', () => {
    const { model, notes } = fitStatic([
      { voltageV: 12, currentA: 18, speedRadS: 0 },
      { voltageV: 12, currentA: 1.6, speedRadS: 607.37 },
    ]);
    expect(model.resistanceOhm!.value).toBeCloseTo(0.666667, 5);
    expect(model.resistanceOhm!.expandedUncertainty).toBe(Number.POSITIVE_INFINITY);
    expect(notes.join(' ')).toMatch(/nothing is known of the uncertainty/);
  });
});

const pick = ({ resistanceOhm, backEmfVsPerRad }: ReturnType<typeof fitStatic>['model']) => ({
  resistanceOhm: resistanceOhm!,
  backEmfVsPerRad: backEmfVsPerRad!,
});
