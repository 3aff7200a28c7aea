// The same mistake made twice: two relays from one bag, two sockets wired by one hand. Each is the single relay's fault
// at both, and parted from it by the readings of the other throw.

import { capitalised } from '../tell/index.js';
import { type Fault, faultOf } from './fault.js';
import type { FaultEdit } from './fault-edits.js';

/** Oftener than two faults by chance, less often than one. Common practice, no source. */
const TWICE = 0.7;

/** What is said of both, by the single fault's name within its relay; what is not here does not come in pairs. */
const OF_BOTH: Readonly<Record<string, { cause: string; nextProbe: string }>> = {
  'four-pin': {
    cause: 'are four-pin relays, or neither of their contacts 30-87a closes',
    nextProbe:
      'Look for 87a on the face of both; then put one known good changeover relay in each socket in turn.',
  },
  'dual-87': {
    cause: 'are double make relays, with a second 87 in place of 87a',
    nextProbe: 'Read the face of both: the middle terminal must be 87a.',
  },
  'coil-24v': {
    cause: 'are 24 V relays in a 12 V circuit',
    nextProbe: 'Pull both and measure from 85 to 86: 220 to 360 Ω is a 24 V coil.',
  },
  'coil-6v': {
    cause: 'are 6 V relays in a 12 V circuit',
    nextProbe: 'Pull both and measure from 85 to 86: 15 to 30 Ω is a 6 V coil.',
  },
  'diode-reversed': {
    cause: 'have wires 85 and 86 exchanged, and their diodes short the triggers',
    nextProbe: 'Pull both and compare the diode on their faces with 85 and 86 of the sockets.',
  },
  '30-86-exchanged': {
    cause: 'have wires 30 and 86 exchanged, or are relays of the other footprint',
    nextProbe:
      'Pull both, compare the numbers on their faces with the sockets, and trace the wires at 30 and 86.',
  },
  '30-87-exchanged': {
    cause: 'have wires 30 and 87 exchanged in their sockets',
    nextProbe: 'Pull both and trace the wires at 30 and 87 of their sockets.',
  },
  '30-87a-exchanged': {
    cause: 'have wires 30 and 87a exchanged in their sockets',
    nextProbe: 'Pull both and trace the wires at 30 and 87a of their sockets.',
  },
};

/** `both` is how the two are called together; `one` and `other` list the faults of either relay. */
export function pairFaults(both: string, one: readonly Fault[], other: readonly Fault[]): Fault[] {
  return one.flatMap((first): Fault[] => {
    const second = other.find(({ what }) => what === first.what);
    const words = OF_BOTH[first.what];
    const [a] = first.parts;
    const [b] = second?.parts ?? [];
    if (second === undefined || words === undefined || a === undefined || b === undefined) return [];
    const together = (i: number): FaultEdit[] => [...(first.ways[i] ?? []), ...(second.ways[i] ?? [])];
    return [
      faultOf([a, b], `both-${first.what}`, first.kind, {
        id: `${a.id}-${b.id}-${first.what}`,
        marks: [...first.marks, ...second.marks],
        cause: `both relays, ${both}, ${words.cause}`,
        nextProbe: capitalised(words.nextProbe),
        does: first.probe.does,
        at: [...first.probe.at, ...second.probe.at],
        edits: together(0),
        further: first.ways.slice(1).map((_, i) => together(i + 1)),
        commonness: TWICE * Math.min(first.commonness, second.commonness),
      }),
    ];
  });
}
