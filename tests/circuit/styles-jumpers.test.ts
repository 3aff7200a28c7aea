// Six-terminal switch: what each way of placing the jumpers does. Derived from circuit equations, row by row; centres
// c1 c2, ends a1 a2 (throw A, forward) and b1 b2 (throw B, reverse). `0/0` of a meter is L/L here.

import { describe, expect, it } from 'vitest';
import type { CircuitStyle } from '../../host/profile/index.js';
import { floatsAtRest, leads, readStyle, symptom, told } from './symptom-bench.js';

interface Wiring {
  feed: string;
  ground: string;
  leadA: string;
  leadB: string;
}

const WIRINGS: Record<string, Wiring> = {
  'feed c1 c2, motor a1 a2': { feed: 'c1', ground: 'c2', leadA: 'a1', leadB: 'a2' },
  'motor c1 c2, feed a1 a2': { feed: 'a1', ground: 'a2', leadA: 'c1', leadB: 'c2' },
  'motor c1 c2, feed a1 (+) b1 (-)': { feed: 'a1', ground: 'b1', leadA: 'c1', leadB: 'c2' },
};

/** Wiring, jumpers, then what is seen at rest, in throw A and in throw B. */
const ROWS: readonly [wiring: string, jumpers: string, rest: string, throwA: string, throwB: string][] = [
  ['feed c1 c2, motor a1 a2', 'a1-b2 a2-b1', 'float', '+', '-'],
  ['feed c1 c2, motor a1 a2', 'a1-b1 a2-b2', 'float', '+', '+'],
  ['feed c1 c2, motor a1 a2', 'a1-a2 b1-b2', 'float', 'short', 'short'],
  ['feed c1 c2, motor a1 a2', 'a1-a2', 'float', 'short', 'dead L/L'],
  ['feed c1 c2, motor a1 a2', 'b1-b2', 'float', '+', 'short'],
  ['feed c1 c2, motor a1 a2', 'a1-b2 a2-b2', 'float', 'short', 'dead L/L'],
  ['feed c1 c2, motor a1 a2', 'a1-b2', 'float', '+', 'dead L/L'],
  ['feed c1 c2, motor a1 a2', 'a2-b1', 'float', '+', 'dead H/H'],
  ['feed c1 c2, motor a1 a2', '', 'float', '+', 'dead L/L'],
  ['motor c1 c2, feed a1 a2', 'a1-b2 a2-b1', 'float', '+', '-'],
  ['motor c1 c2, feed a1 a2', 'a1-b1 a2-b2', 'float', '+', '+'],
  ['motor c1 c2, feed a1 a2', 'a1-a2 b1-b2', 'short', 'short', 'short'],
  ['motor c1 c2, feed a1 a2', 'a1-b2', 'float', '+', 'dead H/H'],
  ['motor c1 c2, feed a1 a2', 'a1-b2 a1-b1', 'float', '+', 'dead H/H'],
  ['motor c1 c2, feed a1 (+) b1 (-)', 'a1-b2 b1-a2', 'float', '+', '-'],
  ['motor c1 c2, feed a1 (+) b1 (-)', 'a1-a2 b1-b2', 'float', 'dead H/H', 'dead L/L'],
  ['motor c1 c2, feed a1 (+) b1 (-)', 'a1-b1', 'short', 'short', 'short'],
];

const BASE = readStyle('switch-carried-open-rest');

function wired({ feed, ground, leadA, leadB }: Wiring, jumpers: string): CircuitStyle {
  const elements = BASE.elements.flatMap((element): CircuitStyle['elements'] => {
    if (element.kind !== 'wire') return [element];
    if (element.role === 'jumper') return [];
    if (element.id === 'feed') return [{ ...element, b: feed }];
    if (element.id === 'ground') return [{ ...element, a: ground }];
    return [{ ...element, a: element.id === 'lead-a' ? leadA : leadB }];
  });
  const added = jumpers
    .split(' ')
    .filter((text) => text !== '')
    .map((text) => {
      const [a, b] = text.split('-') as [string, string];
      return { id: `jumper-${text}`, kind: 'wire' as const, role: 'jumper' as const, a, b };
    });
  return { ...BASE, elements: [...elements, ...added] };
}

describe('jumpers of a six-terminal switch', () => {
  it.each(ROWS)(
    '%s, jumpers %s: rest %s, throw A %s, throw B %s',
    (wiring, jumpers, rest, throwA, throwB) => {
      const style = wired(WIRINGS[wiring]!, jumpers);
      const forward = symptom(style, { position: 'forward' });
      if (rest === 'short') expect(leads(forward.rest)).toBe('short');
      else expect([floatsAtRest(style, {}, 'a'), floatsAtRest(style, {}, 'b')]).toEqual([true, true]);
      expect(told(forward.thrown)).toBe(throwA);
      expect(told(symptom(style, { position: 'reverse' }).thrown)).toBe(throwB);
    },
  );

  it.each([
    ['jumpers-a1-b1-a2-b2', '+', '+'],
    ['jumpers-a1-a2-b2-b1', 'short', 'short'],
    ['jumper-a2-b1-a2-on-b2', '+', 'short'],
    ['jumper-a2-b1-missing', '+', 'dead L/L'],
    ['jumper-a1-b2-missing', '+', 'dead H/H'],
    ['jumper-a2-b1-b1-on-b2', 'short', 'dead L/L'],
  ])('comes out the same as the fault %s of the style: %s, %s', (fault, throwA, throwB) => {
    expect(told(symptom(BASE, { faults: [fault], position: 'forward' }).thrown)).toBe(throwA);
    expect(told(symptom(BASE, { faults: [fault], position: 'reverse' }).thrown)).toBe(throwB);
  });

  it.each([
    ['jumpers-a1-b1-a2-b2', 'dead L/L', '+', '+'],
    ['jumpers-a1-a2-b2-b1', 'short', 'short', 'short'],
    ['jumper-a2-b1-missing', 'dead L/L', '+', 'dead H/H'],
    ['jumper-a1-b2-missing', 'dead L/L', '+', 'dead L/L'],
    // The jumper of b1 on a1 as well: both outputs on the feed.
    ['jumper-a2-b1-a2-on-a1', 'dead L/L', '+', 'dead H/H'],
    ['jumper-a1-b2-a1-on-a2', 'dead L/L', '+', 'dead L/L'],
    ['jumper-a2-b1-b1-on-a1', 'short', 'short', 'short'],
  ])(
    'comes out the same as the fault %s with the motor on the centres: rest %s, %s, %s',
    (fault, rest, throwA, throwB) => {
      // A fuse that carries a short for as long as this bench looks: the rig stops one long before a fuse would.
      const shipped = readStyle('switch-motor-on-commons');
      const elements = shipped.elements.map((each) =>
        each.kind === 'fuse' ? { ...each, ratedA: 1000 } : each,
      );
      const style = { ...shipped, elements };
      const forward = symptom(style, { faults: [fault], position: 'forward' });
      expect(told(forward.rest)).toBe(rest);
      expect(told(forward.thrown)).toBe(throwA);
      expect(told(symptom(style, { faults: [fault], position: 'reverse' }).thrown)).toBe(throwB);
    },
  );
});
