// A motor's own parameters against those of good motors, from a fit made by hand: the distances are worked by hand, the
// limit is the root of chi-squared for four parameters at 0.9999 (NIST/SEMATECH e-Handbook 1.3.6.7.4: 23.513).

import { afterAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { checkOf } from '../../../host/judge/check.js';
import { isMotorParameters, motorParameterCheck } from '../../../host/judge/checks/motor-parameters.js';
import type { JointSpread } from '../../../host/judge/joint.js';
import * as fitting from '../../../host/judge/motor-spread.js';
import type { MotorFit } from '../../../host/measure/index.js';
import { contextOf, quantity, shipped } from '../handmade.js';

// Put in place while these tests run, and taken away behind them: files share their modules.
const STAND_INS = [vi.spyOn(fitting, 'fitOf')];
afterAll(() => {
  for (const one of STAND_INS) one.mockRestore();
});

const { MOTOR_PARAMETERS } = fitting;
const ORDER: readonly string[] = MOTOR_PARAMETERS;
const USUAL = [0.6, 0.04, 0.2, 2] as const;
const UNITS = ['Ohm', 'F', 'S', 'A'];
/** A tenth each, less what the fit leaves open (2 %): with it 0.01 in all. */
const OWN = 0.01 - 0.02 ** 2;
const SPREAD: JointSpread = {
  names: [...MOTOR_PARAMETERS],
  mean: USUAL.map(Math.log),
  covariance: MOTOR_PARAMETERS.map((_, i) => MOTOR_PARAMETERS.map((_, j) => (i === j ? OWN : 0))),
  count: 1000,
};

interface Fitted {
  /** Logarithm of each parameter over its usual value. */
  off?: readonly [number, number, number, number];
  /** Relative standard uncertainty of each. */
  relative?: readonly [number, number, number, number];
  describes?: MotorFit['describes'];
  without?: (typeof MOTOR_PARAMETERS)[number];
  /** Of two parameters, by their places among the four. */
  correlated?: readonly [number, number, number];
}

function fitted({
  off = [0, 0, 0, 0],
  relative = [0, 0, 0, 0],
  describes = 'yes',
  without,
  correlated,
}: Fitted): void {
  // Among others, and in another order.
  const names = ['inductanceH', ...[...MOTOR_PARAMETERS].reverse()];
  const matrix = names.map((a, i) =>
    names.map((b, j) => {
      const places = [a, b].map((name) => ORDER.indexOf(name));
      const isPair =
        correlated !== undefined &&
        places.includes(correlated[0]) &&
        places.includes(correlated[1]) &&
        i !== j;
      return i === j ? 1 : isPair ? correlated[2] : 0;
    }),
  );
  const model = Object.fromEntries(
    MOTOR_PARAMETERS.flatMap((name, i) => {
      if (name === without) return [];
      const value = USUAL[i]! * Math.exp(off[i]!);
      return [[name, quantity(value, 2 * relative[i]! * value, UNITS[i]!)]];
    }),
  );
  vi.mocked(fitting.fitOf).mockReturnValue({ model, correlation: { names, matrix }, describes, notes: [] });
}
const asked = () => motorParameterCheck(contextOf({ motor: SPREAD }));
const LIMIT = Math.sqrt(23.513);

beforeEach(() => void vi.mocked(fitting.fitOf).mockReset());

describe('a motor’s own parameters', () => {
  it('are fitted to what the plan threw, by what the profile knows', () => {
    fitted({});
    const context = contextOf({ motor: SPREAD });
    motorParameterCheck(context);
    expect(vi.mocked(fitting.fitOf)).toHaveBeenCalledWith(context.unit, context.capture);
  });

  it('that are the usual ones pass', () => {
    fitted({});
    const [check, ...more] = asked();
    expect(more).toEqual([]);
    expect(check).toMatchObject({
      id: 'motor-parameters',
      of: 'motor',
      origin: shipped('entry-step-relays').motor.origin,
      required: true,
      outcome: 'pass',
      unit: '1',
      expandedUncertainty: 0,
      sentence:
        "Taken together, the motor's own numbers are those of a normal motor (distance 0.0, at most 4.8).",
    });
    expect(check?.value).toBeCloseTo(0, 9);
    expect(check?.upper).toBeCloseTo(LIMIT, 3);
  });

  it('lie as far off as by hand', () => {
    // Two spreads in one and three in another: the root of 13.
    fitted({ off: [0.2, 0, -0.3, 0] });
    expect(asked()[0]?.value).toBeCloseTo(Math.sqrt(13), 2);
  });

  it('fail beyond the limit, and name the one that is furthest off', () => {
    fitted({ off: [0.1, 0.2, -0.6, 0.1] });
    const [check] = asked();
    expect(check).toMatchObject({
      outcome: 'fail',
      // 0.2 S x exp(-0.6) = 0.11 S.
      sentence:
        "Taken together, the motor's own numbers are far from a normal motor (distance 6.5, at most 4.8). Furthest off: friction that grows with speed, 0.11 S in place of 0.20 S.",
    });
    fitted({ off: [0.7, 0, 0, 0] });
    expect(asked()[0]?.sentence).toContain('Furthest off: resistance, 1.2 Ω in place of 0.60 Ω.');
    fitted({ off: [0, 0, 0, 0.7] });
    expect(asked()[0]?.sentence).toContain('Furthest off: constant friction, 4.0 A in place of 2.0 A.');
  });

  it('are furthest off by their own spread, not by their size', () => {
    // Of the first the fit is so unsure that twice as far counts for less.
    fitted({ off: [1.2, 0, 0, 0.6], relative: [0.4, 0, 0, 0] });
    expect(asked()[0]?.sentence).toContain('Furthest off: constant friction');
  });

  it('pass up to the limit', () => {
    fitted({ off: [0.1 * (LIMIT - 0.01), 0, 0, 0] });
    expect(asked()[0]?.outcome).toBe('pass');
    fitted({ off: [0.1 * (LIMIT + 0.02), 0, 0, 0] });
    expect(asked()[0]?.outcome).toBe('fail');
  });

  it('are widened by what the fit is unsure of', () => {
    // Variance 0.01 + 0.03: four times, so half the distance.
    fitted({ off: [0.4, 0, 0, 0], relative: [Math.sqrt(0.03), 0, 0, 0] });
    expect(asked()[0]?.value).toBeCloseTo(2, 2);
  });

  it('take the fit’s correlation into account', () => {
    // Own 0.01 each and the fit's 0.03 each, correlated by -1/3 (-0.01): variances 0.04, covariance -0.01. By hand for
    // offsets 0.4 and 0.4: the sum of the inverse's terms is 2 (0.04 + 0.01) / (0.04^2 - 0.01^2) = 66.67, times 0.16.
    const relative = [Math.sqrt(0.03), 0, Math.sqrt(0.03), 0] as const;
    fitted({ off: [0.4, 0, 0.4, 0], relative, correlated: [0, 2, -1 / 3] });
    expect(asked()[0]?.value).toBeCloseTo(Math.sqrt(0.16 * 66.667), 2);
    fitted({ off: [0.4, 0, 0.4, 0], relative });
    expect(asked()[0]?.value).toBeCloseTo(Math.sqrt(8), 2);
  });

  it('count as independent where the fit does not say', () => {
    const relative = [Math.sqrt(0.03), 0, Math.sqrt(0.03), 0] as const;
    fitted({ off: [0.4, 0, 0.4, 0], relative });
    const fit = vi.mocked(fitting.fitOf)(contextOf().unit, contextOf().capture);
    vi.mocked(fitting.fitOf).mockReturnValue({ ...fit, correlation: { names: [], matrix: [] } });
    expect(asked()[0]?.value).toBeCloseTo(Math.sqrt(8), 2);
  });

  it('are told although the fit cannot say how well it describes the motor', () => {
    fitted({ describes: 'cannot-tell' });
    expect(asked()).toHaveLength(1);
  });

  it('are not asked about where the fit describes no motor', () => {
    fitted({ describes: 'no' });
    expect(asked()).toEqual([]);
  });

  it.each(MOTOR_PARAMETERS)('are not asked about without %s', (without) => {
    fitted({ without });
    expect(asked()).toEqual([]);
  });

  it('are not asked about where one is not positive', () => {
    fitted({});
    const fit = vi.mocked(fitting.fitOf)(contextOf().unit, contextOf().capture);
    for (const value of [0, -1]) {
      const model = { ...fit.model, coulombCurrentA: quantity(value, 0.1, 'A') };
      vi.mocked(fitting.fitOf).mockReturnValue({ ...fit, model });
      expect(asked()).toEqual([]);
    }
  });

  it('are not fitted where it is not known how good motors spread', () => {
    expect(motorParameterCheck(contextOf())).toEqual([]);
    expect(vi.mocked(fitting.fitOf)).not.toHaveBeenCalled();
  });
});

it('the check of parameters is known from others', () => {
  fitted({});
  expect(asked().map(isMotorParameters)).toEqual([true]);
  const other = checkOf({ id: 'any', of: 'motor', rank: 1 }, { sentence: '', outcome: 'pass' });
  expect(isMotorParameters(other)).toBe(false);
});
