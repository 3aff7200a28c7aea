// A motor without harness: weights of its leads and of the rig's links, by what they are and not by how they are called.

import { describe, expect, it } from 'vitest';
import { type Hypothesis, hypothesesOf } from '../../host/diagnose/index.js';
import { type CircuitStyle, loadUnit, type ResolvedUnit } from '../../host/profile/index.js';

const UNIT = loadUnit('window-lift-alone');
/** The same circuit with every element but the motor under another id. */
const RENAMED: ResolvedUnit = {
  ...UNIT,
  style: {
    ...UNIT.style,
    elements: UNIT.style.elements.map((element): CircuitStyle['elements'][number] =>
      element.kind === 'motor' ? element : { ...element, id: `x-${element.id}` },
    ),
  },
};

describe.each([
  ['as it ships', UNIT],
  ['with other ids', RENAMED],
])('a motor alone, %s', (_, unit) => {
  const of = (is: (hypothesis: Hypothesis) => boolean): Hypothesis[] => hypothesesOf(unit).filter(is);
  const brushesWorn = () => of(({ what }) => what === 'brushes-worn');

  it('accuses its leads half as readily as itself, and the rig last', () => {
    const leads = of(({ parts: [part], owner }) => part?.kind === 'wire' && owner === 'harness');
    expect(leads).toHaveLength(4);
    expect(leads.map(({ prior }) => prior)).toEqual([0.5, 0.5, 0.5, 0.5]);
    const rig = of(({ owner, parts }) => owner === 'rig' && parts.length > 0);
    expect(rig.length).toBeGreaterThan(10);
    expect(new Set(rig.map(({ prior }) => prior))).toEqual(new Set([0.2]));
    expect(brushesWorn().map(({ prior }) => prior)).toEqual([1]);
  });

  it('has a corroded lead show as worn brushes do, and drop out less often', () => {
    const corroded = of(({ kind, owner }) => kind === 'resistance' && owner === 'harness');
    expect(corroded).toHaveLength(2);
    const brushes = brushesWorn();
    for (const { ways, dropouts } of corroded) {
      expect(ways).toEqual(brushes[0]?.ways);
      expect(dropouts).toEqual({ motor: 0.3, harness: 0.01 });
    }
  });
});

it('leaves the hypotheses of a harness with its motor as they are', () => {
  const wires = hypothesesOf(loadUnit('entry-step-relays')).filter(
    ({ kind, owner }) => kind === 'resistance' && owner !== 'rig',
  );
  expect(wires.map(({ prior, commonness }) => prior - commonness)).toEqual(wires.map(() => 0));
});
