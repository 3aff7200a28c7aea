// Which way an output goes: what a profile declares, what can be answered, and whom it is asked of.

import { describe, expect, it } from 'vitest';
import {
  loadUnit,
  type ResolvedUnit,
  showsItsWay,
  unitProfileSchema,
  wayChoices,
} from '../../host/profile/index.js';
import { plannedUnit } from './planned-unit.js';

const words = (unit: ResolvedUnit): string[] => wayChoices(unit).map((choice) => choice.words);
const undeclared = (ref: string): ResolvedUnit => {
  const whole = loadUnit(ref);
  const { moves: _, switchNames: __, ...unit } = whole.unit;
  return { ...whole, unit };
};

describe('the answers', () => {
  it('are the words of the profile, forward first, and the two that go with any', () => {
    expect(words(loadUnit('window-lift-switch'))).toEqual(['up', 'down', 'did not move', 'not seen']);
    expect(words(loadUnit('entry-step-relays')).slice(0, 2)).toEqual(['out', 'in']);
  });

  it('are the names of the switch where the profile says no more', () => {
    const whole = loadUnit('entry-step-by-hand');
    const { moves: _, ...unit } = whole.unit;
    expect(words({ ...whole, unit }).slice(0, 2)).toEqual(['out', 'in']);
  });

  it('are what anybody can tell where nothing is declared: of a mechanism, and of a motor alone', () => {
    expect(words(undeclared('roof-vent-switch')).slice(0, 2)).toEqual(['opened', 'closed']);
    expect(words(undeclared('window-lift-alone')).slice(0, 2)).toEqual(['clockwise', 'anticlockwise']);
    expect(wayChoices(undeclared('roof-vent-switch')).map(({ moved }) => moved)).not.toContain('as-forward');
  });
});

describe('it is asked', () => {
  it.each(['entry-step-relays', 'roof-vent-by-hand', 'window-lift-alone'])('of %s', (ref) =>
    expect(showsItsWay(loadUnit(ref))).toBe(true),
  );

  it.each(['mini-changeover-alone', 'relay-pair-harness-load'])('not of %s: nothing turns', (ref) =>
    expect(showsItsWay(loadUnit(ref))).toBe(false),
  );

  it('not where the rotor is held', () => {
    expect(showsItsWay(plannedUnit('entry-step-alone', undefined, { plan: 'hold-the-rotor' }))).toBe(false);
  });
});

it('a profile that moves it the same way by both throws is refused', () => {
  const { unit } = loadUnit('window-lift-switch');
  const read = unitProfileSchema.safeParse({ ...unit, moves: { forward: 'up', reverse: 'up' } });
  expect(read.error?.issues[0]?.message).toMatch(/the same way: write two ways/);
});
