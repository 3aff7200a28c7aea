// Faults of switches, limit switches, diodes and fuses, made from the style's own elements.

import type { CircuitStyle, StyleElement } from '../profile/index.js';
import { type Fault, type FaultKind, faultOf, type StatedFault } from './fault.js';
import { bridge, exchange, type FaultEdit, OPEN_OHM, scale, series, set } from './fault-edits.js';
import { CORRODED_OHM } from './fault-wires.js';
import { elementWords, fromTo, placeWords, theWords } from './fault-words.js';
import { placeNode } from './unit-rig.js';

type Of<K extends StyleElement['kind']> = Extract<StyleElement, { kind: K }>;
type Pole = Of<'switch'>['poles'][number];

/** A 5 A blade where a 15 A one belongs. Choice of this model, no source. */
const SMALL_FUSE = 1 / 3;

/** Of one element of the style; none for other kinds. */
export function switchgearFaults(style: CircuitStyle, element: StyleElement): Fault[] {
  switch (element.kind) {
    case 'switch':
      return element.poles.flatMap((pole) =>
        [...new Set(Object.values(pole.throws))].flatMap((node) =>
          contactFaults(style, { of: element, pole, node }),
        ),
      );
    case 'limit':
      return limitFaults(element);
    case 'diode':
      return diodeFaults(element);
    case 'fuse':
      return fuseFaults(element);
    default:
      return [];
  }
}

/** Chance that a switch with a worn detent loses its throw for a moment. Common practice, no source. */
const DETENT_SLIPS = 0.9;

/** A worn detent: only a hand on the unit's own switch can show it, and it reads like a loose joint. */
export function fallsBackFaults(style: CircuitStyle): Fault[] {
  const switches = style.elements.filter(({ kind, rigOwn }) => kind === 'switch' && rigOwn !== true);
  if (switches.length === 0) return [];
  return [
    faultOf(switches, 'falls-back', 'worn', {
      id: 'switch-falls-back',
      cause: 'the switch falls back by itself',
      because: 'its detent is worn',
      nextProbe:
        'Press the switch firmly home while it runs: dropouts that stop are its detent, those that stay a joint.',
      does: 'feel',
      commonness: 0.5,
      edits: [],
      dropouts: { harness: DETENT_SLIPS },
      byHandOnly: true,
    }),
  ];
}

/** A pole's common and one node it is thrown to; several positions may close it. */
interface Contact {
  of: Of<'switch'>;
  pole: Pole;
  node: string;
}

/** A node as it is called on the switch. */
const bare = (node: string): string => node.replace('rig.', '');

/** Clips that a person is asked to place, told as a switch. */
const isPlacedByHand = (style: CircuitStyle, { id }: Contact['of']): boolean =>
  Object.values(style.asks).some(({ does }) => does[id] !== undefined);

