// The worked examples of the GUM (JCGM 100:2008, Annex H) through the combining code. Inputs and unrounded results as held
// in the tests of GTC, the open-source uncertainty calculator of the Measurement Standards Laboratory of New Zealand.

import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../host/circuit/index.js';
import {
  arcsine,
  budgetLines,
  combine,
  correlationOf,
  covarianceOf,
  coverageFactor95,
  freedomOf,
  meanOf,
  normalProbability,
  offsetAtEnd,
  propagate,
  rectangular,
  studentCoverageFactor,
} from '../../host/measure/index.js';
import { RIG } from './closed-form.js';

const part = (got: number, want: number, relative: number): void =>
  expect(Math.abs(got / want - 1), `${got}, published ${want}`).toBeLessThan(relative);

describe('GUM H.1, end gauge calibration (nm)', () => {
  const standard = { value: 50_000_623, standardUncertainty: 25, degreesOfFreedom: 18 };
  const difference = [
    { standardUncertainty: 5.8, degreesOfFreedom: 24 },
    { standardUncertainty: 3.9, degreesOfFreedom: 5 },
    { standardUncertainty: 6.7, degreesOfFreedom: 8 },
  ];

  it('combines the comparator to 9.68194196 nm with 25.44725 degrees of freedom (Welch and Satterthwaite)', () => {
    const { standardUncertainty, degreesOfFreedom } = combine(difference);
    part(standardUncertainty, 9.681941954, 1e-8);
    part(degreesOfFreedom, 25.44725078, 1e-8);
  });

  const d = { value: 215, ...combine(difference) };
  const alpha = { value: 11.5e-6, ...rectangular(2e-6) };
  const deltaAlpha = { value: 0, ...rectangular(1e-6, freedomOf(0.1)) };
  const cycle = arcsine(0.5);
  const theta = {
    value: -0.1,
    ...combine([{ standardUncertainty: 0.2, degreesOfFreedom: Infinity }, cycle]),
  };
  const deltaTheta = { value: 0, ...rectangular(0.05, freedomOf(0.5)) };
  const length = (ls: number, dd: number, a: number, da: number, t: number, dt: number): number =>
    ls + dd - ls * (da * t + a * dt);
  const result = propagate(length, [standard, d, alpha, deltaAlpha, theta, deltaTheta]);

  it('gives degrees of freedom 50 and 2 to what is known to 10 and 50 per cent', () => {
    expect(freedomOf(0.1)).toBeCloseTo(50, 9);
    expect(freedomOf(0.5)).toBeCloseTo(2, 9);
  });

  it('gives 50 000 838 nm, u 31.66377 nm (printed 32), 16.752 degrees of freedom (printed 16)', () => {
    expect(result.value).toBeCloseTo(50_000_838, 3);
    part(result.standardUncertainty, 31.66377, 1e-5);
    part(result.degreesOfFreedom, 16.75215, 2e-4);
    // Components of the printed table: 25, 9.7, 2.9, 16.6; the other two only act in second order.
    const parts = result.contributions.map(Math.abs);
    part(parts[3]!, 2.88679, 1e-4);
    part(parts[5]!, 16.599, 1e-4);
    expect(parts[2]).toBe(0);
    expect(parts[4]).toBe(0);
  });

  it('gives the printed t99(16) = 2.92 and U99 = 93 nm, of the printed rounded 2.92 x 32', () => {
    const t = studentCoverageFactor(0.99, Math.floor(result.degreesOfFreedom));
    expect(t).toBeCloseTo(2.92, 2);
    expect(Math.round(Number(t.toFixed(2)) * Math.round(result.standardUncertainty))).toBe(93);
  });
});

