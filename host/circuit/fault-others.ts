// Faults of switches, limit switches, diodes and fuses, made from the style's own elements.

import type { CircuitStyle, StyleElement } from '../profile/index.js';
import { type Fault, type FaultEdit, OPEN_OHM } from './fault-edits.js';
import { motorFaults } from './fault-motors.js';
import { CHAFED_OHM, CORRODED_OHM } from './fault-wires.js';
import { capitalised, elementWords, fromTo, theWords } from './fault-words.js';
import { placeNode } from './unit-rig.js';

type Of<K extends StyleElement['kind']> = Extract<StyleElement, { kind: K }>;

/** A 5 A blade where a 15 A one belongs. Choice of this model, no source. */
const SMALL_FUSE = 1 / 3;

export function otherFaults(style: CircuitStyle): Fault[] {
  return style.elements.flatMap((element): Fault[] => {
    switch (element.kind) {
      case 'switch':
        return switchFaults(style, element);
      case 'motor':
        return motorFaults(element);
      case 'limit':
        return limitFaults(element);
      case 'diode':
        return diodeFaults(element);
      case 'fuse':
        return [
          {
            id: `${element.id}-blown`,
            sentence: `${capitalised(theWords(element))} is blown.`,
            nextProbe: `Measure both sides of ${theWords(element)} against ground.`,
            edits: [{ do: 'set', element: element.id, values: { blown: true } }],
          },
          {
            id: `${element.id}-too-small`,
            sentence: `${capitalised(theWords(element))} is too small: it blows in use.`,
            nextProbe: `Read the rating on ${theWords(element)}: ${element.ratedA} A belongs there.`,
            edits: [{ do: 'scale', element: element.id, key: 'ratedA', factor: SMALL_FUSE }],
          },
        ];
      default:
        return [];
    }
  });
}

/** One contact is a pole's common and one node it is thrown to; several positions may close it. */
function switchFaults(style: CircuitStyle, element: Of<'switch'>): Fault[] {
  const words = theWords(element);
  return element.poles.flatMap((pole) =>
    [...new Set(Object.values(pole.throws))].flatMap((node): Fault[] => {
      const id = contactId(element, pole, node);
      const position = positionOf(pole, node);
      const contact =
        element.poles.length > 1
          ? `Contact ${pole.common}-${node} of ${words}`
          : `The ${position} contact of ${words}`;
      const ends = fromTo(style, pole.common, node);
      return [
        {
          id: `${id}-open`,
          sentence: `${contact} does not close, or its plug terminal is loose.`,
          nextProbe: `Throw again and measure ${ends}: the full supply there is an open contact.`,
          edits: throwEdits(element, pole, node, OPEN_OHM),
        },
        {
          id: `${id}-burnt`,
          sentence: `${contact} is burnt, or its plug terminal is poor.`,
          nextProbe: `Measure ${ends} with the motor running: more than 0.3 V is a poor contact.`,
          edits: throwEdits(element, pole, node, CORRODED_OHM),
        },
        {
          id: `${id}-welded`,
          sentence: `${contact} does not open.`,
          nextProbe: `Pull the plug, work the switch and measure ${ends}: it must open.`,
          edits: [
            {
              do: 'bridge',
              id: 'weld',
              a: placeNode(pole.common),
              b: placeNode(node),
              resistanceOhm: element.contactResistanceOhm,
            },
          ],
        },
      ];
    }),
  );
}

/** `switch-pole-1-a1`, or for one pole `main-a-rest`: by the position that closes it first. */
function contactId(element: Of<'switch'>, pole: Of<'switch'>['poles'][number], node: string): string {
  if (element.poles.length > 1) return `${element.id}-${pole.id}-${node.replace('rig.', '')}`;
  return `${element.id}-${positionOf(pole, node)}`;
}

function positionOf(pole: Of<'switch'>['poles'][number], node: string): string {
  return Object.entries(pole.throws).find(([, to]) => to === node)?.[0] ?? node;
}

/** The pole's own way to `node` gets a resistance; other poles that share the node keep theirs. */
function throwEdits(
  element: Of<'switch'>,
  pole: Of<'switch'>['poles'][number],
  node: string,
  resistanceOhm: number,
): FaultEdit[] {
  return [{ do: 'series-throw', element: element.id, pole: pole.id, node: placeNode(node), resistanceOhm }];
}

function limitFaults(limit: Of<'limit'>): Fault[] {
  const words = elementWords(limit);
  return [
    {
      id: `${limit.id}-stuck-closed`,
      sentence: `The ${words} does not open at the end of travel.`,
      nextProbe: `Operate the ${words} by hand and measure across it.`,
      edits: [{ do: 'set', element: limit.id, values: { stuck: 'closed' } }],
    },
    {
      id: `${limit.id}-open`,
      sentence: `The ${words} does not close.`,
      nextProbe: `Bridge the ${words} and throw again, ready to release.`,
      edits: [{ do: 'set', element: limit.id, values: { stuck: 'open' } }],
    },
  ];
}

function diodeFaults(diode: Of<'diode'>): Fault[] {
  const words = elementWords(diode);
  const probe = `Measure the ${words} both ways with a diode tester, the limit switch open.`;
  const a = placeNode(diode.anode);
  const b = placeNode(diode.cathode);
  return [
    {
      id: `${diode.id}-open`,
      sentence: `The ${words} is open.`,
      nextProbe: probe,
      edits: [{ do: 'series', at: { element: diode.id, terminal: 'anode' }, resistanceOhm: OPEN_OHM }],
    },
    {
      id: `${diode.id}-shorted`,
      sentence: `The ${words} is shorted.`,
      nextProbe: probe,
      edits: [{ do: 'bridge', id: 'short', a, b, resistanceOhm: CHAFED_OHM }],
    },
    {
      id: `${diode.id}-reversed`,
      sentence: `The ${words} is fitted the wrong way round.`,
      nextProbe: probe,
      edits: [
        {
          do: 'exchange',
          first: { element: diode.id, terminal: 'anode' },
          second: { element: diode.id, terminal: 'cathode' },
        },
      ],
    },
  ];
}
