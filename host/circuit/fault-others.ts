// Faults of switches, motors, limit switches, diodes and fuses, made from the style's own elements.

import type { CircuitStyle, StyleElement } from '../profile/index.js';
import { type Fault, type FaultEdit, OPEN_OHM } from './fault-edits.js';
import { CHAFED_OHM, CORRODED_OHM } from './fault-wires.js';
import { capitalised, elementWords, placeWords } from './fault-words.js';
import { placeNode } from './unit-rig.js';

type Of<K extends StyleElement['kind']> = Extract<StyleElement, { kind: K }>;

/** Worn brushes and springs: resistance up by 0.1 to 1 Ohm. Common practice, no source. */
const WORN_BRUSH_OHM = 0.6;
/** A bound gearbox asks three times the friction torque; weak magnets lose a fifth. Common practice, no source. */
const BOUND_FRICTION = 3;
const WEAK_FLUX = 0.8;
/** Burnt winding or carbon track onto the case: little beside the winding. Common practice, no source. */
const WINDING_TO_CASE_OHM = 0.1;
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
            sentence: `${capitalised(elementWords(element))} is blown.`,
            nextProbe: `Measure both sides of ${elementWords(element)} against ground.`,
            edits: [{ do: 'set', element: element.id, values: { blown: true } }],
          },
          {
            id: `${element.id}-too-small`,
            sentence: `${capitalised(elementWords(element))} is too small: it blows in use.`,
            nextProbe: `Read the rating on ${elementWords(element)}: ${element.ratedA} A belongs there.`,
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
  const words = elementWords(element);
  return element.poles.flatMap((pole) =>
    [...new Set(Object.values(pole.throws))].flatMap((node): Fault[] => {
      const id = contactId(element, pole, node);
      const position = positionOf(pole, node);
      const contact = `${element.poles.length > 1 ? `contact ${pole.common}-${node}` : `${position} contact`} of the ${words}`;
      const ends = `${placeWords(style, pole.common)} to ${placeWords(style, node)}`;
      return [
        {
          id: `${id}-open`,
          sentence: `The ${contact} does not close, or its plug terminal is loose.`,
          nextProbe: `Bridge from ${ends} at the plug and throw again.`,
          edits: throwEdits(element, pole, node, OPEN_OHM),
        },
        {
          id: `${id}-burnt`,
          sentence: `The ${contact} is burnt, or its plug terminal is poor.`,
          nextProbe: `Measure the voltage from ${ends} while it carries the motor: above 0.3 V it is poor.`,
          edits: throwEdits(element, pole, node, CORRODED_OHM),
        },
        {
          id: `${id}-welded`,
          sentence: `The ${contact} does not open again.`,
          nextProbe: `Unplug the ${words} and measure from ${ends} where it should be open.`,
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

function motorFaults(motor: Of<'motor'>): Fault[] {
  const series = (resistanceOhm: number): FaultEdit[] => [
    { do: 'series', at: { element: motor.id, terminal: 'b' }, resistanceOhm },
  ];
  const scale = (key: string, factor: number): FaultEdit => ({ do: 'scale', element: motor.id, key, factor });
  return [
    {
      id: `${motor.id}-open`,
      sentence: 'The motor is open inside, or its plug, between lead A and lead B.',
      nextProbe:
        'Turn the shaft a little and measure the motor at its own terminals; wait two minutes for a tripped protector.',
      edits: series(OPEN_OHM),
    },
    {
      id: `${motor.id}-brushes-worn`,
      sentence: 'The motor has too much resistance between lead A and lead B: worn brushes or weak springs.',
      nextProbe: 'Tap the brush holders while it runs and measure its resistance at several shaft angles.',
      edits: series(WORN_BRUSH_OHM),
    },
    {
      id: `${motor.id}-shorted`,
      sentence: 'The motor is shorted between lead A and lead B.',
      nextProbe: 'Unplug the motor: the short must go with it.',
      edits: [
        {
          do: 'bridge',
          id: 'short',
          a: placeNode(motor.a),
          b: placeNode(motor.b),
          resistanceOhm: CHAFED_OHM,
        },
      ],
    },
    ...(['a', 'b'] as const).map((side) => ({
      id: `${motor.id}-winding-${side}-to-case`,
      sentence: `The motor winding touches its grounded case on the side of lead ${side.toUpperCase()}.`,
      nextProbe: 'Unplug the motor and measure from each of its terminals to the case: it must read open.',
      edits: [
        {
          do: 'bridge' as const,
          id: 'case',
          a: placeNode(motor[side]),
          b: placeNode('rig.ground'),
          resistanceOhm: WINDING_TO_CASE_OHM,
        },
      ],
    })),
    {
      id: `${motor.id}-rotor-locked`,
      sentence: 'The motor draws its held-rotor current and does not turn.',
      nextProbe: 'Uncouple the gearbox and try to turn the shaft by hand.',
      edits: [{ do: 'set', element: motor.id, values: { rotorHeld: true } }],
    },
    {
      id: `${motor.id}-gearbox-bound`,
      sentence: 'The motor turns against too much friction: gearbox bound or dry.',
      nextProbe: 'Uncouple the gearbox and run the motor alone.',
      edits: [scale('coulombNm', BOUND_FRICTION)],
    },
    {
      id: `${motor.id}-magnets-weak`,
      sentence: 'The motor runs fast for its voltage and draws more current: weak magnets, or still hot.',
      nextProbe: 'Let it cool for an hour and test again.',
      edits: [scale('backEmfVsPerRad', WEAK_FLUX), scale('torqueNmPerA', WEAK_FLUX)],
    },
  ];
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
  const probe = `Measure the ${words} in both directions with a diode tester, limit switch open.`;
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
