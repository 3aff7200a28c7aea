// What a hand does wrong while it hooks a unit up, and what goes by itself: looked at first, and nothing is said against
// the unit meanwhile.

import { describe, expect, it } from 'vitest';
import { nominalInput, type UnitCircuitInput } from '../../host/circuit/index.js';
import { judge } from '../../host/judge/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { withFaults } from '../circuit/with-faults.js';
import { knownUnit } from '../profile/known-unit.js';
import { benchRun } from './bench.js';
import { expectationOf } from './known-expectations.js';

const CLIPS = ['sense-clip-a-off', 'sense-clip-b-off', 'sense-clips-exchanged'];
const UNITS = ['window-lift-switch', 'seat-slide-relays', 'window-lift-alone'];

function judgedWith(unit: ResolvedUnit, input: UnitCircuitInput, seed: number) {
  const { capture, stop } = benchRun(unit, input, { seed });
  return judge({ unit, capture, stop, expectation: expectationOf(unit) });
}
const named = ({ findings: [first] }: ReturnType<typeof judge>) => [first?.id, ...(first?.inseparable ?? [])];

describe.each(UNITS)('a sense clip on %s', (id) => {
  const unit = knownUnit(id);
  it.each(CLIPS)('is asked for before anything of the unit: %s (bench 5601)', (fault) => {
    const judgement = judgedWith(unit, withFaults(nominalInput(unit), fault), 5601);
    expect(judgement.verdict).toBe('cannot-tell');
    // With nothing but the rig around a motor its own checks say so already.
    if (unit.unit.subject !== 'motor') {
      expect(judgement.checks[0]?.id).toBe('rig-in-question');
      expect(judgement.checks[0]?.sentence).toMatch(/sense clip/);
    }
    expect(named(judgement)).toContain(fault);
    expect(judgement.checks.filter(({ outcome, required }) => required && outcome === 'fail')).toEqual([]);
  });
});

describe('a supply that sags', () => {
  it.each([0.25, 0.4])(
    'by %f Ohm is the supply, and no joint of the harness (bench 5611)',
    (sourceResistanceOhm) => {
      const unit = knownUnit('seat-slide-relays');
      const good = nominalInput(unit);
      const input = { ...good, supply: { ...good.supply, sourceResistanceOhm } };
      const judgement = judgedWith(unit, input, 5611);
      expect(judgement.verdict).not.toBe('fail');
      if (judgement.verdict === 'cannot-tell') expect(named(judgement)).toContain('supply-sags');
    },
  );
});

describe('a warm motor', () => {
  // Copper +0.39 % a kelvin (IEC 60028), ferrite about -0.2 % (value from memory).
  it('of 110 C is told as warm, and not failed for its brushes or magnets (bench 5621)', () => {
    const unit = knownUnit('seat-slide-relays');
    const edits = [{ do: 'set' as const, element: 'motor', values: { temperatureC: 110 } }];
    const input = { ...nominalInput(unit), faults: [{ id: 'warm', edits }] };
    const judgement = judgedWith(unit, input, 5621);
    expect(judgement.verdict).toBe('cannot-tell');
    expect(named(judgement)).toContain('motor-warm');
    expect(judgement.checks[0]).toMatchObject({ id: 'may-pass' });
    expect(judgement.checks[0]?.sentence).toMatch(/[Ff]eel its case/);
  });
});

describe('the same mistake at both relays', () => {
  const unit = knownUnit('seat-slide-relays');
  it.each([
    'k1-k2-four-pin',
    'k1-k2-coil-24v',
    'k1-k2-coil-6v',
    'k1-k2-diode-reversed',
    'k1-k2-dual-87',
    'k1-k2-30-86-exchanged',
    'k1-k2-30-87-exchanged',
    'k1-k2-30-87a-exchanged',
  ])('is named with its like: %s (bench 5631)', (fault) => {
    const judgement = judgedWith(unit, withFaults(nominalInput(unit), fault), 5631);
    expect(judgement.verdict).not.toBe('pass');
    expect(named(judgement)).toContain(fault);
  });

  it('that no rest contact closes is not the ground wire alone', () => {
    const judgement = judgedWith(unit, withFaults(nominalInput(unit), 'k1-k2-four-pin'), 5632);
    const [first] = judgement.findings;
    expect(named(judgement)).toContain('ground-open');
    expect(first?.sentence).toMatch(/both relays, K1 and K2, are four-pin/i);
  });
});
