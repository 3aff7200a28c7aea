// Edits of a netlist, and a fault as a list of them. Nothing here knows what a fault does to a reading: the solver tells.

import { kindOf } from './elements/index.js';
import type { ProtectorElement } from './elements/protector.js';
import { switchedTo } from './elements/switch.js';
import type { AppliedFault } from './fault.js';
import type { CircuitElement, MotorElement, Netlist } from './netlist.js';
import { placeNode } from './unit-rig.js';

/** A terminal by element and name: `a`, `b`, `anode`, `30`, ...; of a switch the node it is joined to. */
export interface TerminalRef {
  element: string;
  terminal: string;
}

export type FaultEdit =
  /** A resistance in front of one terminal; OPEN_OHM makes it an interruption. */
  | { do: 'series'; at: TerminalRef; resistanceOhm: number }
  /** A resistance in one contact of a switch: the way of one pole to one node. */
  | { do: 'series-throw'; element: string; pole: string; node: string; resistanceOhm: number }
  | { do: 'bridge'; a: string; b: string; resistanceOhm: number }
  /** A protector in front of a motor's terminal b that holds only a part of what the motor draws when it runs. */
  | { do: 'protect'; motor: string; holdsPart: number; protector: ProtectorNumbers }
  /** A second motor of the same numbers, free to turn, between two nodes. */
  | { do: 'second-motor'; motor: string; a: string; b: string }
  | { do: 'exchange'; first: TerminalRef; second: TerminalRef }
  /** The terminal's wire ends at another node. */
  | { do: 'land'; at: TerminalRef; node: string }
  | { do: 'set'; element: string; values: Readonly<Record<string, unknown>> }
  | { do: 'scale'; element: string; factors: Readonly<Record<string, number>> }
  /** A second make contact on the same armature, from 30 to where 87a was. */
  | { do: 'double-make'; relay: string };

type ProtectorNumbers = Omit<ProtectorElement, 'kind' | 'id' | 'a' | 'b' | 'holdCurrentA'>;

/** At which a motor's running current is reckoned, less a running battery's own drop. Common practice, no source. */
const RUNNING_V = 12.5;

/** Insulation of a broken joint: high beside every load on the bench, and no floating node behind it. */
export const OPEN_OHM = 1e9;
/** A chafed-through wire. Common practice, no source. */
export const CHAFED_OHM = 0.01;
/** Twin contact of the same armature: a coil so thin that it adds a thousandth to the coil current. */
const TWIN_COIL_FACTOR = 1000;

export const series = (element: string, terminal: string, resistanceOhm = OPEN_OHM): FaultEdit => ({
  do: 'series',
  at: { element, terminal },
  resistanceOhm,
});
/** Between two nodes of the style. */
export const bridge = (a: string, b: string, resistanceOhm = CHAFED_OHM): FaultEdit => ({
  do: 'bridge',
  a: placeNode(a),
  b: placeNode(b),
  resistanceOhm,
});
/** The terminal's wire on another node of the style, or on one of its own. */
export const land = (element: string, terminal: string, node: string): FaultEdit => ({
  do: 'land',
  at: { element, terminal },
  node: placeNode(node),
});
export const exchange = (first: TerminalRef, second: TerminalRef): FaultEdit => ({
  do: 'exchange',
  first,
  second,
});
export const set = (element: string, values: Readonly<Record<string, unknown>>): FaultEdit => ({
  do: 'set',
  element,
  values,
});
export const scale = (element: string, factors: Readonly<Record<string, number>>): FaultEdit => ({
  do: 'scale',
  element,
  factors,
});

/**
 * Copies `netlist` with the fault's edits made. What they add is named after the fault and belongs to its first part.
 * @throws RangeError when an edit names what is not there.
 */
export function applyFault(netlist: Netlist, { id, edits, parts }: AppliedFault): Netlist {
  const elements = [...netlist.elements];
  const partOf = parts?.[0]?.id;
  edits.forEach((edit, index) => {
    const mark = { id: `${id}-${index}`, ...(partOf === undefined ? {} : { partOf }) };
    make(edit, elements, mark);
  });
  return { elements };
}

type Mark = Pick<CircuitElement, 'id' | 'partOf'>;

