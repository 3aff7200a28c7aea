// The profiles that come with the program load, fit each other, and say what their comments say.

import { execFileSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import {
  FOLDERS,
  jsonSchemaOf,
  listProfiles,
  loadCase,
  loadTray,
  loadUnit,
  type ProfileKind,
  plainValues,
  SCHEMAS,
} from '../../host/profile/index.js';

const kinds = Object.keys(FOLDERS) as ProfileKind[];
let folder: string | undefined;
afterEach(() => {
  if (folder) rmSync(folder, { recursive: true, force: true });
  folder = undefined;
  delete process.env.THROWBENCH_PROFILES;
});

describe('profiles that come with the program', () => {
  it.each(kinds)('load without a fault: %s', (kind) => {
    const found = listProfiles(kind);
    expect(found.length).toBeGreaterThan(0);
    expect(found.filter(({ fault }) => fault !== undefined)).toEqual([]);
  });

  it('resolve every unit of the demo tray and its virtual case', () => {
    const { units } = loadTray('tray');
    expect(units.length).toBeGreaterThanOrEqual(9);
    for (const { profile, virtual } of units) {
      const unit = loadUnit(profile);
      expect(unit.relay !== undefined).toBe(unit.style.elements.some(({ kind }) => kind === 'relay'));
      expect(loadCase(virtual!).seed).toBeGreaterThan(0);
    }
    expect(new Set(units.map(({ profile }) => loadUnit(profile).style.id)).size).toBe(2);
  });

  // Steady state of a permanent-magnet motor on its supply, all friction inside: kt I = Tc + b w, V - Vb = R I + ke w.
  it.each([
    ['roof-vent-switch', 1, 5.3],
    ['entry-step-relays', 4.6, 18],
    ['seat-slide-relays', 2.5, 11.9],
    ['window-lift-switch', 3.5, 15.4],
  ])('have a motor that runs and stalls as its comment says: %s', (id, runA, heldA) => {
    const { motor, rig, unit } = loadUnit(id);
    const m = plainValues(motor);
    const copper = (2 * unit.wiring.lengthM * 0.017241) / unit.wiring.areaMm2!; // IEC 60028: 1/58 Ohm mm2/m at 20 C
    const pathOhm =
      rig.supply.sourceResistanceOhm +
      rig.feedShuntOhm +
      rig.feedContactOhm +
      rig.motorShuntOhm +
      0.01 +
      copper;
    const supplyV = plainValues(rig).supply.voltageV;
    const driveV = supplyV - m.brushDropV;
    const ohm = m.resistanceOhm + pathOhm;
    const currentA =
      (m.coulombNm * m.backEmfVsPerRad + m.viscousNms * driveV) /
      (m.torqueNmPerA * m.backEmfVsPerRad + m.viscousNms * ohm);
    const backEmfV = driveV - ohm * currentA;
    expect(currentA / runA).toBeCloseTo(1, 1);
    expect(driveV / ohm / heldA).toBeCloseTo(1, 1);
    // Common practice, no source: back-EMF of a free run is 0.75 to 0.86 of the terminal voltage.
    expect(backEmfV / (supplyV - pathOhm * currentA)).toBeGreaterThan(0.75);
    expect(backEmfV / (supplyV - pathOhm * currentA)).toBeLessThan(0.86);
    expect(m.torqueNmPerA / m.backEmfVsPerRad).toBeGreaterThan(0.9);
    expect(m.torqueNmPerA / m.backEmfVsPerRad).toBeLessThanOrEqual(1);
    const settlingS = (4 * m.inertiaKgM2) / ((m.torqueNmPerA * m.backEmfVsPerRad) / ohm + m.viscousNms);
    expect(settlingS).toBeGreaterThan(0.05);
    expect(settlingS).toBeLessThan(0.15);
  });

  it('have a relay inside the published limits of its class', () => {
    const relay = loadUnit('entry-step-relays').relay!;
    const range = (value: typeof relay.operateS): [number, number] =>
      typeof value === 'number'
        ? [value, value]
        : [
            value.nominal * (1 - value.tolerancePercent / 100),
            value.nominal * (1 + value.tolerancePercent / 100),
          ];
    // dtsheet.com/doc/683074: pull-in at most 8 V, operate 10 ms, release 7 ms, 50 mV at 10 A on either contact.
    expect(range(relay.pullInVoltageV)[1]).toBeLessThanOrEqual(8);
    expect(range(relay.operateS)[1]).toBeLessThanOrEqual(0.01);
    expect(range(relay.releaseS)[1]).toBeLessThanOrEqual(0.007);
    expect(range(relay.makeResistanceOhm)[1] * 10).toBeLessThanOrEqual(0.05);
    expect(range(relay.breakResistanceOhm)[1] * 10).toBeLessThanOrEqual(0.05);
    // dtsheet.com/doc/683071: drop-out at least 1.2 V.
    expect(range(relay.dropOutVoltageV)[0]).toBeGreaterThanOrEqual(1.2);
    expect(range(relay.coilResistanceOhm)[0]).toBeGreaterThanOrEqual(80);
    expect(range(relay.coilResistanceOhm)[1]).toBeLessThanOrEqual(90);
  });

  it('name no maker: no capitals beyond titles and units in their ids', () => {
    for (const kind of kinds) for (const { id } of listProfiles(kind)) expect(id).toMatch(/^[a-z0-9-]+$/);
  });
});

describe('where profiles are looked for', () => {
  it('finds the user’s own folder first, and lets it lean on the program’s profiles', () => {
    folder = mkdtempSync(join(tmpdir(), 'throwbench-own-'));
    mkdirSync(join(folder, 'units'));
    const own =
      'id: shed-vent\ntitle: Vent of the shed\nkind: unit\ncircuit: switch-carried-open-rest\nmotor: roof-vent\n';
    writeFileSync(join(folder, 'units', 'shed-vent.yaml'), own);
    expect(() => loadUnit('shed-vent')).toThrow(/no unit of this id/);
    process.env.THROWBENCH_PROFILES = folder;
    expect(loadUnit('shed-vent').motor.id).toBe('roof-vent');
    expect(listProfiles('unit').map(({ id }) => id)).toContain('shed-vent');
    delete process.env.THROWBENCH_PROFILES;
    expect(loadUnit('shed-vent', folder).unit.title).toBe('Vent of the shed');
  });

  it('says so when the user’s own folder is not there', () => {
    process.env.THROWBENCH_PROFILES = '/nowhere/at/all';
    expect(() => loadUnit('roof-vent-switch')).toThrow(
      /^THROWBENCH_PROFILES=\/nowhere\/at\/all: no such folder; name a folder with units\/, motors\/ and so on in it$/,
    );
  });

  it('takes a motor that lies beside the unit file before the program’s own', () => {
    folder = mkdtempSync(join(tmpdir(), 'throwbench-beside-'));
    cpSync('profiles/units', join(folder, 'units'), { recursive: true });
    cpSync('profiles/motors', join(folder, 'motors'), { recursive: true });
    const path = join(folder, 'motors', 'roof-vent.yaml');
    writeFileSync(path, readFileSync(path, 'utf8').replace('title: Roof vent motor', 'title: Changed'));
    expect(loadUnit(join(folder, 'units', 'roof-vent-switch.yaml')).motor.title).toBe('Changed');
    expect(loadUnit('roof-vent-switch').motor.title).toBe('Roof vent motor');
  });

  it('does not hang on the working folder', () => {
    const script =
      "import('./host/profile/index.ts').then((p) => { process.chdir('/'); console.log(p.loadUnit('roof-vent-switch').unit.id); });";
    const out = execFileSync(process.execPath, ['--import', 'tsx', '-e', script], { encoding: 'utf8' });
    expect(out.trim()).toBe('roof-vent-switch');
  });
});

describe('JSON Schema of profiles', () => {
  it.each(kinds)('describes %s for other programs, 2020-12', (kind) => {
    const schema = jsonSchemaOf(SCHEMAS[kind]);
    expect(schema.$schema).toBe('https://json-schema.org/draft/2020-12/schema');
    expect(schema.type).toBe('object');
    expect(schema.additionalProperties).toBe(false);
    expect(schema.required).toEqual(expect.arrayContaining(['id', 'title', 'kind']));
  });
});

describe('plain values', () => {
  it('puts nominals in place of tolerances and leaves the rest', () => {
    const { motor, rig } = loadUnit('roof-vent-switch');
    const values = plainValues(motor);
    expect(values.resistanceOhm).toBe(2.2);
    expect(values.title).toBe(motor.title);
    expect(typeof motor.resistanceOhm).toBe('object');
    expect(plainValues(rig).supply).toEqual({ voltageV: 13, sourceResistanceOhm: 0.04 });
  });

  it('leaves the files under profiles/ with the endings they are looked up by', () => {
    for (const folders of Object.values(FOLDERS)) {
      for (const name of folders) {
        expect(readdirSync(join('profiles', name)).filter((file) => !/\.yaml$|^cases$/.test(file))).toEqual(
          [],
        );
      }
    }
  });
});
