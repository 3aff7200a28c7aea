// A leak to ground or case, told by the feed current that does not come back through lead A: Ohm's law on the driven lead,
// no other source. The shunt lies in lead A, so each side of a winding shows where it is behind that.

import { beforeAll, describe, expect, it } from 'vitest';
import { drawInput, seededRandom } from '../../host/circuit/index.js';
import { type DiagnosisLibrary, diagnosisLibrary } from '../../host/diagnose/index.js';
import { type Expectation, expectation, judge } from '../../host/judge/index.js';
import { loadUnit } from '../../host/profile/index.js';
import { benchRun } from './bench.js';

const unit = loadUnit('seat-slide-relays');
let expected: Expectation;
let library: DiagnosisLibrary;
beforeAll(() => {
  expected = expectation(unit);
  library = diagnosisLibrary(unit);
}, 180_000);

function judged(node: string, resistanceOhm: number, seed: number) {
  const edits = [{ do: 'bridge' as const, a: node, b: 'ground', resistanceOhm }];
  const faults = Number.isFinite(resistanceOhm) ? [{ id: 'leak', edits }] : [];
  const input = { ...drawInput(unit, seededRandom(seed)), faults };
  const { capture, stop } = benchRun(unit, input, { seed });
  return judge({ unit, capture, stop, expectation: expected, library: () => library });
}
const leakage = ({ checks }: ReturnType<typeof judge>, way: string) =>
  checks.find(({ id }) => id === `leakage-${way}`)!;

describe('a leak of the winding on the side of lead B', () => {
  it.each([10, 20, 40, 80, 130])('of %f Ohm is named, where lead B is fed (bench 811)', (ohm) => {
    const judgement = judged('rig.motor-b', ohm, 811);
    const { outcome, value, expandedUncertainty, sentence } = leakage(judgement, 'reverse');
    expect(outcome, sentence).toBe('fail');
    const leadV = judgement.measured.reverseLeadBVoltageV!.value;
    expect(Math.abs(value! - leadV / ohm)).toBeLessThan(expandedUncertainty! + 0.01);
    expect(sentence).toMatch(/from lead B to ground or case. Unplugged, measure each lead to the case/);
    expect(leakage(judgement, 'forward').outcome).toBe('pass');
    expect(judgement.verdict).toBe('fail');
    const [first] = judgement.findings;
    expect([first?.id, ...(first?.inseparable ?? [])]).toContain('motor-winding-b-to-case');
  });

  it.each([400, 1000])(
    'of %f Ohm accuses nobody, and the sentence says from where on nothing is seen (bench 812)',
    (ohm) => {
      const judgement = judged('rig.motor-b', ohm, 812);
      expect(judgement.verdict).not.toBe('fail');
      for (const { id, likelihood } of judgement.findings)
        if (id !== 'healthy' && id !== 'another-motor') expect(likelihood, id).toBeLessThan(0.5);
      const [, seenBelow] =
        /More than (\d+) Ω from lead B/.exec(leakage(judgement, 'reverse').sentence) ?? [];
      expect(Number(seenBelow)).toBeGreaterThan(100);
      expect(Number(seenBelow)).toBeLessThan(400);
    },
  );
});

it('a leak of the winding on the side of lead A is not seen by the shunt, and that is said (bench 813)', () => {
  const judgement = judged('rig.motor-a', 40, 813);
  expect(leakage(judgement, 'forward')).toMatchObject({ outcome: 'pass' });
  expect(leakage(judgement, 'forward').sentence).toMatch(
    /of the winding on that side not at all: measure lead to case/,
  );
});

it('a leak of the harness ahead of the shunt shows where lead A is fed (bench 814)', () => {
  const judgement = judged('rig.lead-a', 40, 814);
  expect(leakage(judgement, 'forward').outcome).toBe('fail');
  expect(leakage(judgement, 'reverse').outcome).toBe('pass');
});

it('a unit that leaks nothing passes (benches 820 to 839)', () => {
  for (let seed = 820; seed < 840; seed++) {
    const judgement = judged('rig.motor-b', Number.POSITIVE_INFINITY, seed);
    for (const way of ['forward', 'reverse']) expect(leakage(judgement, way).outcome, `${seed}`).toBe('pass');
  }
});
