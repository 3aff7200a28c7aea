// The speed that belongs to the levels of a throw, by hand: what is left of the voltage over the back-EMF constant.
// Copper 0.393 % a kelvin (IEC 60028, from 20 C), ferrite -0.2 % a kelvin (common figure of hard ferrite).

import { describe, expect, it } from 'vitest';
import { copperFactor, ferriteFactor, nominalInput } from '../../host/circuit/index.js';
import { addModelSpeeds } from '../../host/judge/model-speed.js';
import { readingOf } from '../../host/measure/index.js';
import { FORWARD, measuredOf, REVERSE, type Reads, shipped } from './handmade.js';

const input = nominalInput(shipped('window-lift-switch'));
const motor = { ...input.motor, resistanceOhm: 0.5, backEmfVsPerRad: 0.03, brushDropV: 0.5 };

function speedOf(reads: Reads, temperatureC = 25) {
  const measured = measuredOf([[FORWARD, reads]]);
  addModelSpeeds(measured, { motor, temperatureC });
  return { speed: readingOf(measured, 'speedRpm', FORWARD), measured };
}

describe('the speed of a simulated throw', () => {
  it('is that of the back-EMF which is left', () => {
    // 12 - 4 x 0.5 - 0.5 = 9.5 V over 0.03 V s: 316.7 rad/s, 3023.9 rpm.
    const { speed } = speedOf({ motorVoltageV: 12, runningCurrentA: 4 });
    expect(speed).toMatchObject({ what: 'speedRpm', of: FORWARD, unit: 'rpm', expandedUncertainty: 0 });
    expect(speed?.value).toBeCloseTo(3023.94, 2);
    expect(speedOf({ motorVoltageV: -12, runningCurrentA: 4 }).speed?.value).toBeCloseTo(3023.94, 2);
  });

  it('goes with the temperature of copper and magnets', () => {
    const [copper, ferrite] = [copperFactor(25, 65), ferriteFactor(25, 65)];
    expect(copper).toBeGreaterThan(1.1);
    expect(ferrite).toBeLessThan(0.95);
    const emfV = 12 - 4 * 0.5 * copper - 0.5;
    expect(speedOf({ motorVoltageV: 12, runningCurrentA: 4 }, 65).speed?.value).toBeCloseTo(
      (60 * emfV) / (2 * Math.PI * 0.03 * ferrite),
      6,
    );
  });

  it('is none below a standstill', () => {
    expect(speedOf({ motorVoltageV: 1, runningCurrentA: 4 }).speed?.value).toBe(0);
  });

  it('is not told without both levels of the same throw', () => {
    expect(speedOf({ motorVoltageV: 12 }).speed).toBeUndefined();
    expect(speedOf({ runningCurrentA: 4 }).speed).toBeUndefined();
    const apart = measuredOf([
      [FORWARD, { motorVoltageV: 12 }],
      [REVERSE, { runningCurrentA: 4 }],
    ]);
    addModelSpeeds(apart, { motor, temperatureC: 25 });
    expect(Object.values(apart).some(({ what }) => what === 'speedRpm')).toBe(false);
  });

  it('is not told of another current', () => {
    expect(Object.keys(speedOf({ motorVoltageV: 12, motorCurrentA: 4 }).measured)).toHaveLength(2);
  });
});
