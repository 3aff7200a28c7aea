// Faults of wires: broken, corroded, chafed, landed on the wrong terminal. Made from the style's own wires.

import { type CircuitStyle, type StyleElement, terminalsOf } from '../profile/index.js';
import { type Fault, type FaultKind, faultOf, type StatedFault } from './fault.js';
import { bridge, exchange, series } from './fault-edits.js';
import { elementWords, fromTo, marksAt, placeWords, theWords, wireRun } from './fault-words.js';
import { placeNode } from './unit-rig.js';

export type Wire = Extract<StyleElement, { kind: 'wire' }>;
type End = 'a' | 'b';

/** Where the rig's clips bite on a unit's own wires. */
const POSTS: readonly string[] = ['rig.feed', 'rig.ground'];

/** A corroded joint that is worth finding: 2 V at 4 A. Common practice, no source. */
export const CORRODED_OHM = 0.5;
/** Missed jumpers, exchanged leads, feed and ground are what hands meet oftener than the rest. Common practice, no source. */
const MET_OFTENER = 2;

const wiresOf = (style: CircuitStyle): Wire[] => style.elements.filter((element) => element.kind === 'wire');
export const wiresFor = (style: CircuitStyle, role: Wire['role']): Wire[] =>
  wiresOf(style).filter((wire) => wire.role === role);

export function wireFaults(style: CircuitStyle): Fault[] {
  return [
    ...wiresOf(style).flatMap((wire) => oneWire(style, wire)),
    ...pairOf(style, 'lead', leadPair),
    ...pairOf(style, 'trigger', triggerPair),
    ...pairOf(style, 'jumper', jumperFaults),
  ];
}

function oneWire(style: CircuitStyle, wire: Wire): Fault[] {
  const { role } = wire;
  const words = theWords(wire);
  const run = wireRun(style, wire);
  const ends = fromTo(style, wire.a, wire.b);
  const marks = marksAt(style, wire.a, wire.b);
  const own = (what: string, kind: FaultKind, stated: StatedFault): Fault =>
    faultOf([wire], what, kind, { marks, at: [wire.a, wire.b], ...stated });
  const on = style.subject === 'relay' ? 'Switch the coil on' : 'Throw each way';
  const isMain = role === 'feed' || role === 'ground';
  const isJumper = role === 'jumper';
  const isOnPost = isMain && !wire.rigOwn && [wire.a, wire.b].some((node) => POSTS.includes(node));
  const faults = [
    own(isJumper ? 'missing' : 'open', 'open', {
      cause: `${words} is ${isJumper ? 'missing or broken' : 'open'}${run}`,
      nextProbe: isOnPost
        ? `Look at the rig's clip${role === 'feed' ? " and the unit's fuse" : ''} first; then put a fused test lead ${ends} and throw again.`
        : `Put a fused test lead ${ends} and throw again.`,
      does: 'bridge',
      edits: [series(wire.id, 'a')],
      commonness: isMain || isJumper ? MET_OFTENER : 1,
    }),
  ];
  // Half an ohm in a coil circuit of some 85 Ohm is no fault.
  if (role !== 'trigger' && role !== 'coil-feed') {
    faults.push(
      own('resistance', 'resistance', {
        cause: `${words} has a bad or corroded joint${run}`,
        ...(wire.rigOwn
          ? {
              nextProbe: `${on} and watch the readings: if they jump when you press and turn both ends of ${words}, clean and tighten these and repeat.`,
              does: 'press',
              asks: `${on} and watch the readings: do they jump when you press and turn both ends of ${words}?`,
              ifYes: 'clean and tighten these and repeat',
            }
          : {
              nextProbe: `Measure ${ends} with the motor running: more than 0.2 V is a bad joint.`,
              does: 'measure-drop',
            }),
        edits: [series(wire.id, 'a', CORRODED_OHM)],
        commonness: isMain ? MET_OFTENER : 1,
        comesInDegrees: true,
      }),
    );
  }
  if (role === 'lead') {
    const chafed = (onto: string, to: string, node: string): Fault =>
      own(`shorted-to-${onto}`, 'shorted', {
        cause: `${words} is chafed through to ${to}`,
        nextProbe: `Outputs off, unplug the motor and ${pulled(style)}: ${words} must read open to ${to}, or some 20 kΩ where it is still on the rig.`,
        does: 'measure-resistance',
        at: [wire.a, node],
        edits: [bridge(wire.a, node)],
      });
    faults.push(chafed('ground', 'ground', 'rig.ground'), chafed('feed', 'the feed', 'rig.feed'));
  }
  if (role === 'trigger') {
    const isGround = style.triggerSide === 'ground';
    // Off the rig's end, a wire that is chafed on its way stays fed.
    const atRelay = wire.a.startsWith('rig.') ? wire.b : wire.a;
    faults.push(
      own('held', 'shorted', {
        cause: `${words} is shorted to ${isGround ? 'ground' : 'the coil feed'}`,
        because: 'its relay stays pulled in',
        nextProbe: `Take the wire off ${placeWords(style, atRelay)}: the relay must drop out.`,
        does: 'disconnect',
        at: [atRelay],
        edits: [bridge(wire.a, isGround ? 'rig.ground' : 'rig.coil-feed')],
      }),
    );
  }
  return faults;
}