function contactFaults(style: CircuitStyle, contact: Contact): Fault[] {
  const { of, pole, node } = contact;
  const words = theWords(of);
  const areClips = isPlacedByHand(style, of);
  const isRelay = style.subject === 'relay';
  const position = Object.entries(pole.throws).find(([, to]) => to === node)?.[0] ?? node;
  const isOneOfSeveral = of.poles.length > 1;
  const told = areClips
    ? `the contact of ${placeWords(style, pole.common)} on ${placeWords(style, node)}`
    : isOneOfSeveral
      ? `contact ${bare(pole.common)}-${bare(node)} of ${words}`
      : `the ${position} contact of ${words}`;
  // `switch-pole-1-a1`, or for one pole `main-a-rest`: by the position that closes it first.
  const name = isOneOfSeveral ? `${pole.id}-${bare(node)}` : position;
  const ends = fromTo(style, pole.common, node);
  const marks = [pole.common, node].map((mark) => ({ part: of.id, mark }));
  const own = (what: string, kind: FaultKind, stated: StatedFault): Fault =>
    faultOf([of], `${name}-${what}`, kind, { marks, at: [pole.common, node], ...stated });
  /** The pole's own way to the node gets a resistance; other poles that share the node keep theirs. */
  const inSeries = (resistanceOhm: number): FaultEdit[] => [
    { do: 'series-throw', element: of.id, pole: pole.id, node: placeNode(node), resistanceOhm },
  ];
  const alike = [
    own('open', 'open', {
      cause: areClips ? `${told} is open` : `${told} does not close, or its plug terminal is loose`,
      nextProbe: `${isRelay ? 'Switch the coil on' : 'Throw again'} and measure ${ends}: the full supply there is an open contact.`,
      does: 'measure-drop',
      edits: inSeries(OPEN_OHM),
    }),
    own('burnt', 'resistance', {
      cause: areClips ? `${told} is poor` : `${told} is burnt, or its plug terminal is poor`,
      nextProbe: `Measure ${ends} with the ${isRelay ? 'coil on' : 'motor running'}: more than 0.3 V is a poor contact.`,
      does: 'measure-drop',
      edits: inSeries(CORRODED_OHM),
      comesInDegrees: true,
    }),
  ];
  // What a person took off a terminal no longer touches it.
  if (areClips) return alike;
  return [
    ...alike,
    own('welded', 'welded', {
      cause: `${told} does not open`,
      nextProbe: of.rigOwn
        ? `Take the wires off it, throw both ways and measure ${ends}: it must open.`
        : `Pull the plug, work the switch and measure ${ends}: it must open.`,
      does: 'measure-resistance',
      edits: [bridge(pole.common, node, of.contactResistanceOhm)],
    }),
  ];
}

function limitFaults(limit: Of<'limit'>): Fault[] {
  const { id, a, b } = limit;
  const words = elementWords(limit);
  return [
    faultOf([limit], 'stuck-closed', 'welded', {
      cause: `the ${words} does not open at the end of travel`,
      nextProbe: `Outputs off, unplug the drive, work the ${words} by hand and measure across it: it must open.`,
      does: 'measure-resistance',
      at: [a, b],
      edits: [set(id, { stuck: 'closed' })],
    }),
    faultOf([limit], 'open', 'open', {
      cause: `the ${words} does not close`,
      nextProbe: `Run it off that end, outputs off, unplug the drive and measure across the ${words}: it must be closed there. Never bridge it.`,
      does: 'measure-resistance',
      at: [a, b],
      edits: [set(id, { stuck: 'open' })],
    }),
  ];
}

function diodeFaults(diode: Of<'diode'>): Fault[] {
  const { id: element, anode, cathode } = diode;
  const words = elementWords(diode);
  const own = (what: string, kind: FaultKind, cause: string, edit: FaultEdit): Fault =>
    faultOf([diode], what, kind, {
      cause: `the ${words} is ${cause}`,
      nextProbe: `Unplug the drive, hold the limit switch open and put a diode tester on the ${words}: it must read one way only.`,
      does: 'test-diode',
      at: [anode, cathode],
      edits: [edit],
    });
  return [
    own('open', 'open', 'open', series(element, 'anode')),
    own('shorted', 'shorted', 'shorted', bridge(anode, cathode)),
    own(
      'reversed',
      'exchanged',
      'fitted the wrong way round',
      exchange({ element, terminal: 'anode' }, { element, terminal: 'cathode' }),
    ),
  ];
}

function fuseFaults(fuse: Of<'fuse'>): Fault[] {
  const { id, a, b, ratedA } = fuse;
  const words = theWords(fuse);
  return [
    faultOf([fuse], 'blown', 'open', {
      cause: `${words} is blown`,
      nextProbe: `Outputs off, pull ${words} and look at its strip, or measure across it: a good one reads below 1 Ω.`,
      does: 'look',
      at: [a, b],
      edits: [series(id, 'a')],
    }),
    faultOf([fuse], 'too-small', 'wrong-part', {
      cause: `${words} is too small`,
      because: 'it blows in use',
      nextProbe: `Read the rating on ${words}: ${ratedA} A belongs there.`,
      does: 'look',
      edits: [scale(id, { ratedA: SMALL_FUSE })],
    }),
  ];
}
