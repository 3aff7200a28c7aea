// The demo tray: its cases are ones that their units' circuits can have.

import { describe, expect, it } from 'vitest';
import { faultsOf } from '../../host/circuit/index.js';
import { listProfiles, loadCase, loadTray, loadUnit } from '../../host/profile/index.js';

const { units } = loadTray('tray');

describe('demo tray', () => {
  it.each(units.map(({ tag, profile, virtual }) => [tag, profile, virtual!]))(
    'gives %s, a %s, only faults that its circuit can have: %s',
    (_tag, profile, virtual) => {
      const { style, motor } = loadUnit(profile);
      const known = faultsOf(style).map(({ id }) => id);
      const { faults, motorScale } = loadCase(virtual);
      expect(faults.filter((id) => !known.includes(id))).toEqual([]);
      expect(Object.keys(motorScale).filter((name) => !(name in motor))).toEqual([]);
    },
  );

  it('has healthy units of both styles and every fault that a first look should show', () => {
    const cases = units.map(({ profile, virtual }) => ({
      style: loadUnit(profile).style.id,
      ...loadCase(virtual!),
    }));
    const healthy = cases.filter(
      ({ faults, wornBrushes, motorScale }) =>
        faults.length === 0 &&
        !wornBrushes &&
        Object.values(motorScale).every((factor) => Math.abs(factor - 1) <= 0.1),
    );
    expect(new Set(healthy.map(({ style }) => style)).size).toBe(2);
    expect(cases.flatMap(({ faults }) => faults).toSorted()).toEqual([
      'ground-resistance',
      'jumper-a2-b1-missing',
      'k1-87-87a-exchanged',
      'k2-coil-open',
      'motor-leads-exchanged',
    ]);
    expect(cases.filter(({ wornBrushes }) => wornBrushes)).toHaveLength(1);
    expect(cases.filter(({ motorScale }) => (motorScale.coulombNm ?? 1) > 2)).toHaveLength(1);
  });

  it('gives each case its own seed', () => {
    const seeds = listProfiles('case').map(({ id }) => loadCase(id).seed);
    expect(new Set(seeds).size).toBe(seeds.length);
  });
});
