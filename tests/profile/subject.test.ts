// What is judged, and what hangs on the leads: which combinations load, and how the others are told.

import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { faultsOf, faultsOfUnit, nominalInput, simulatePlan } from '../../host/circuit/index.js';
import { loadUnit } from '../../host/profile/index.js';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'subject-'));
  mkdirSync(join(folder, 'units'));
  mkdirSync(join(folder, 'loads'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const unitWith = (...lines: string[]): (() => unknown) => {
  const text = ['id: u', 'title: U', 'kind: unit', 'circuit: switch-carried-open-rest', ...lines, ''];
  writeFileSync(join(folder, 'units', 'u.yaml'), text.join('\n'));
  return () => loadUnit('u', folder);
};
const loadOf = (resistanceOhm: string, ratedPowerW: number): void => {
  const text = ['id: l', 'title: L', 'kind: load', 'nominalVoltageV: 12', 'origin: generic'];
  text.push(`resistanceOhm: ${resistanceOhm}`, `ratedPowerW: ${ratedPowerW}`, 'longestHoldS: 2', '');
  writeFileSync(join(folder, 'loads', 'l.yaml'), text.join('\n'));
};

describe('what is judged', () => {
  it('is harness with motor when nothing is said', () => {
    expect(loadUnit('window-lift-switch').unit.subject).toBe('harness-with-motor');
  });

  it.each([
    [['subject: harness'], 'neither a motor nor a load is named'],
    [['subject: harness', 'motor: window-lift', 'load: dummy-2-ohm'], 'a motor and a load are both named'],
    [['subject: motor', 'load: dummy-2-ohm'], 'no motor can be judged'],
    [['load: dummy-2-ohm'], 'no harness-with-motor can be judged'],
    [['subject: harnes', 'load: dummy-2-ohm'], 'did you mean harness'],
    [['subject: harness', 'load: dumy-2-ohm'], 'did you mean dummy-2-ohm?'],
  ])('is refused with the mend: %j', (lines, told) => {
    expect(unitWith(...lines)).toThrow(told);
  });

  it.each([
    ['more than the trip, 13 V / 0.4 Ohm = 32.5 A', '0.4', 500, 'the rig trips at 30 A'],
    ['too light to load a joint, 13 V / 20 Ohm = 0.65 A', '20', 50, 'too little to show a bad joint'],
    ['over five times its rating, 13 V squared / 2 Ohm = 84.5 W', '2', 16, 'more than 5 times its rating'],
  ])('refuses a load of %s', (_name, ohm, watt, told) => {
    loadOf(ohm, watt);
    expect(unitWith('subject: harness', 'load: l')).toThrow(told);
  });

  it('holds the plan to what the load bears', () => {
    loadOf('2', 50);
    mkdirSync(join(folder, 'plans'), { recursive: true });
    const steps = '  - { position: forward, durationS: 3 }';
    writeFileSync(
      join(folder, 'plans', 'long.yaml'),
      `id: long\ntitle: Long\nkind: plan\nsteps:\n${steps}\n`,
    );
    expect(unitWith('subject: harness', 'load: l', 'plan: long')).toThrow('3 s is too long a throw');
  });
});

describe('a known load in place of the motor', () => {
  const unit = loadUnit('relay-pair-harness-load');

  it("draws by Ohm's law from what stands at the leads, and nothing after", () => {
    const capture = simulatePlan(nominalInput(unit), unit.plan);
    const at = (timeS: number, channel: 'motorCurrentA' | 'leadAVoltageV' | 'leadBVoltageV'): number =>
      capture.channels[channel]![Math.round(timeS * capture.sampleRateHz)]!;
    // The full feed throws forward from 1.55 to 2.45 s and in reverse from 3.15 to 4.05 s: sums of the plan's steps.
    for (const [timeS, sign] of [
      [2.3, 1],
      [3.9, -1],
    ] as const) {
      const voltageV = at(timeS, 'leadAVoltageV') - at(timeS, 'leadBVoltageV');
      expect(Math.abs(voltageV)).toBeGreaterThan(11);
      expect(at(timeS, 'motorCurrentA') / (voltageV / 2)).toBeCloseTo(1, 3);
      expect(Math.sign(voltageV)).toBe(sign);
    }
    expect(Math.abs(at(2.9, 'motorCurrentA'))).toBeLessThan(1e-3);
  });

  it('has faults of the harness and of the load, none of the motor', () => {
    const ids = faultsOfUnit(unit).map(({ id }) => id);
    expect(ids).toContain('load-open');
    expect(ids).toContain('leads-bridged');
    expect(ids).toContain('k1-coil-open');
    expect(ids.filter((id) => /^motor-(?!leads)/.test(id))).toEqual([]);
    const withMotor = faultsOf(unit.style).map(({ id }) => id);
    expect(withMotor).toContain('motor-open');
    expect(
      withMotor
        .filter((id) => !ids.includes(id))
        .every((id) => id.startsWith('motor-') || id === 'second-motor'),
    ).toBe(true);
  });
});