describe('GUM H.2, simultaneous resistance and reactance', () => {
  const volts = [5.007, 4.994, 5.005, 4.99, 4.999];
  const amperes = [19.663, 19.639, 19.64, 19.685, 19.678].map((mA) => mA / 1000);
  const phases = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433];
  const data = [volts, amperes, phases];
  const inputs = data.map(meanOf);
  const r = (i: number, j: number): number => correlationOf(data[i]!, data[j]!);

  it('gives means, uncertainties and correlations of the printed Table H.2', () => {
    expect(inputs[0]!.value).toBeCloseTo(4.999, 6);
    part(inputs[0]!.standardUncertainty, 0.00320936, 1e-5);
    expect(inputs[1]!.value * 1000).toBeCloseTo(19.661, 6);
    part(inputs[1]!.standardUncertainty * 1000, 0.00947101, 1e-5);
    part(inputs[2]!.standardUncertainty, 0.000752064, 1e-5);
    expect(r(0, 1)).toBeCloseTo(-0.36, 2);
    expect(r(0, 2)).toBeCloseTo(0.86, 2);
    expect(r(1, 2)).toBeCloseTo(-0.65, 2);
  });

  const R = propagate((v, i, phi) => (v / i) * Math.cos(phi), inputs, r);
  const X = propagate((v, i, phi) => (v / i) * Math.sin(phi), inputs, r);
  const Z = propagate((v, i) => v / i, inputs, r);

  it.each([
    ['R', R, 127.732, 0.071],
    ['X', X, 219.847, 0.2956],
    ['Z', Z, 254.26, 0.236],
  ] as const)('gives %s as printed (u(X) is printed 0.295, unrounded 0.2956)', (_name, got, value, u) => {
    expect(Math.abs(got.value - value)).toBeLessThan(0.001);
    expect(Math.abs(got.standardUncertainty - u)).toBeLessThan(0.0005);
    expect(got.degreesOfFreedom).toBe(4);
  });

  it.each([
    ['R and X', R, X, -0.588],
    ['R and Z', R, Z, -0.485],
    ['X and Z', X, Z, 0.993],
  ] as const)('gives the printed correlation of %s', (_names, a, b, want) => {
    const got =
      covarianceOf(a.contributions, b.contributions, r) / (a.standardUncertainty * b.standardUncertainty);
    expect(Math.abs(got - want)).toBeLessThan(0.001);
  });
});

describe('budget of a channel', () => {
  const lines = budgetLines(RIG, 'motorCurrentA', { value: 12, noise: 0.055, readings: 400 });
  const line = (source: string) => lines.find((each) => each.source === source)!;

  it('has a line for each source', () => {
    expect(lines.map(({ source }) => source)).toEqual([
      'quantisation',
      'noise',
      'gain and reference',
      'offset',
    ]);
  });

  it('rounds a count with u = count / sqrt(12) (GUM F.2.2.1; 12 bit of 3.3 V: 0.232575 mV)', () => {
    part(line('quantisation').standardUncertainty, 0.078125 / Math.sqrt(12), 1e-9);
    const rig = {
      ...RIG,
      scales: {
        ...RIG.scales,
        supplyVoltageV: {
          atZeroCount: 0,
          perCount: 3.3 / 4096,
          gainUncertaintyPercent: 0,
          offsetUncertainty: 0,
        },
      },
    };
    const [q] = budgetLines(rig, 'supplyVoltageV', { value: 1, noise: 0, readings: 1 });
    part(q!.standardUncertainty * 1000, 0.232575, 1e-5);
  });

  it('takes noise by the root of the readings, gain by the value, offset as it is', () => {
    part(line('noise').standardUncertainty, 0.055 / 20, 1e-9);
    expect(line('noise').degreesOfFreedom).toBe(399);
    part(line('gain and reference').standardUncertainty, 0.06, 1e-9);
    part(line('offset').standardUncertainty, 0.03, 1e-9);
    const total = combine(lines);
    part(total.standardUncertainty, Math.hypot(0.078125 / Math.sqrt(12), 0.055 / 20, 0.06, 0.03), 1e-9);
    expect(coverageFactor95(total.degreesOfFreedom)).toBeCloseTo(1.96, 2);
  });
});

describe('a reading at the end of its range', () => {
  it('has the normal probabilities of the printed tables (NIST/SEMATECH e-Handbook 1.3.6.7.1: 0.95053, 0.97500, 0.99865)', () => {
    expect(normalProbability(1.65)).toBeCloseTo(0.95053, 5);
    expect(normalProbability(1.96)).toBeCloseTo(0.975, 5);
    expect(normalProbability(3)).toBeCloseTo(0.99865, 5);
    expect(normalProbability(-3)).toBeCloseTo(1 - 0.99865, 5);
  });

  it('counts the offset by its 95 % quantile, 1.645 deviations (the same table), of which half lies out of sight', () => {
    expect(offsetAtEnd(0.001) * 1.959964).toBeCloseTo(0.001 * 1.644854, 9);
  });

  it.each([
    ['never seen with everything off', Number.POSITIVE_INFINITY],
    ['taken off where it stood two counts clear', 2],
  ])('holds nothing but zero in 95 of 100 draws, offsets %s', (_, seenFrom) => {
    const random = seededRandom(20261127);
    let held = 0;
    let drawn = 0;
    while (drawn < 20000) {
      const offset = random.normal();
      if (offset > seenFrom) continue;
      drawn++;
      if (Math.max(0, offset) <= 1.959964 * offsetAtEnd(1, seenFrom)) held++;
    }
    // Three deviations of a binomial.
    expect(Math.abs(held / drawn - 0.95)).toBeLessThan(3 * Math.sqrt((0.95 * 0.05) / drawn));
  });
});
