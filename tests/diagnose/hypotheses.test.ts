// What may be the matter with a unit: each fault with a weight, only of what is judged, and never a function in it.

import { describe, expect, it } from 'vitest';
import { faultsOfUnit, rigFaultsOf } from '../../host/circuit/index.js';
import { HEALTHY, hypothesesOf } from '../../host/diagnose/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import { plannedUnit } from '../profile/planned-unit.js';

const PROFILES = ['entry-step-relays', 'window-lift-switch', 'window-lift-alone', 'relay-pair-harness-load'];
const ids = (unit: ResolvedUnit): string[] => hypothesesOf(unit).map(({ id }) => id);

describe.each(PROFILES)('hypotheses of %s', (profile) => {
  const unit = plannedUnit(profile);
  const hypotheses = hypothesesOf(unit);

  it('begin with the good unit, hold each fault of unit and rig once, and weigh all of them', () => {
    expect(hypotheses[0]?.id).toBe(HEALTHY);
    expect(new Set(ids(unit)).size).toBe(hypotheses.length);
    const faults = [...faultsOfUnit(unit), ...rigFaultsOf(unit.style)].map(({ id }) => id);
    expect(ids(unit)).toEqual(expect.arrayContaining(faults));
    for (const { id, prior, ways, dropouts } of hypotheses) {
      expect(prior, id).toBeGreaterThan(0);
      expect(ways.length, id).toBeGreaterThan(0);
      expect(Math.min(dropouts.motor, dropouts.harness), id).toBeGreaterThan(0);
      expect(Math.max(dropouts.motor, dropouts.harness), id).toBeLessThan(1);
    }
  });

  it('go through threads as they are', () => expect(structuredClone(hypotheses)).toEqual(hypotheses));
});

describe('what is judged decides what may be the matter', () => {
  it('holds a loose joint against a harness and not against a motor alone', () => {
    expect(ids(plannedUnit('entry-step-relays'))).toContain('joint-loose');
    expect(ids(plannedUnit('window-lift-alone'))).not.toContain('joint-loose');
  });

  it('holds nothing of a motor against a harness on a known load', () => {
    const motors = hypothesesOf(plannedUnit('relay-pair-harness-load')).filter(
      ({ owner }) => owner === 'motor',
    );
    expect(motors).toEqual([]);
    expect(ids(plannedUnit('relay-pair-harness-load'))).toContain('load-open');
  });

  it('looks for a bad segment only where the profile tells segments', () => {
    const unit = plannedUnit('entry-step-relays');
    const { ripple: _, ...motor } = unit.motor;
    const told = { ...motor, ripple: { segments: 8, amplitude: 0.02 } };
    expect(ids({ ...unit, motor })).not.toContain('motor-segment-bad');
    expect(ids({ ...unit, motor: told })).toContain('motor-segment-bad');
  });

  it('has every condition of a motor once, with the ways of circuit and judging together', () => {
    const found = hypothesesOf(plannedUnit('entry-step-relays')).filter(({ owner }) => owner === 'motor');
    const ways = Object.fromEntries(found.map(({ what, ways: each }) => [what, each.length]));
    expect(ways).toEqual({
      open: 2,
      'brushes-worn': 5,
      shorted: 2,
      'winding-a-to-case': 8,
      'winding-b-to-case': 8,
      'rotor-locked': 1,
      'another-motor': 15,
      'gearbox-bound': 6,
      'grease-cold': 2,
      warm: 3,
      'magnets-weak': 4,
      'turns-light': 2,
      'winding-shorted': 3,
      'wound-for-other-voltage': 2,
      wet: 9,
      'protector-weak': 4,
      'split-field': 3,
      'sensor-pins': 1,
    });
  });
});
