// Parts whose own voltage is another one than the build's are named, and nothing that is told for 12 V is suggested at 24 V.

import { describe, expect, it } from 'vitest';
import { type Build, builtInput, plannedCurrents, ratingsOf } from '../../host/plan/index.js';
import { loadParts, loadUnit, type Parts, systemOf } from '../../host/profile/index.js';

const PARTS = loadParts();
const BUILD: Build = {
  wire: { lengthM: 1, areaMm2: 2.5 },
  ...{ dropPercent: 3, nominalVoltageV: 12, ambientC: 20, duty: 'short' },
  protector: { opensFromS: 4, opensToS: 90 },
  parts: PARTS,
};
const at = (supplyV: number, own: Partial<Build> = {}, declared = {}) => {
  const unit = loadUnit('entry-step-relays');
  const build: Build = { ...BUILD, ...own };
  const input = { ...builtInput(unit, supplyV), temperatureC: 20 };
  return ratingsOf(input, plannedCurrents(unit, supplyV, declared), build);
};
const notes = ({ rows }: ReturnType<typeof at>) => rows.flatMap((row) => row.notes).join(' ');

describe('the system of a supply', () => {
  it.each([
    // BS ISO 16750-2:2010, tables 1 and 2: at most 16 V of 12 V systems, 32 V of 24 V ones.
    [12.6, 12],
    // Old vehicles, charged with up to 7.5 V: common practice, no source.
    [6.3, 6],
    [7.5, 6],
    [10.8, 12],
    [16, 12],
    [16.1, 24],
    [32, 24],
    [48, 48],
  ])('of %s V is %s V', (supplyV, systemV) => {
    expect(systemOf(supplyV)).toBe(systemV);
  });
});

describe('a build of 12 V parts', () => {
  it('says nothing up to the most that a 12 V system gives', () => {
    expect(at(16).voltages).toEqual([]);
  });

  it('at 24 V names the motor and the relays, and bears neither', () => {
    const { voltages } = at(24);
    expect(voltages.map(({ title, bearing }) => [title, bearing])).toEqual([
      ['motor', 'does-not-bear'],
      ['K1 and K2', 'does-not-bear'],
    ]);
    // Ohm's law: twice the voltage, twice the current and four times the heat.
    expect(voltages[0]?.sentence).toMatch(/about 2 times its usual current/);
    expect(voltages[1]?.sentence).toMatch(
      /K1 and K2 are of 12 V, .* their coils take 4 times the heat\. Take relays of 24 V\./,
    );
  });

  it('with a motor of 6 V names it at 12 V, and stands on 6 V where nobody tells the supply', () => {
    const { motor, ...unit } = loadUnit('entry-step-relays');
    const six = { ...unit, motor: { ...motor, nominalVoltageV: 6 } };
    const build: Build = { ...BUILD, nominalVoltageV: 6 };
    const rated = (supplyV?: number) => {
      const input = builtInput(six, supplyV);
      return ratingsOf(input, plannedCurrents(six, input.supply.voltageV, {}), build).voltages;
    };
    // Ohm's law: twice the voltage, twice the current.
    expect(rated(12)[0]?.sentence).toMatch(/made for 6 V, and the supply gives 12 V: it draws about 2 times/);
    // A rig's 13 V of 12 V are 6.5 V of 6 V: no coil of 12 V pulls in there (7.5 V at the least, dtsheet.com/doc/683074).
    expect(builtInput(six).supply.voltageV).toBeCloseTo(6.5, 6);
    expect(rated().map(({ sentence }) => sentence)).toEqual([
      'K1 and K2 are of 12 V, and the supply gives 6.5 V: their coils do not pull in. Take relays of 6 V.',
    ]);
  });

  it('of which the currents were told leaves the motor open', () => {
    const [motor] = at(24, {}, { runningA: 3, heldA: 12 }).voltages;
    expect(motor).toMatchObject({ title: 'motor', bearing: 'not-known' });
  });

  it('is suggested no switch or relay at 24 V, and a declared rating must be told for that', () => {
    const result = at(24, { switchA: 5 });
    for (const kind of ['small-switch', 'make'] as const)
      expect(result.rows.find((row) => row.kind === kind)).not.toHaveProperty('suggested');
    expect(notes(result)).toMatch(/its sheet must tell 5 A at 24 V: told for 12 V, it opens less\./);
    // Of relays that nobody lists nothing is certain.
    expect(result.rows.find(({ kind }) => kind === 'make')).toMatchObject({ bearing: 'not-known' });
    // Blade fuses open up to 32 V: ISO 8820-3, value from memory.
    expect(result.rows.find(({ kind }) => kind === 'feed')?.suggested).toHaveLength(1);
    expect(notes(at(13, { switchA: 5 }))).not.toMatch(/told for 12 V/);
  });

  it('takes own parts that are told for 24 V, and no fuse that is not', () => {
    const usual = { origin: 'generic', source: 'its sheet' } as const;
    const parts: Parts = {
      ...PARTS,
      switches: [...PARTS.switches, { id: 'own', title: 'rocker at 24 V', carryA: 6, ratedV: 24, ...usual }],
      fuses: [{ id: 'own', title: 'fuse at 12 V', ratedA: 20, ratedV: 12, ...usual }],
    };
    const { rows } = at(24, { parts });
    expect(rows.find(({ kind }) => kind === 'small-switch')?.suggested).toMatchObject([{ id: 'own' }]);
    expect(rows.find(({ kind }) => kind === 'feed')).not.toHaveProperty('suggested');
  });
});

describe('a build whose motor is of 24 V', () => {
  const unit = loadUnit('entry-step-relays');
  const step = { ...unit, motor: { ...unit.motor, nominalVoltageV: 24 } };

  it('stands on a supply of 24 V where nobody tells it, in the ratio of the rig to 12 V', () => {
    const ratio = builtInput(unit).supply.voltageV / 12;
    expect(builtInput(step).supply.voltageV).toBeCloseTo(24 * ratio, 9);
    expect(builtInput(step, 13).supply.voltageV).toBe(13);
  });

  it('names a relay of 12 V there', () => {
    const build: Build = {
      wire: { lengthM: 1, areaMm2: 2.5 },
      ...{ dropPercent: 3, nominalVoltageV: 24, ambientC: 20, duty: 'short' },
      protector: { opensFromS: 4, opensToS: 90 },
      parts: PARTS,
    };
    const found = (supplyV?: number) =>
      ratingsOf(builtInput(step, supplyV), plannedCurrents(step, 26, {}), build).voltages.map(
        ({ title }) => title,
      );
    expect(found()).toEqual(['K1 and K2']);
    expect(found(13)).toEqual(['motor']);
  });
});
