// Faults of wires: broken, corroded, chafed, landed on the wrong terminal. Made from the style's own wires.

import { type CircuitStyle, nodesOf, type StyleElement } from '../profile/index.js';
import { type Fault, OPEN_OHM } from './fault-edits.js';
import { capitalised, elementWords, fromTo, placeWords, theWords, wireRun } from './fault-words.js';
import { placeNode } from './unit-rig.js';

export type Wire = Extract<StyleElement, { kind: 'wire' }>;

/** A corroded joint that is worth finding: 2 V at 4 A. Common practice, no source. */
export const CORRODED_OHM = 0.5;
/** A chafed-through wire. Common practice, no source. */
export const CHAFED_OHM = 0.01;

export function wiresOf(style: CircuitStyle): Wire[] {
  return style.elements.filter((element) => element.kind === 'wire');
}

export function wireFaults(style: CircuitStyle): Fault[] {
  return [
    ...wiresOf(style).flatMap((wire) => oneWire(style, wire)),
    ...pairOf(style, 'lead', leadPair),
    ...pairOf(style, 'trigger', triggerPair),
    ...jumperFaults(style),
  ];
}

function oneWire(style: CircuitStyle, wire: Wire): Fault[] {
  const words = theWords(wire);
  const run = wireRun(style, wire);
  const ends = fromTo(style, wire.a, wire.b);
  const isJumper = wire.role === 'jumper';
  const faults: Fault[] = [
    {
      id: `${wire.id}-${isJumper ? 'missing' : 'open'}`,
      sentence: `${capitalised(words)} is ${isJumper ? 'missing or broken' : 'open'}${run}.`,
      nextProbe: `Put a test lead ${ends} and throw again.`,
      edits: [{ do: 'series', at: { element: wire.id, terminal: 'a' }, resistanceOhm: OPEN_OHM }],
    },
  ];
  // Half an ohm in a coil circuit of some 85 Ohm is no fault.
  if (wire.role !== 'trigger' && wire.role !== 'coil-feed') {
    faults.push({
      id: `${wire.id}-resistance`,
      sentence: `${capitalised(words)} has a bad or corroded joint${run}.`,
      nextProbe: `Measure ${ends} with the motor running: more than 0.2 V is a bad joint.`,
      edits: [{ do: 'series', at: { element: wire.id, terminal: 'a' }, resistanceOhm: CORRODED_OHM }],
    });
  }
  if (wire.role === 'lead')
    faults.push(chafed(style, wire, 'ground', 'rig.ground'), chafed(style, wire, 'feed', 'rig.feed'));
  if (wire.role === 'trigger') {
    const side = style.triggerSide === 'ground' ? 'rig.ground' : 'rig.coil-feed';
    faults.push({
      id: `${wire.id}-held`,
      sentence: `${capitalised(words)} is shorted to ${style.triggerSide === 'ground' ? 'ground' : 'the coil feed'}: its relay stays pulled in.`,
      nextProbe: `Take the wire off ${placeWords(style, wire.a)}: the relay must drop out.`,
      edits: [
        { do: 'bridge', id: 'short', a: placeNode(wire.a), b: placeNode(side), resistanceOhm: CHAFED_OHM },
      ],
    });
  }
  return faults;
}

function chafed(style: CircuitStyle, wire: Wire, what: 'ground' | 'feed', node: string): Fault {
  const words = theWords(wire);
  return {
    id: `${wire.id}-shorted-to-${what}`,
    sentence: `${capitalised(words)} is chafed through to ${what === 'ground' ? 'ground' : 'the feed'}.`,
    nextProbe: `Unplug the motor and ${pulled(style)}: ${words} must read open to ${what === 'ground' ? 'ground' : 'the feed'}.`,
    edits: [
      { do: 'bridge', id: 'short', a: placeNode(wire.a), b: placeNode(node), resistanceOhm: CHAFED_OHM },
    ],
  };
}

/** What to take off so that a motor lead hangs free at the other end. */
function pulled(style: CircuitStyle): string {
  const relays = style.elements.filter(({ kind }) => kind === 'relay').map(elementWords);
  return relays.length > 0 ? `pull ${relays.join(' and ')}` : 'unplug the switch';
}

