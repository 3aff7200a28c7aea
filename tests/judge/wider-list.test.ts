// What was added to the list of faults is found at a bench with noise, rounding and rig errors: named first, or in the
// first group that the readings cannot part. What a run cannot tell is said and not weighed. How each fault shows is
// the circuit's own doing; that such faults occur is common practice, no source.

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { drawInput, faultById, notWeighedOf, seededRandom } from '../../host/circuit/index.js';
import { type DiagnosisLibrary, diagnosisLibrary } from '../../host/diagnose/index.js';
import { judge } from '../../host/judge/index.js';
import { loadUnit, type ResolvedUnit } from '../../host/profile/index.js';
import { withKnownMotor } from '../profile/known-unit.js';
import { benchRun } from './bench.js';
import { expectationOf } from './known-expectations.js';

const folder = mkdtempSync(join(tmpdir(), 'throwbench-wider-'));
afterAll(() => rmSync(folder, { recursive: true }));
const SEED = 93;
const SLOW_MS = 240_000;

function unitOf(lines: string): ResolvedUnit {
  const id = `any-${lines.length}`;
  const path = join(folder, `${id}.yaml`);
  writeFileSync(path, `id: ${id}\ntitle: Any unit\nkind: unit\n${lines}`);
  return withKnownMotor(loadUnit(path));
}
const RELAYS = unitOf('circuit: relay-pair-positive-thrown\nmotor: entry-step\nrelay: mini-changeover\n');
const SWITCH = unitOf('circuit: switch-motor-on-commons\nmotor: roof-vent\n');
const BY_HAND = unitOf('circuit: switch-motor-on-commons\nmotor: roof-vent\nthrowBy: operator\n');

const libraries = new Map<ResolvedUnit, DiagnosisLibrary>();
function judged(unit: ResolvedUnit, fault?: string) {
  const library = libraries.get(unit) ?? diagnosisLibrary(unit);
  libraries.set(unit, library);
  const input = drawInput(unit, seededRandom(SEED));
  const faults = fault === undefined ? [] : [faultById(unit, fault)];
  const { capture, stop } = benchRun(unit, { ...input, faults }, { seed: SEED });
  return judge({ unit, capture, stop, expectation: expectationOf(unit, 40), library: () => library });
}

describe(`a unit drawn with seed ${SEED}`, () => {
  it.each([
    ['second-motor', RELAYS],
    ['lead-a-lamp-feeds-back', RELAYS],
    ['lead-b-lamp-feeds-back', RELAYS],
    ['motor-protector-weak', RELAYS],
    ['motor-split-field', RELAYS],
    ['motor-sensor-pins', RELAYS],
    ['coil-ground-on-bad-motor-ground', RELAYS],
    ['motor-wet', SWITCH],
    ['main-fuse-blown', SWITCH],
    ['jumpers-missing', SWITCH],
    ['jumpers-a1-a2-b2-b1', SWITCH],
    ['switch-both-forward-burnt', SWITCH],
    ['switch-both-reverse-open', SWITCH],
  ])('with %s is not passed, and that stands in the first finding', { timeout: SLOW_MS }, (fault, unit) => {
    const { verdict, findings } = judged(unit, fault);
    expect(verdict).not.toBe('pass');
    const [first] = findings;
    expect(
      [first?.id, ...(first?.inseparable ?? [])],
      JSON.stringify(findings.map(({ id }) => id)),
    ).toContain(fault);
  });

  it.each([
    ['relays', RELAYS],
    ['switch', SWITCH],
  ])('and nothing wrong passes: %s', { timeout: SLOW_MS }, (_, unit) => {
    expect(judged(unit).verdict).toBe('pass');
  });
});

describe('what no run tells', () => {
  const untold = (unit: ResolvedUnit) => notWeighedOf(unit).map(({ id }) => id);

  it('is told with its reason, and is no cause on the list', () => {
    expect(untold(RELAYS)).toContain('electronic-module');
    const weighed = libraries.get(RELAYS) ?? diagnosisLibrary(RELAYS, { hypotheses: [] });
    for (const id of untold(RELAYS))
      expect(weighed.entries.map((entry) => entry.hypothesis.id)).not.toContain(id);
    for (const { why, nextProbe, cause } of notWeighedOf(RELAYS)) {
      expect(why).not.toMatch(/[.:]/);
      expect(cause).not.toMatch(/[.:]/);
      expect(nextProbe).toMatch(/\.$/);
    }
  });

  it('is no worn detent where a person throws: it is told with a loose joint', () => {
    expect(untold(BY_HAND)).not.toContain('switch-falls-back');
  });
});
