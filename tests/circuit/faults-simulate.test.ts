// Every fault of every style through `simulate --fault`, on a short plan: it runs and gives numbers. What it gives is
// held against tables in faults-dictionary.test.ts and others.

import { mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';
import { faultsOf, faultsOfUnit, nominalInput, simulatePlan } from '../../host/circuit/index.js';
import { command as simulateCommand } from '../../host/commands/verbs/simulate.js';
import { call } from '../commands/call.js';
import { plannedUnit } from '../profile/planned-unit.js';
import { readStyle, styleIds } from './symptom-bench.js';

const folder = mkdtempSync(join(tmpdir(), 'throwbench-every-fault-'));
afterAll(() => rmSync(folder, { recursive: true }));
mkdirSync(join(folder, 'plans'));
writeFileSync(
  join(folder, 'plans', 'short.yaml'),
  `id: short
title: Short
kind: plan
steps:
  - { position: rest, durationS: 0.02, feed: limited }
  - { position: forward, durationS: 0.04, feed: limited }
  - { position: rest, durationS: 0.3, feed: limited }
  - { position: reverse, durationS: 0.04, feed: limited }
  - { position: rest, durationS: 0.2, feed: limited }
  - { position: rest, durationS: 0.1, feed: full }
  - { position: forward, durationS: 0.15, feed: full }
  - { position: rest, durationS: 0.3, feed: full }
  - { position: reverse, durationS: 0.15, feed: full }
  - { position: rest, durationS: 0.1, feed: full }
`,
);

/** A unit of any style, small enough a motor for all of them. */
function unitOf(circuit: string): string {
  const path = join(folder, `${circuit}.yaml`);
  const relay = readStyle(circuit).elements.some(({ kind }) => kind === 'relay')
    ? 'relay: mini-changeover, '
    : '';
  writeFileSync(
    path,
    `{ id: ${circuit}, title: Any, kind: unit, circuit: ${circuit}, motor: seat-slide, ${relay}plan: short }\n`,
  );
  return path;
}

const simulated = (profile: string, fault: string) =>
  call(simulateCommand, ['--profile', profile, '--fault', fault, '--json'], folder);

const UNITS = readdirSync(fileURLToPath(new URL('../../profiles/units', import.meta.url)))
  .filter((name) => name.endsWith('.yaml'))
  .map((name) => basename(name, '.yaml'));
const STYLES = styleIds();

it('covers the nine styles and four units that ship', () => {
  expect(STYLES.length).toBeGreaterThanOrEqual(9);
  expect(UNITS.length).toBeGreaterThanOrEqual(4);
});

describe.each([...UNITS, ...STYLES])('every fault of %s', (name) => {
  const profile = UNITS.includes(name) ? name : unitOf(name);
  const unit = plannedUnit(profile);
  const faults = faultsOfUnit(unit);

  it(`runs in simulate (${faults.length} faults)`, async () => {
    for (const { id } of faults) {
      const { code, stdout, stderr } = await simulated(profile, id);
      expect({ id, code, stderr }).toEqual({ id, code: 0, stderr: '' });
      const { faults: told, steps } = JSON.parse(stdout);
      expect(told).toEqual([id]);
      for (const { atEnd, peakMotorCurrentA } of steps) {
        // JSON writes a number that is none as null.
        for (const value of [...Object.values(atEnd), peakMotorCurrentA])
          expect(value, id).toBeTypeOf('number');
      }
    }
  });
});

describe.each(STYLES)('every fault of style %s', (circuit) => {
  const unit = plannedUnit(unitOf(circuit));
  const places = [undefined, ...Object.keys(unit.style.stations)];

  it('gives a number at every sample, from every station', () => {
    for (const fault of faultsOf(unit.style)) {
      for (const station of places) {
        const { channels } = simulatePlan({ ...nominalInput(unit), faults: [fault] }, unit.plan, {
          sampleRateHz: 1000,
          ...(station === undefined ? {} : { station }),
        });
        for (const [name, values] of Object.entries(channels)) {
          expect(values.every(Number.isFinite), `${fault.id} ${name} ${station ?? ''}`).toBe(true);
        }
      }
    }
  });
});
