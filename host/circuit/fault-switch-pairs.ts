// The same mistake made twice at one switch: both jumpers left out, both contacts of a throw burnt by the same current. Each
// is the single fault at both, and parted from it by the other lead.

import type { StyleElement } from '../profile/index.js';
import { type Fault, faultOf } from './fault.js';
import type { FaultEdit } from './fault-edits.js';
import { theWords } from './fault-words.js';

type Switch = Extract<StyleElement, { kind: 'switch' }>;
type Wire = Extract<StyleElement, { kind: 'wire' }>;

/** Oftener than two faults by chance, less often than one. Common practice, no source. */
const TWICE = 0.5;

interface Words {
  cause: string;
  nextProbe: string;
}

/** Of two jumpers, by the single fault's name within its wire; what is not here does not come in pairs. */
const OF_BOTH_JUMPERS: Readonly<Record<string, Words>> = {
  missing: {
    cause: 'are missing or broken',
    nextProbe: 'Look whether both jumpers are there, terminal by terminal; fit one and throw again.',
  },
  resistance: {
    cause: 'have bad or corroded joints',
    nextProbe: 'Measure along each jumper with the motor running that way: more than 0.2 V is a bad joint.',
  },
};

/** Of the two contacts of one throw, by the kind of the single fault. */
const OF_BOTH_CONTACTS: Readonly<Partial<Record<Fault['kind'], { what: string } & Words>>> = {
  open: {
    what: 'open',
    cause: 'do not close',
    nextProbe:
      'Throw again that way and measure from each common to its end: the full supply there is an open contact.',
  },
  resistance: {
    what: 'burnt',
    cause: 'are burnt',
    nextProbe:
      'Measure from each common to its end with the motor running that way: more than 0.3 V is a poor contact.',
  },
};

/** `faults` are the single ones of the style's wires. */
export function bothJumpersFaults(jumpers: readonly Wire[], faults: readonly Fault[]): Fault[] {
  const [first, second, more] = jumpers;
  if (first === undefined || second === undefined || more !== undefined) return [];
  return Object.entries(OF_BOTH_JUMPERS).flatMap(([what, words]) => {
    const pair = [first, second].flatMap((jumper) =>
      faults.filter((fault) => fault.what === what && fault.parts[0]?.id === jumper.id),
    );
    const cause = `both jumpers, ${first.a}-${first.b} and ${second.a}-${second.b}, ${words.cause}`;
    return together(pair, `jumpers-${what}`, { ...words, cause });
  });
}

/** `faults` are the single ones of the switch. */
export function bothContactsFaults(of: Switch, faults: readonly Fault[]): Fault[] {
  const [first, second, more] = of.poles;
  if (first === undefined || second === undefined || more !== undefined) return [];
  const positions = Object.keys(first.throws).filter((position) => second.throws[position] !== undefined);
  return positions.flatMap((position) =>
    (['open', 'resistance'] as const).flatMap((kind) => {
      const words = OF_BOTH_CONTACTS[kind];
      if (words === undefined) return [];
      const places = of.poles.map(({ common, throws }) => [common, throws[position]]);
      const pair = places.flatMap(([common, node]) =>
        faults.filter(
          ({ kind: single, probe: { at } }) => single === kind && at[0] === common && at[1] === node,
        ),
      );
      const cause = `both ${position} contacts of ${theWords(of)} ${words.cause}`;
      return together(pair, `${of.id}-both-${position}-${words.what}`, { ...words, cause });
    }),
  );
}

/** Two single faults as one; none where the style has not both. */
function together([one, other, more]: readonly Fault[], id: string, { cause, nextProbe }: Words): Fault[] {
  if (one === undefined || other === undefined || more !== undefined) return [];
  const edits: FaultEdit[] = [...one.edits, ...other.edits];
  return [
    faultOf([...one.parts, ...other.parts], id, one.kind, {
      id,
      marks: [...one.marks, ...other.marks],
      cause,
      nextProbe,
      does: one.probe.does === 'bridge' ? 'look' : one.probe.does,
      // A drop has two ends: those of the first, as the sentence asks for each.
      at: one.probe.at,
      edits,
      commonness: TWICE * Math.min(one.commonness, other.commonness),
      comesInDegrees: one.comesInDegrees,
    }),
  ];
}
