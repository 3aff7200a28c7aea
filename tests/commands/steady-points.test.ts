// A table of steady points in place of a capture. RS775-125 at 12 V (wpilib DCMotor): stall 18 A, free 1.6 A at 5800 rpm,
// so that R = 12 / 18 and ke = (12 - 1.6 R) / (5800 rpm in rad/s).

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { command } from '../../host/commands/verbs/measure.js';
import { call } from './call.js';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-steady-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function told(text: string, ...more: string[]) {
  writeFileSync(join(folder, 'points.csv'), text);
  return call(command, ['points.csv', '--json', ...more], folder);
}
const R = 12 / 18;
const KE = (12 - 1.6 * R) / ((5800 * 2 * Math.PI) / 60);

describe('a table of steady points', () => {
  it('gives resistance and back-EMF constant of a catalogue motor, with the table’s own rounding as the least ±', async () => {
    const { code, stdout } = await told(
      'voltage_V,current_A,speed_rpm\n12.0,18.0,0\n12.0,1.6,5800\n6.0,9.0,0\n',
    );
    expect(code).toBe(0);
    const { model, notes } = JSON.parse(stdout);
    expect(model.resistanceOhm.value).toBeCloseTo(R, 6);
    expect(model.backEmfVsPerRad.value).toBeCloseTo(KE, 6);
    // 0.1 V / sqrt(12) at 18 A is 1.6 mOhm; two such points tell it together.
    expect(model.resistanceOhm.expandedUncertainty).toBeGreaterThan(0.002);
    expect(model.resistanceOhm.expandedUncertainty).toBeLessThan(0.01);
    expect(notes.join(' ')).toContain('rounded to the digits');
  });

  it('takes the speed in rad/s alike, and torques from a braked shaft', async () => {
    // kt = 0.0155556 Nm/A: what flows beyond friction carries the load.
    const kt = 0.0155556;
    const rows = [400, 450, 500, 550, 600].map((w, k) => {
      const load = [0, 0.06, 0.02, 0.09, 0.04][k] ?? 0;
      const amperes = 0.5 + 0.0018 * w + load / kt;
      return `${(R * amperes + KE * w).toFixed(4)};${amperes.toFixed(4)};${w};${load.toFixed(3)}`;
    });
    const { stdout } = await told(`voltage_V;current_A;speed_rad_s;torque_Nm\n${rows.join('\n')}\n`);
    const { model } = JSON.parse(stdout);
    for (const [name, truth] of [
      ['resistanceOhm', R],
      ['backEmfVsPerRad', KE],
      ['torqueNmPerA', kt],
      ['coulombNm', 0.5 * kt],
    ] as const)
      expect(Math.abs(model[name].value - truth), name).toBeLessThanOrEqual(model[name].expandedUncertainty);
    expect(model.torqueNmPerA.expandedUncertainty).toBeLessThan(0.02 * kt);
  });

  it('refuses points that do not tell the two apart, and a cell without a number, by line and column', async () => {
    await expect(told('voltage_V,current_A,speed_rpm\n12,1.6,5800\n')).rejects.toThrow(
      'points.csv: 1 points do not tell resistance and back-EMF constant apart',
    );
    await expect(told('voltage_V,current_A,speed_rpm\n12,1.6,5800\n12,x,0\n')).rejects.toThrow(
      'points.csv:3: current_A: no number stands here',
    );
  });
});
