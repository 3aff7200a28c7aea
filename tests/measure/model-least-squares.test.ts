// The non-linear fit against the NIST StRD sets: parameters, standard errors and residual deviation from both starts.
// Data and certified values: NIST/ITL Statistical Reference Datasets, nonlinear regression.

import { describe, expect, it } from 'vitest';
import { leastSquares } from '../../host/measure/index.js';
import { STRD_SETS } from '../references/nist-strd/sets.js';

/** Value and derivatives of each model at x, written out by hand from the model lines of the data files. */
const MODELS: Record<string, (b: Float64Array, x: number) => [number, number[]]> = {
  Misra1a: ([b1, b2], x) => saturating(b1!, b2!, x),
  BoxBOD: ([b1, b2], x) => saturating(b1!, b2!, x),
  DanWood: ([b1, b2], x) => [b1! * x ** b2!, [x ** b2!, b1! * x ** b2! * Math.log(x)]],
  MGH17: ([b1, b2, b3, b4, b5], x) => {
    const [p, q] = [Math.exp(-x * b4!), Math.exp(-x * b5!)];
    return [b1! + b2! * p + b3! * q, [1, p, q, -x * b2! * p, -x * b3! * q]];
  },
  Lanczos3: ([b1, b2, b3, b4, b5, b6], x) => {
    const [p, q, r] = [Math.exp(-b2! * x), Math.exp(-b4! * x), Math.exp(-b6! * x)];
    return [b1! * p + b3! * q + b5! * r, [p, -x * b1! * p, q, -x * b3! * q, r, -x * b5! * r]];
  },
  Thurber: ([b1, b2, b3, b4, b5, b6, b7], x) => {
    const top = b1! + b2! * x + b3! * x ** 2 + b4! * x ** 3;
    const bottom = 1 + b5! * x + b6! * x ** 2 + b7! * x ** 3;
    const below = -top / bottom ** 2;
    return [
      top / bottom,
      [1 / bottom, x / bottom, x ** 2 / bottom, x ** 3 / bottom, below * x, below * x ** 2, below * x ** 3],
    ];
  },
};

function saturating(b1: number, b2: number, x: number): [number, number[]] {
  const fall = Math.exp(-b2 * x);
  return [b1 * (1 - fall), [1 - fall, b1 * x * fall]];
}

/** Certified to eleven digits; residuals that cancel leave fewer (Lanczos3 is data of a sum rounded to five digits). */
const PARAMETER = 1e-6;
const RESIDUAL = 1e-8;

const relative = (value: number, truth: number): number => Math.abs(value / truth - 1);

describe('least squares on the NIST StRD non-linear sets', () => {
  for (const set of STRD_SETS) {
    for (const [nth, start] of [set.start1, set.start2].entries()) {
      it(`${set.name} (${set.model}) from start ${nth + 1}`, () => {
        const fit = leastSquares({
          rows: set.x.length,
          start,
          evaluate: (b, residuals, jacobian) => {
            set.x.forEach((x, row) => {
              const [value, slopes] = MODELS[set.name]!(b, x);
              residuals[row] = value - set.y[row]!;
              if (jacobian)
                for (const [j, slope] of slopes.entries()) jacobian[j * set.x.length + row] = slope;
            });
          },
        });
        expect(fit.converged).toBe(true);
        expect(fit.degreesOfFreedom).toBe(set.degreesOfFreedom);
        expect(relative(fit.residualDeviation, set.residualDeviation)).toBeLessThan(RESIDUAL);
        set.certified.forEach((certified, j) => {
          const deviation =
            fit.residualDeviation * Math.sqrt(fit.unitCovariance[j * set.certified.length + j]!);
          expect(relative(fit.parameters[j]!, certified), `b${j + 1}`).toBeLessThan(PARAMETER);
          expect(relative(deviation, set.certifiedDeviation[j]!), `deviation of b${j + 1}`).toBeLessThan(
            PARAMETER,
          );
        });
      });
    }
  }
});