/** Makes one edit in place. */
function make(edit: FaultEdit, elements: CircuitElement[], mark: Mark): void {
  switch (edit.do) {
    case 'series': {
      const { at, resistanceOhm } = edit;
      const a = moved(elements, at, (from) => `${from}~${mark.id}`);
      elements.push({ kind: 'resistor', ...mark, a, b: `${a}~${mark.id}`, resistanceOhm });
      return;
    }
    case 'series-throw': {
      const { element: id, pole, node: a, resistanceOhm } = edit;
      const b = `${a}~${mark.id}`;
      replace(elements, id, (element) => {
        if (element.kind !== 'switch') throw new RangeError(`series-throw: ${id} is no switch`);
        return switchedTo(element, (to, of) => (of === pole && to === a ? b : to));
      });
      elements.push({ kind: 'resistor', ...mark, a, b, resistanceOhm });
      return;
    }
    case 'bridge': {
      const { a, b, resistanceOhm } = edit;
      elements.push({ kind: 'resistor', ...mark, a, b, resistanceOhm });
      return;
    }
    case 'exchange': {
      const second = moved(elements, edit.second, (from) => from);
      const first = moved(elements, edit.first, () => second);
      moved(elements, edit.second, () => first);
      return;
    }
    case 'land':
      moved(elements, edit.at, () => edit.node);
      return;
    case 'protect': {
      const { motor, holdsPart, protector } = edit;
      const holdCurrentA = holdsPart * runningA(motorIn(elements, motor));
      const a = moved(elements, { element: motor, terminal: 'b' }, (from) => `${from}~${mark.id}`);
      elements.push({ kind: 'protector', ...mark, a, b: `${a}~${mark.id}`, ...protector, holdCurrentA });
      return;
    }
    case 'second-motor':
      elements.push(secondMotor(elements, edit, mark));
      return;
    case 'set':
      replace(elements, edit.element, (element) => ({ ...element, ...edit.values }) as CircuitElement);
      return;
    case 'scale':
      replace(elements, edit.element, (element) => scaled(element, edit.factors));
      return;
    case 'double-make':
      doubleMake(elements, edit.relay);
  }
}

function scaled(element: CircuitElement, factors: Readonly<Record<string, number>>): CircuitElement {
  const stated: Record<string, unknown> = { ...element };
  for (const [key, factor] of Object.entries(factors)) {
    const value = stated[key];
    if (typeof value !== 'number') throw new RangeError(`scale: ${element.id} has no number ${key}`);
    stated[key] = value * factor;
  }
  return stated as unknown as CircuitElement;
}

function doubleMake(elements: CircuitElement[], id: string): void {
  replace(elements, id, (relay) => {
    if (relay.kind !== 'relay') throw new RangeError(`double-make: ${id} is no relay`);
    const { '87a': rest, ...others } = relay.terminals;
    if (rest === undefined) throw new RangeError(`double-make: ${id} has no 87a`);
    elements.push({
      ...relay,
      id: `${id}~twin`,
      partOf: id,
      terminals: { '30': others['30'], '85': others['85'], '86': others['86'], '87': rest },
      coilResistanceOhm: relay.coilResistanceOhm * TWIN_COIL_FACTOR,
      coilInductanceH: relay.coilInductanceH * TWIN_COIL_FACTOR,
      pullInCurrentA: relay.pullInCurrentA / TWIN_COIL_FACTOR,
      dropOutCurrentA: relay.dropOutCurrentA / TWIN_COIL_FACTOR,
      suppression: { kind: 'none' },
    });
    return { ...relay, terminals: others };
  });
}

function motorIn(elements: readonly CircuitElement[], id: string): MotorElement {
  const motor = elements.find((element) => element.id === id);
  if (motor?.kind !== 'motor') throw new RangeError(`applyFault: ${id} is no motor`);
  return motor;
}

/** Where torque meets friction and voltage meets back-EMF: kt I = Tc + b w, V = R I + ke w. */
function runningA(motor: MotorElement): number {
  const { resistanceOhm, backEmfVsPerRad, torqueNmPerA, coulombNm, viscousNms } = motor;
  const slope = viscousNms / backEmfVsPerRad;
  return (coulombNm + slope * RUNNING_V) / (torqueNmPerA + slope * resistanceOhm);
}

/** Ends of travel and a held rotor are the first motor's own. */
function secondMotor(
  elements: readonly CircuitElement[],
  { motor: id, a, b }: Extract<FaultEdit, { do: 'second-motor' }>,
  mark: Mark,
): CircuitElement {
  const { endStopsRad: _s, rotorHeld: _h, segmentFault: _f, ...numbers } = motorIn(elements, id);
  return { ...numbers, ...mark, a: placeNode(a), b: placeNode(b) };
}

function replace(
  elements: CircuitElement[],
  id: string,
  change: (element: CircuitElement) => CircuitElement,
): void {
  const at = elements.findIndex((each) => each.id === id);
  const element = elements[at];
  if (element === undefined) throw new RangeError(`applyFault: no element ${id} in the netlist`);
  elements[at] = change(element);
}

/** Joins a terminal to another node, made from the one where it was, which is returned. */
function moved(
  elements: CircuitElement[],
  { element: id, terminal }: TerminalRef,
  to: (from: string) => string,
): string {
  let was: string | undefined;
  replace(elements, id, (element) =>
    kindOf(element).joinedAt(element, (node, name) => {
      if (name !== terminal) return node;
      was = node;
      return to(node);
    }),
  );
  if (was === undefined) throw new RangeError(`applyFault: ${id} has no terminal ${terminal}`);
  return was;
}
