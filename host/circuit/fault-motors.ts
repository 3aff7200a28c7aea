// Faults of the motor itself: open, shorted, onto its case, worn, stuck, bound, weak. Circuit edits only; no mechanics
// beyond friction and flux.

import type { StyleElement } from '../profile/index.js';
import { type Fault, type FaultEdit, OPEN_OHM } from './fault-edits.js';
import { CHAFED_OHM } from './fault-wires.js';
import { placeNode } from './unit-rig.js';

type Motor = Extract<StyleElement, { kind: 'motor' }>;

/** Worn brushes and springs: resistance up by 0.1 to 1 Ohm. Common practice, no source. */
const WORN_BRUSH_OHM = 0.6;
/** A bound gearbox asks three times the friction torque. Common practice, no source. */
const BOUND_FRICTION = 3;
/** Weak magnets lose three tenths: more than a hot good motor (a tenth at 80 C) and its tolerance together. Common practice, no source. */
const WEAK_FLUX = 0.7;
/** Burnt winding or carbon track onto the case: little beside the winding. Common practice, no source. */
const WINDING_TO_CASE_OHM = 0.1;

export function motorFaults(motor: Motor): Fault[] {
  const series = (resistanceOhm: number): FaultEdit[] => [
    { do: 'series', at: { element: motor.id, terminal: 'b' }, resistanceOhm },
  ];
  const scale = (key: string, factor: number): FaultEdit => ({ do: 'scale', element: motor.id, key, factor });
  return [
    {
      id: `${motor.id}-open`,
      sentence: 'The motor is open between lead A and lead B, inside or at its plug.',
      nextProbe:
        'Wait two minutes for a tripped protector, then measure the motor at its terminals while turning the shaft.',
      edits: series(OPEN_OHM),
    },
    {
      id: `${motor.id}-brushes-worn`,
      sentence: 'The brushes of the motor are worn, or their springs weak.',
      nextProbe: 'Tap the motor while it runs and watch the current, then look at the brushes.',
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
      sentence: 'The motor does not turn and draws its stall current.',
      nextProbe: 'Take off the gearbox and turn the shaft by hand.',
      edits: [{ do: 'set', element: motor.id, values: { rotorHeld: true } }],
    },
    {
      id: `${motor.id}-gearbox-bound`,
      sentence: 'The motor turns hard: its gearbox is bound or dry.',
      nextProbe: 'Take off the gearbox and run the motor alone.',
      edits: [scale('coulombNm', BOUND_FRICTION)],
    },
    {
      id: `${motor.id}-magnets-weak`,
      sentence: 'The magnets of the motor are weak, or it is still hot.',
      nextProbe: 'Let the motor cool for an hour and throw again.',
      edits: [scale('backEmfVsPerRad', WEAK_FLUX), scale('torqueNmPerA', WEAK_FLUX)],
    },
  ];
}
