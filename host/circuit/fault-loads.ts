// Faults of a harness with a known load in the motor's plug: the motor's own drop out, the load may be off the leads.

import type { CircuitStyle, StyleElement } from '../profile/index.js';
import { type Fault, OPEN_OHM } from './fault-edits.js';
import { motorFaults } from './fault-motors.js';
import { CHAFED_OHM } from './fault-wires.js';
import { placeNode } from './unit-rig.js';

type Motor = Extract<StyleElement, { kind: 'motor' }>;

const motorsOf = (style: CircuitStyle): Motor[] =>
  style.elements.filter(({ kind }) => kind === 'motor') as Motor[];

/** Ids of the faults that are the motor's own. */
export function motorFaultIds(style: CircuitStyle): Set<string> {
  return new Set(motorsOf(style).flatMap((motor) => motorFaults(motor).map(({ id }) => id)));
}

/** `others` without the motor's own, and with what can be wrong where the load hangs. */
export function loadFaults(style: CircuitStyle, others: readonly Fault[]): Fault[] {
  const ofMotor = motorFaultIds(style);
  return [
    ...others.filter(({ id }) => !ofMotor.has(id)),
    ...motorsOf(style).flatMap(({ id, a, b }): Fault[] => [
      {
        id: 'load-open',
        sentence:
          'The known load is not joined, or open: both leads have their voltage and no current flows.',
        nextProbe: 'Push the load home on the motor plug, then measure it across its own plug.',
        edits: [{ do: 'series', at: { element: id, terminal: 'b' }, resistanceOhm: OPEN_OHM }],
      },
      {
        id: 'leads-bridged',
        sentence: 'Motor lead A and motor lead B touch each other.',
        nextProbe: 'Take the load off and throw again: a short that stays is between the two leads.',
        edits: [{ do: 'bridge', id: 'short', a: placeNode(a), b: placeNode(b), resistanceOhm: CHAFED_OHM }],
      },
    ]),
  ];
}
