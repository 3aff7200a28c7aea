// Who throws, and what of a unit is on the bench: a switch that carries the motor is thrown by hand unless the profile says
// otherwise, and where the rig stands in for it neither it nor its jumpers can be accused of anything.

import { describe, expect, it } from 'vitest';
import { faultsOfUnit, rigFaultsOf } from '../../host/circuit/index.js';
import { listProfiles, loadUnit, notOnBench, restoredUnit, rigThrown } from '../../host/profile/index.js';

describe('who throws', () => {
  it('is a person for every switch that carries the motor, where the profile says nothing', () => {
    for (const id of ['roof-vent-switch', 'window-lift-switch', 'switch-harness-load']) {
      expect(loadUnit(id).plan.throwBy, id).toBe('operator');
      expect(notOnBench(loadUnit(id).style), id).toEqual([]);
    }
  });

  it("is the rig for triggers, for a motor alone and where a profile asks for the rig's stand-in", () => {
    for (const { id } of listProfiles('unit')) {
      const { plan, style, unit } = loadUnit(id);
      const isBySwitch = style.thrownBy === 'stand-in' && style.subject === undefined;
      if (unit.throwBy === undefined && !isBySwitch) expect(plan.throwBy, id).toBeUndefined();
    }
    expect(loadUnit('roof-vent-stand-in').plan.throwBy).toBe('rig');
  });

  it('tells how to hook up what stays in the harness, and what takes its place', () => {
    expect(loadUnit('roof-vent-switch').style.hookUp[0]).toMatch(/^The switch stays plugged in/);
    expect(loadUnit('roof-vent-stand-in').style.hookUp.slice(0, 2).join(' ')).toMatch(
      /Unplug the switch.*Link a1 to b2 and a2 to b1/,
    );
    expect(loadUnit('entry-step-by-hand').style.hookUp.join(' ')).not.toMatch(/forward trigger/);
  });

  it.each([
    ['roof-vent-switch', 'roof-vent-stand-in'],
    ['roof-vent-by-hand', 'roof-vent-stand-in'],
    ['window-lift-switch', 'window-lift-stand-in'],
    ['switch-harness-load', 'switch-harness-load-stand-in'],
    ['entry-step-by-hand', 'entry-step-relays'],
  ])('of %s the profile that the rig throws is %s', (byHand, byRig) =>
    expect(rigThrown(loadUnit(byHand))).toBe(byRig),
  );
});

describe("a switch that the rig's stand-in takes the place of", () => {
  it('is not on the bench with the jumpers on it, and has no faults; the harness keeps its own', () => {
    const unit = loadUnit('roof-vent-stand-in');
    expect(notOnBench(unit.style).map(({ id }) => id)).toEqual(['switch', 'jumper-a1-b2', 'jumper-a2-b1']);
    const parts = faultsOfUnit(unit).flatMap((fault) => fault.parts.map(({ id }) => id));
    expect(new Set(parts)).toEqual(new Set(['feed', 'ground', 'lead-a', 'lead-b', 'motor']));
    const words = [...faultsOfUnit(unit), ...rigFaultsOf(unit.style)].flatMap((fault) => [
      fault.sentence,
      fault.nextProbe,
    ]);
    expect(words.filter((sentence) => /switch|jumper/i.test(sentence))).toEqual([]);
  });

  it('is the main switch alone where a remote one stays in the harness', () => {
    const unit = loadUnit('roof-vent-stand-in', undefined, { circuit: 'main-and-remote-switch' });
    expect(notOnBench(unit.style).map(({ id }) => id)).toEqual(['main-a', 'main-b']);
    const parts = new Set(faultsOfUnit(unit).flatMap((fault) => fault.parts.map(({ id }) => id)));
    expect([parts.has('remote-a'), parts.has('lock-out'), parts.has('main-a')]).toEqual([true, true, false]);
  });

  it('stays so in a record', () => {
    const stored = JSON.parse(JSON.stringify(loadUnit('roof-vent-stand-in')));
    expect(notOnBench(restoredUnit(stored, 'record').style)).toHaveLength(3);
    const byHand = JSON.parse(JSON.stringify(loadUnit('roof-vent-switch')));
    expect(notOnBench(restoredUnit(byHand, 'record').style)).toEqual([]);
  });
});