/** What to take off so that a motor lead hangs free at the other end. */
function pulled(style: CircuitStyle): string {
  const relays = style.elements.filter(({ kind }) => kind === 'relay').map(elementWords);
  if (relays.length > 0) return `pull ${relays.join(' and ')}`;
  const hasSwitch = style.elements.some(({ kind }) => kind === 'switch');
  return hasSwitch ? 'the switch' : "take it off the rig's stand-in";
}

function pairOf(
  style: CircuitStyle,
  role: Wire['role'],
  make: (style: CircuitStyle, pair: readonly [Wire, Wire]) => Fault[],
): Fault[] {
  const [first, second] = wiresFor(style, role);
  return first === undefined || second === undefined ? [] : make(style, [first, second]);
}

/** A fault of two wires, under a name of its own. */
const ofBoth = (wires: readonly [Wire, Wire], id: string, kind: FaultKind, stated: StatedFault): Fault =>
  faultOf(wires, id, kind, { id, at: wires.map(({ a }) => a), ...stated });

const endsExchanged = ([first, second]: readonly [Wire, Wire], end: End = 'b') =>
  exchange({ element: first.id, terminal: 'b' }, { element: second.id, terminal: end });

function leadPair(_style: CircuitStyle, leads: readonly [Wire, Wire]): Fault[] {
  return [
    ofBoth(leads, 'motor-leads-exchanged', 'exchanged', {
      cause: `${leads.map(theWords).join(' and ')} are exchanged at the motor plug`,
      nextProbe:
        'Exchange the two leads at the motor plug and throw again: the motor must turn the other way.',
      does: 'exchange',
      at: leads.map(({ b }) => b),
      edits: [endsExchanged(leads)],
      commonness: MET_OFTENER,
    }),
  ];
}

function triggerPair(style: CircuitStyle, triggers: readonly [Wire, Wire]): Fault[] {
  const [first, second] = triggers;
  const forward = triggers.find(({ a, b }) => [a, b].includes('rig.trigger-forward')) ?? first;
  const relay = style.elements.find(
    (element) =>
      element.kind === 'relay' &&
      terminalsOf(element).some(([, node]) => node === forward.a || node === forward.b),
  );
  const right = relay === undefined ? 'the one that lifts lead A over lead B' : elementWords(relay);
  const words = triggers.map(theWords).join(' and ');
  return [
    ofBoth(triggers, 'trigger-wires-exchanged', 'exchanged', {
      cause: `${words} are exchanged`,
      nextProbe: `Throw forward and feel which relay clicks: it must be ${right}.`,
      does: 'feel',
      edits: [endsExchanged(triggers)],
    }),
    ofBoth(triggers, 'trigger-wires-bridged', 'shorted', {
      cause: `${words} touch`,
      because: 'both relays pull in together',
      nextProbe: 'Unplug one trigger wire and throw the other way: only one relay may click.',
      does: 'disconnect',
      edits: [bridge(first.a, second.a)],
    }),
  ];
}

/** Two jumpers with ends exchanged, and each end of a jumper on another terminal that a jumper of the style uses. */
function jumperFaults(style: CircuitStyle, pair: readonly [Wire, Wire]): Fault[] {
  const [first, second] = pair;
  const jumpers = wiresFor(style, 'jumper');
  const nextProbe = `Look at both jumpers, terminal by terminal: ${jumpers.map(({ a, b }) => `${a} to ${b}`).join(', ')}, and nothing else between these terminals.`;
  const nodes = [...new Set(jumpers.flatMap(({ a, b }) => [a, b]))];
  const joining = (end: End, one: string, two: string): Fault =>
    ofBoth(pair, `jumpers-${one}-${two}`, 'exchanged', {
      marks: marksAt(style, ...nodes),
      cause: `the two jumpers join ${one} and ${two} instead of ${first.a}-${first.b} and ${second.a}-${second.b}`,
      nextProbe,
      does: 'look',
      at: nodes,
      edits: [endsExchanged(pair, end)],
    });
  const landed = jumpers.flatMap((wire) =>
    (['a', 'b'] as const).flatMap((end) =>
      nodes
        .filter((node) => node !== wire.a && node !== wire.b)
        .map((node) =>
          faultOf([wire], `${wire[end]}-on-${node}`, 'misplaced', {
            marks: marksAt(style, wire[end], node),
            cause: `${theWords(wire)} ends on ${node} instead of ${wire[end]}`,
            nextProbe,
            does: 'look',
            at: [wire[end], node],
            edits: [{ do: 'land', at: { element: wire.id, terminal: end }, node: placeNode(node) }],
          }),
        ),
    ),
  );
  return [
    joining('b', `${first.a}-${second.b}`, `${second.a}-${first.b}`),
    joining('a', `${first.a}-${second.a}`, `${first.b}-${second.b}`),
    ...landed,
  ];
}
