// How good motors spread in their own parameters, by hand from the profile's numbers; and whether a fit holds, of fits
// made by hand. Copper 0.393 % a kelvin from 20 C (IEC 60028), ferrite -0.2 % a kelvin from 25 C.

import { afterAll, describe, expect, it, vi } from 'vitest';
import { fitHolds, fitOf, MOTOR_PARAMETERS, motorSpread } from '../../host/judge/motor-spread.js';
import * as measure from '../../host/measure/index.js';
import type { MotorProfile, ResolvedUnit } from '../../host/profile/index.js';
import { captureOf, quantity, shipped } from './handmade.js';

// Put in place while these tests run, and taken away behind them: files share their modules.
const STAND_INS = [vi.spyOn(measure, 'fitMotor')];
afterAll(() => {
  for (const one of STAND_INS) one.mockRestore();
});

/** No two motors differ: what is left is the profile's own. */
const MOTOR: Partial<MotorProfile> = {
  resistanceOhm: 0.6,
  backEmfVsPerRad: 0.035,
  torqueNmPerA: 0.034,
  inertiaKgM2: 4.2e-5,
  viscousNms: 2.7e-4,
  coulombNm: 0.083,
};
function unitAt(nominal: number, motor: Partial<MotorProfile> = {}): ResolvedUnit {
  const unit = shipped('window-lift-switch');
  return {
    ...unit,
    motor: { ...unit.motor, ...MOTOR, ...motor },
    unit: { ...unit.unit, temperatureC: { nominal, plusMinus: 0 } },
  };
}
/** By hand, of the profile above at 25 C. */
const AT_25 = [0.6, 4.2e-5 / (0.034 * 0.035), 2.7e-4 / (0.034 * 0.035), 0.083 / 0.034];
const CAPTURE = captureOf([{ position: 'forward', durationS: 0.01 }]);

describe('good motors', () => {
  it('that do not differ have the profile’s parameters', () => {
    const spread = motorSpread(unitAt(25), 1);
    expect(spread).toMatchObject({ names: [...MOTOR_PARAMETERS], count: 1000 });
    AT_25.forEach((value, i) => void expect(spread?.mean[i]).toBeCloseTo(Math.log(value), 9));
    for (const value of spread?.covariance.flat() ?? [Number.NaN]) expect(value).toBeCloseTo(0, 12);
  });

  it('have more resistance and less flux when they are warm', () => {
    const copper = (1 + 0.00393 * 45) / (1 + 0.00393 * 5);
    const flux = 1 - 0.002 * 40;
    const [ohm, farad, siemens, ampere] = AT_25 as [number, number, number, number];
    const warm = [ohm * copper, farad / flux ** 2, siemens / flux ** 2, ampere / flux];
    const spread = motorSpread(unitAt(65), 1);
    warm.forEach((value, i) => void expect(spread?.mean[i]).toBeCloseTo(Math.log(value), 3));
  });

  it('spread as the profile says, by the seed', () => {
    // 10 % is two deviations: 5 %, in the logarithm 0.05.
    const unit = unitAt(25, { resistanceOhm: { nominal: 0.6, tolerancePercent: 10 } });
    const spread = motorSpread(unit, 1);
    expect(Math.sqrt(spread?.covariance[0]?.[0] ?? 0)).toBeCloseTo(0.05, 2);
    expect(motorSpread(unit, 1)).toEqual(spread);
    expect(motorSpread(unit, 2)).not.toEqual(spread);
  });

  it('without friction of one kind have no spread', () => {
    expect(motorSpread(unitAt(25, { viscousNms: 0 }), 1)).toBeUndefined();
  });
});

describe('a fit to a capture', () => {
  it('is told what the profile knows of rig, brushes and ripple', () => {
    const unit = unitAt(25);
    fitOf(unit, CAPTURE);
    expect(vi.mocked(measure.fitMotor)).toHaveBeenLastCalledWith(CAPTURE, {
      rig: unit.rig,
      motor: { brushDropV: unit.motor.brushDropV, brushKneeA: unit.motor.brushKneeA, ripplesPerTurn: 8 },
    });
  });

  const UNITS = ['Ohm', 'F', 'S', 'A'];
  const holds = (
    off: readonly number[],
    describes: measure.MotorFit['describes'] = 'yes',
    missing?: string,
  ) => {
    const model = Object.fromEntries(
      MOTOR_PARAMETERS.flatMap((name, i) =>
        name === missing ? [] : [[name, quantity(AT_25[i]! * Math.exp(off[i] ?? 0), 0.01, UNITS[i]!)]],
      ),
    );
    vi.mocked(measure.fitMotor).mockReturnValue({
      model,
      correlation: { names: [], matrix: [] },
      describes,
      notes: [],
    });
    return fitHolds(unitAt(25), CAPTURE);
  };

  it('holds where it gives back the nominal motor within 5 %', () => {
    expect(holds([])).toBe(true);
    expect(holds([0.049, -0.049, 0.049, -0.049])).toBe(true);
    for (const i of [0, 1, 2, 3]) {
      const off = [0, 0, 0, 0];
      off[i] = 0.051;
      expect(holds(off)).toBe(false);
      off[i] = -0.051;
      expect(holds(off)).toBe(false);
    }
  });
  it('holds although it cannot say how well it describes the motor, and not where it describes none', () => {
    expect(holds([], 'cannot-tell')).toBe(true);
    expect(holds([], 'no')).toBe(false);
  });
  it('does not hold without one of the parameters, or with one that is not positive', () => {
    for (const name of MOTOR_PARAMETERS) expect(holds([], 'yes', name)).toBe(false);
    holds([]);
    const fit = vi.mocked(measure.fitMotor)(CAPTURE);
    const model = { ...fit.model, coulombCurrentA: quantity(-2.4, 0.1, 'A') };
    vi.mocked(measure.fitMotor).mockReturnValue({ ...fit, model });
    expect(fitHolds(unitAt(25), CAPTURE)).toBe(false);
  });
});