function pairOf(
  style: CircuitStyle,
  role: Wire['role'],
  make: (style: CircuitStyle, first: Wire, second: Wire) => Fault[],
): Fault[] {
  const [first, second] = wiresOf(style).filter((wire) => wire.role === role);
  return first === undefined || second === undefined ? [] : make(style, first, second);
}

function exchangedEnds(
  first: Wire,
  second: Wire,
  terminal: 'a' | 'b',
  other: 'a' | 'b' = terminal,
): Fault['edits'] {
  return [
    {
      do: 'exchange',
      first: { element: first.id, terminal },
      second: { element: second.id, terminal: other },
    },
  ];
}

function leadPair(_style: CircuitStyle, first: Wire, second: Wire): Fault[] {
  return [
    {
      id: 'motor-leads-exchanged',
      sentence: `${capitalised(theWords(first))} and ${theWords(second)} are exchanged at the motor plug.`,
      nextProbe:
        'Exchange the two leads at the motor plug and throw again: the motor must turn the other way.',
      edits: exchangedEnds(first, second, 'b'),
    },
  ];
}

function triggerPair(style: CircuitStyle, first: Wire, second: Wire): Fault[] {
  const forward = [first, second].find(({ a, b }) => [a, b].includes('rig.trigger-forward')) ?? first;
  const relay = style.elements.find(
    (element) =>
      element.kind === 'relay' && nodesOf(element).some((node) => [forward.a, forward.b].includes(node)),
  );
  const right = relay === undefined ? 'the one that lifts lead A over lead B' : elementWords(relay);
  return [
    {
      id: 'trigger-wires-exchanged',
      sentence: `${capitalised(theWords(first))} and ${theWords(second)} are exchanged.`,
      nextProbe: `Throw forward and feel which relay clicks: it must be ${right}.`,
      edits: exchangedEnds(first, second, 'b'),
    },
    {
      id: 'trigger-wires-bridged',
      sentence: `${capitalised(theWords(first))} and ${theWords(second)} touch: both relays pull in together.`,
      nextProbe: 'Unplug one trigger wire and throw the other way: only one relay may click.',
      edits: [{ do: 'bridge', id: 'short', a: first.a, b: second.a, resistanceOhm: CHAFED_OHM }],
    },
  ];
}

/** Two jumpers with ends exchanged, and each end of a jumper on another terminal that a jumper of the style uses. */
function jumperFaults(style: CircuitStyle): Fault[] {
  const jumpers = wiresOf(style).filter((wire) => wire.role === 'jumper');
  const [first, second] = jumpers;
  if (first === undefined || second === undefined) return [];
  const look = 'Compare both jumpers with the drawing, terminal by terminal.';
  const pairing = (other: 'a' | 'b'): Fault => {
    const [one, two] = other === 'b' ? [second.b, first.b] : [second.a, first.b];
    const ends = `${first.a}-${one} and ${other === 'b' ? `${second.a}-${two}` : `${two}-${second.b}`}`;
    return {
      id: `jumpers-${first.a}-${one}-${other === 'b' ? `${second.a}-${two}` : `${two}-${second.b}`}`,
      sentence: `The two jumpers join ${ends} instead of ${first.a}-${first.b} and ${second.a}-${second.b}.`,
      nextProbe: look,
      edits: exchangedEnds(first, second, 'b', other),
    };
  };
  const landed = jumpers.flatMap((wire) =>
    (['a', 'b'] as const).flatMap((end) =>
      [...new Set(jumpers.flatMap(({ a, b }) => [a, b]))]
        .filter((node) => node !== wire.a && node !== wire.b)
        .map((node) => ({
          id: `${wire.id}-${wire[end]}-on-${node}`,
          sentence: `${capitalised(theWords(wire))} ends on ${node} instead of ${wire[end]}.`,
          nextProbe: look,
          edits: [{ do: 'land' as const, at: { element: wire.id, terminal: end }, node: placeNode(node) }],
        })),
    ),
  );
  return [pairing('b'), pairing('a'), ...landed];
}
