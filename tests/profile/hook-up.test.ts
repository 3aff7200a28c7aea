// How a unit is clipped on, in the colours of its own wires.

import { describe, expect, it } from 'vitest';
import { circuitStyleSchema, hookUpLines, loadUnit, type ResolvedUnit } from '../../host/profile/index.js';

const coloured = (
  ref: string,
  wires: NonNullable<ResolvedUnit['unit']['wires']>,
): Pick<ResolvedUnit, 'style' | 'unit'> => {
  const { style, unit } = loadUnit(ref);
  return { style, unit: { ...unit, wires } };
};

describe('hook-up', () => {
  // IEC 60757:2021, table 1: BU blue, GNYE green-and-yellow, RD red.
  it('names the colour that the profile gives a wire, and nothing where it gives none', () => {
    const lines = hookUpLines(
      coloured('entry-step-relays', {
        'lead-a': { colour: 'BU' },
        ground: { colour: 'GNYE' },
        'trigger-reverse': { colour: 'RD' },
      }),
    );
    expect(lines.at(-1)).toBe(
      'Motor leads through the rig, lead A (BU blue) from 30 of K1, lead B from 30 of K2.',
    );
    expect(lines[0]).toContain("common ground (both 87a) (GNYE green with yellow) to the rig's ground");
    expect(lines.join(' ')).toContain('trigger wire of K2 (85) (RD red) to its reverse trigger');
  });

  it('follows the person who throws by hand, whose triggers are not clipped on', () => {
    const lines = hookUpLines(
      coloured('entry-step-by-hand', { feed: { colour: 'RD' }, 'trigger-forward': { colour: 'BU' } }),
    ).join(' ');
    expect(lines).toContain('(both 87) (RD red)');
    expect(lines).not.toContain('BU');
  });

  it.each(['roof-vent-switch', 'roof-vent-on-commons', 'window-lift-alone', 'entry-step-relays'])(
    '%s names both motor leads so that each can have a colour, and leaves no mark behind without one',
    (ref) => {
      const { style } = loadUnit(ref);
      expect(hookUpLines({ style }).join(' ')).not.toMatch(/[{}]|\s{2}| ,/);
      const lines = hookUpLines(coloured(ref, { 'lead-a': { colour: 'BU' }, 'lead-b': { colour: 'BN' } }));
      expect(lines.join(' ')).toContain('lead A (BU blue)');
      expect(lines.join(' ')).toContain('lead B (BN brown)');
    },
  );

  it('refuses a style whose line speaks of a wire that it does not have', () => {
    const { style } = loadUnit('roof-vent-switch');
    const read = circuitStyleSchema.safeParse({ ...style, hookUp: ['Lead A {lead-x} to the rig.'] });
    expect(read.error?.issues[0]?.message).toBe(
      '{lead-x} is no wire of this style: name one by its id, or leave it out',
    );
    expect(read.error?.issues[0]?.path).toEqual(['hookUp', 0]);
  });
});
