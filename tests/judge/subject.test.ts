// Motor alone, and a harness on a known load: good ones pass, each is accused of its own faults only, and what is the
// rig's or the load's fails nobody.

import { describe, expect, it } from 'vitest';
import { drawInput, seededRandom, type UnitCircuitInput } from '../../host/circuit/index.js';
import { judge } from '../../host/judge/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { withFaults } from '../circuit/with-faults.js';
import { knownUnit } from '../profile/known-unit.js';
import { benchRun } from './bench.js';
import { expectationOf } from './known-expectations.js';

const SEED = 4711;

interface Edit extends Partial<UnitCircuitInput> {
  fault?: string;
}

function judged(unit: ResolvedUnit, { fault, ...edit }: Edit, seed = SEED) {
  const expected = expectationOf(unit, 30);
  const drawn = { ...drawInput(unit, seededRandom(seed)), ...edit };
  const given = withFaults(drawn, ...(fault === undefined ? [] : [fault]));
  const { capture, stop } = benchRun(unit, given, { seed });
  const judgement = judge({ unit, capture, expectation: expected, stop });
  const [first] = judgement.findings;
  return { ...judgement, named: first ? [first.id, ...(first.inseparable ?? [])] : [] };
}

const withFault = (fault: string): Edit => ({ fault });
const failing = ({ checks }: { checks: readonly { outcome: string; sentence: string }[] }): string =>
  checks
    .filter(({ outcome }) => outcome !== 'pass' && outcome !== 'conditional-pass')
    .map(({ sentence }) => sentence)
    .join(' | ');

describe(`a motor alone on the rig's own switch, seed ${SEED}`, () => {
  const unit = knownUnit('window-lift-alone');

  it('is what is judged, without the profile saying so', () => expect(unit.unit.subject).toBe('motor'));

  it.each([1, 2])('passes when good: draw %i', (n) => {
    const run = judged(unit, {}, SEED + n);
    expect(run.verdict, failing(run)).toBe('pass');
  });

  // Signatures of the conditions: trade texts on small permanent-magnet motors; here only who is accused is asked.
  it.each(['motor-open', 'motor-brushes-worn', 'motor-shorted', 'motor-rotor-locked', 'motor-gearbox-bound'])(
    'fails and is named: %s',
    (fault) => {
      const run = judged(unit, withFault(fault));
      expect(run.verdict, failing(run)).toBe('fail');
      expect(run.named).toContain(fault);
    },
  );

  it.each(['lead-a-open', 'lead-b-resistance'])('names its own lead together with itself: %s', (fault) => {
    const run = judged(unit, withFault(fault));
    expect(run.verdict).toBe('fail');
    expect(run.named).toContain(fault);
    expect(run.named.some((id) => id.startsWith('motor-'))).toBe(true);
  });

  it.each([
    'rig-feed-link-open',
    'rig-ground-link-resistance',
    'rig-lead-a-link-open',
    'rig-stand-in-pole-1-a1-burnt',
    'rig-stand-in-pole-1-a1-welded',
  ])("is not failed for the rig's own fault: %s", (fault) => {
    const run = judged(unit, withFault(fault));
    expect(run.verdict, run.sentence).toBe('cannot-tell');
    expect(run.named[0]).toMatch(/^rig-/);
    expect(run.named).toContain(fault);
  });
});

describe.each(['relay-pair-harness-load', 'switch-harness-load'])(
  `a harness on a known load, %s, seed ${SEED}`,
  (id) => {
    const unit = knownUnit(id);

    it.each([1, 2])('passes when good: draw %i', (n) => {
      const run = judged(unit, {}, SEED + n);
      expect(run.verdict, failing(run)).toBe('pass');
    });

    it('is not asked what only a motor can show, and says so', () => {
      const run = judged(unit, {});
      const asked = run.checks.map((check) => check.id);
      expect(
        asked.filter((check) => /^(inrush|running|settling|symmetry|motor-signature)/.test(check)),
      ).toEqual([]);
      const told = run.checks.find((check) => check.id === 'motor-not-asked');
      expect(told).toMatchObject({ outcome: 'not-tested', required: false });
    });

    it('has its drops told in millivolts and milliohms', () => {
      const drop = judged(unit, {}).checks.find((check) => check.id === 'ground-drop-forward')!;
      // Ohm's law: 2 Ohm at about 12.4 V draw 6.2 A; copper of 2.5 mm2 (IEC 60028) is 6.9 mOhm a metre.
      expect(drop.sentence).toMatch(
        /drops \d+ ± \d+ mV \(at most \d+ mV\)\. That is \d+ ± \d+ mΩ at 6\.\d A \(at most \d+ mΩ\)\./,
      );
    });

    const own =
      unit.relay === undefined
        ? ['ground-resistance', 'jumper-a1-b2-missing', 'switch-pole-1-a1-open']
        : ['k1-coil-open', 'k1-make-burnt', 'k2-87-87a-exchanged', 'ground-open', 'k1-make-welded'];
    it.each([...own, 'motor-leads-exchanged', 'lead-a-open'])(
      'fails, named, and no motor accused: %s',
      (fault) => {
        // What the rig's own clip may have done fails once that was pressed.
        const isClips = fault === 'ground-resistance';
        if (isClips) expect(judged(unit, withFault(fault)).named[0]).toBe('ground-clip-weak');
        const pressed = { ...unit, rig: { ...unit.rig, proven: ['clips' as const] } };
        const run = judged(isClips ? pressed : unit, withFault(fault));
        expect(run.verdict, failing(run)).toBe('fail');
        expect(run.named).toContain(fault);
        const accused = run.findings.flatMap((finding) => [finding.id, ...(finding.inseparable ?? [])]);
        expect(accused.filter((each) => /^motor-(?!leads)/.test(each))).toEqual([]);
      },
    );

    it('is not failed for a load that is not joined, or is another one', () => {
      const off = judged(unit, withFault('load-open'));
      expect([off.verdict, off.named[0]]).toEqual(['cannot-tell', 'load-open']);
      const input = drawInput(unit, seededRandom(SEED));
      const other = judged(unit, { load: { ...input.load!, resistanceOhm: 3 } });
      expect(other.verdict).toBe('cannot-tell');
      expect(failing(other)).toContain('name the load that hangs there in the profile');
    });
  },
);
