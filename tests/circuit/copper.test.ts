// What moves with temperature: copper by IEC 60028, magnets by their coefficient, each stated once.

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  COIL_REFERENCE_C,
  copperFactor,
  ferriteFactor,
  MOTOR_REFERENCE_C,
  motorAt,
} from '../../host/circuit/index.js';
import { awgAreaMm2 } from '../../host/tell/index.js';
import { listFiles, ROOT } from '../rules/source-tree.js';

describe('copper', () => {
  it('rises by 0.393 % of its value at 20 C for each kelvin (IEC 60028)', () => {
    expect(copperFactor(COIL_REFERENCE_C, 20)).toBe(1);
    expect(copperFactor(COIL_REFERENCE_C, 21)).toBeCloseTo(1.00393, 12);
    expect(copperFactor(80, 20)).toBeCloseTo(1 / 1.2358, 12);
  });

  it('gives AWG 18 its 0.823 mm2 (ASTM B258)', () => expect(awgAreaMm2(18)).toBeCloseTo(0.823, 3));

  it('has its coefficient in one file of circuit and judging', () => {
    const stating = ['host/circuit', 'host/judge']
      .flatMap((folder) => listFiles(folder, (name) => name.endsWith('.ts')))
      .filter((path) => /0\.0039|\bREFERENCE_C = |1 \/ 58\b/.test(readFileSync(join(ROOT, path), 'utf8')));
    expect(stating).toEqual(['host/circuit/copper.ts']);
  });
});

describe('a motor that is warm', () => {
  const motor = { resistanceOhm: 1.2, backEmfVsPerRad: 0.03, torqueNmPerA: 0.028 };

  it('is as given at 25 C, the temperature of motor sheets', () => {
    expect(MOTOR_REFERENCE_C).toBe(25);
    expect(motorAt(motor, 25)).toEqual(motor);
  });

  it('has more resistance and, of one magnet, both constants weaker by the same part', () => {
    const { resistanceOhm, backEmfVsPerRad, torqueNmPerA } = motorAt(motor, 75);
    expect(resistanceOhm / motor.resistanceOhm).toBeCloseTo((1 + 0.00393 * 55) / (1 + 0.00393 * 5), 12);
    expect(backEmfVsPerRad / motor.backEmfVsPerRad).toBeCloseTo(ferriteFactor(25, 75), 12);
    expect(torqueNmPerA / motor.torqueNmPerA).toBeCloseTo(0.9, 12);
  });
});
