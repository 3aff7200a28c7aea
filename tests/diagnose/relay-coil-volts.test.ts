// A relay for another voltage in a 12 V circuit, and two shorts that no reading of the rig tells apart. Coils of one size
// have resistances that go with the square of their voltage (same ampere turns and copper). For 12 V 75 to 100 Ohm (relay
// sheets dtsheet.com/doc/683074 and 683071, fooclesmod.com/?p=22940); 250 to 360 Ohm for 24 V, and how readily one pulls
// in, are common practice, no source.

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { UnitCircuitInput } from '../../host/circuit/index.js';
import { drawInput, seededRandom } from '../../host/circuit/index.js';
import { type DiagnosisLibrary, diagnosisLibrary } from '../../host/diagnose/index.js';
import { type Expectation, judge } from '../../host/judge/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { shortFinder } from '../accuracy/bench-run.js';
import { runDirectly } from '../accuracy/direct-run.js';
import { withFaults } from '../circuit/with-faults.js';
import { benchRun } from '../judge/bench.js';
import { expectationOf } from '../judge/known-expectations.js';
import { knownUnit } from '../profile/known-unit.js';

interface Bench {
  unit: ResolvedUnit;
  expected: Expectation;
  library: DiagnosisLibrary;
}
const benchOf = (ref: string): Bench => {
  const unit = knownUnit(ref);
  return { unit, expected: expectationOf(unit, 40), library: diagnosisLibrary(unit) };
};
let folder: string;
let pair: Bench;
let single: Bench;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-coil-volts-'));
  const path = join(folder, 'single.yaml');
  writeFileSync(
    path,
    'id: single\ntitle: Single\nkind: unit\ncircuit: single-relay\nmotor: entry-step\nrelay: mini-changeover\n',
  );
  pair = benchOf('entry-step-relays');
  single = benchOf(path);
}, 60_000);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** A run with this fault at K1 on a supply, and a relay that pulls in at this part of its usual voltage. */
function found(
  { unit, expected, library }: Bench,
  fault: string,
  supplyV: number,
  pullIn: number,
  seed: number,
) {
  const drawn = drawInput(unit, seededRandom(seed));
  const relay = drawn.relays!.k1!;
  const input: UnitCircuitInput = {
    ...drawn,
    supply: { ...drawn.supply, voltageV: supplyV },
    relays: { ...drawn.relays, k1: { ...relay, pullInVoltageV: relay.pullInVoltageV * pullIn } },
  };
  const { capture, stop } = benchRun(unit, withFaults(input, fault), { seed });
  return judge({ unit, capture, stop, expectation: expected, library: () => library });
}

describe('a 24 V relay in a 12 V circuit', () => {
  it.each([
    ['pulls in on a charging battery', 14.2, 0.8, true],
    ['does not pull in', 12, 1.1, false],
  ] as const)('is named when it %s (seeds 3 to 6)', (_, supplyV, pullIn, pulls) => {
    for (const bench of [pair, single]) {
      for (let seed = 3; seed <= 6; seed++) {
        const { verdict, measured, findings } = found(bench, 'k1-coil-24v', supplyV, pullIn, seed);
        expect(Math.abs(measured.forwardMotorCurrentA!.value) > 1).toBe(pulls);
        expect(verdict).toBe('fail');
        const [first] = findings;
        expect([first!.id, ...(first!.inseparable ?? [])]).toContain('k1-coil-24v');
      }
    }
  });

  it('is not accused for a good relay on either supply (seeds 3 to 6)', () => {
    for (const supplyV of [11.5, 14.2]) {
      for (let seed = 3; seed <= 6; seed++) {
        const { unit, expected, library } = pair;
        const drawn = drawInput(unit, seededRandom(seed));
        const input = { ...drawn, supply: { ...drawn.supply, voltageV: supplyV } };
        const { capture, stop } = benchRun(unit, input, { seed });
        expect(judge({ unit, capture, stop, expectation: expected, library: () => library }).verdict).toBe(
          'pass',
        );
      }
    }
  });
});

describe('a 6 V relay in a 12 V circuit', () => {
  it('is named by its coil current (seeds 3 to 6)', () => {
    for (let seed = 3; seed <= 6; seed++)
      expect(found(pair, 'k1-coil-6v', 13, 1, seed).findings[0]!.id).toBe('k1-coil-6v');
  });
});

describe('a motor that one relay switches, its other lead on ground', () => {
  it.each(['motor-shorted', 'motor-winding-a-to-case'])(
    'has %s told with its like: either way lead A is on ground (virtual bench, seeds 3 to 6)',
    (fault) => {
      const { unit, expected, library } = single;
      for (let seed = 3; seed <= 6; seed++) {
        const gate = shortFinder(unit);
        const virtualCase = { id: 'any', title: 'Any', kind: 'case', seed, faults: [fault] } as const;
        const run = runDirectly(
          {
            unit,
            truth: fault,
            seed,
            virtualCase: { ...virtualCase, faults: [fault], motorScale: {}, supply: {}, temperatureC: 20 },
          },
          (soFar) => gate(soFar) !== undefined,
        );
        const { findings } = judge({ unit, ...run, expectation: expected, library: () => library });
        const told = findings.filter(({ likelihood }) => likelihood > 0.02);
        const ids = told.flatMap(({ id, inseparable = [] }) => [id, ...inseparable]);
        expect(ids).toContain('motor-shorted');
        expect(ids).toContain('motor-winding-a-to-case');
        // A sense clip of lead A that is off reads the same through the limited feed; nothing else is told.
        const alike = [
          'sense-clip-a-off',
          'lead-a-shorted-to-ground',
          'motor-shorted',
          'motor-winding-a-to-case',
        ];
        expect(ids.filter((id) => !alike.includes(id))).toEqual([]);
      }
    },
  );
});
