// The next probe parts the causes that the run could not: each of them put on the model reads what the sentence says,
// and the information of equally likely causes that all read differently is the logarithm of their number (Shannon).

import { beforeAll, describe, expect, it } from 'vitest';
import { drawInput, seededRandom } from '../../host/circuit/index.js';
import {
  type DiagnosisLibrary,
  diagnose,
  diagnosisLibrary,
  faultsNotShown,
  hypothesesOf,
  nextProbeOf,
} from '../../host/diagnose/index.js';
import { measure } from '../../host/measure/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { everyProfile } from '../accuracy/random-unit.js';
import { withFaults } from '../circuit/with-faults.js';
import { benchRun } from '../judge/bench.js';
import { plannedUnit } from '../profile/planned-unit.js';

let unit: ResolvedUnit;
let library: DiagnosisLibrary;
beforeAll(() => {
  unit = plannedUnit('window-lift-switch');
  library = diagnosisLibrary(unit);
}, 60_000);

const findings = (fault: string, seed: number) => {
  const run = benchRun(unit, withFaults(drawInput(unit, seededRandom(seed)), fault), { seed });
  return diagnose({ library, seen: measure(run.capture, { rig: unit.rig }), stop: run.stop });
};

const candidatesOf = (of: ResolvedUnit, ids: readonly string[]) =>
  hypothesesOf(of)
    .filter(({ id }) => ids.includes(id))
    .map((hypothesis) => ({ hypothesis, weight: 1, answers: {} }));

describe('the next probe', () => {
  it('tells the missing jumper from the open contact by the drop across that contact (seed 9501)', () => {
    const [first] = findings('jumper-a2-b1-missing', 9501);
    expect(first?.inseparable).toContain('switch-pole-1-b1-open');
    expect(first?.nextProbe).toMatch(/c1 of the switch to b1 of the switch, reverse/);
    expect(first?.nextProbe).toMatch(/0\.0 V: jumper a2-b1 is missing/);
    expect(first?.nextProbe).toMatch(/1[23]\.\d V: contact c1-b1 of the switch does not close/);
  });

  it('gives one bit for two equal causes that read differently, log2 3 for three', () => {
    const relays = plannedUnit('entry-step-relays');
    const two = nextProbeOf(relays, candidatesOf(relays, ['k2-coil-open', 'trigger-reverse-open']));
    expect(two?.bits).toBeCloseTo(1, 9);
    const three = nextProbeOf(
      relays,
      candidatesOf(relays, ['k2-coil-open', 'trigger-reverse-open', 'k2-86-coil-feed-open']),
    );
    expect(three?.bits).toBeCloseTo(Math.log2(3), 9);
    expect(three?.sentence).toMatch(/K2/);
  });

  it('is left to the finding itself when only one cause is likely', () => {
    const relays = plannedUnit('entry-step-relays');
    expect(nextProbeOf(relays, candidatesOf(relays, ['k2-coil-open']))).toBeUndefined();
  });
});

describe('the proof of a finding', () => {
  it.each([
    ['ground-resistance', /Lead [AB], (?:forward|reverse)/, 9511],
    ['ground-open', /Lead [AB], (?:forward|reverse).*1\d\.\d V, a good unit 0\.\d V/, 9512],
    ['motor-rotor-locked', /a good unit/, 9513],
  ])(
    'of %s names one or two readings that a good unit does not give',
    (fault, words, seed) => {
      const [first] = findings(fault, seed);
      expect([first?.id, ...(first?.inseparable ?? [])]).toContain(fault);
      expect(first?.proof?.length).toBeGreaterThan(0);
      expect(first?.proof?.length).toBeLessThanOrEqual(2);
      expect(first?.proof?.join(' ')).toMatch(words);
    },
    30_000,
  );
});

describe('what a plan cannot show', () => {
  it('is nothing on a six-terminal switch', () => {
    expect(faultsNotShown(library, {})).toEqual([]);
  });

  it('is the second switch where only the first is thrown', () => {
    const [two] = everyProfile(['roof-vent'], {
      limits: 'known',
      styles: ['main-and-remote-switch'],
    });
    const hidden = faultsNotShown(diagnosisLibrary(two!), {});
    expect(hidden).toEqual(expect.arrayContaining(['remote-feed-open', 'remote-a-thrown-open']));
    expect(hidden.filter((id) => /^(?:main|motor|feed|ground)-/.test(id))).toEqual([]);
  });
});
