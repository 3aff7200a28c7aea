// A fault as a list of edits on a netlist. Nothing here knows what a fault does to a reading: the solver tells.

import type { CircuitElement, Netlist, RelayElement } from './netlist.js';

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
  | { do: 'bridge'; id: string; a: string; b: string; resistanceOhm: number }
  | { do: 'exchange'; first: TerminalRef; second: TerminalRef }
  /** The terminal's wire ends at another node. */
  | { do: 'land'; at: TerminalRef; node: string }
  | { do: 'set'; element: string; values: Readonly<Record<string, unknown>> }
  | { do: 'scale'; element: string; key: string; factor: number }
  /** A second make contact on the same armature, from 30 to where 87a was. */
  | { do: 'double-make'; relay: string };

export interface Fault {
  /** kebab-case, permanent. */
  id: string;
  /** What is wrong, naming terminal and lead. */
  sentence: string;
  /** The one action that confirms or clears it. */
  nextProbe: string;
  /** Faults of one group lie in one unbranched path: no reading of the rig's tells them apart. */
  group?: string;
  edits: readonly FaultEdit[];
}

/** Insulation of a broken joint: high beside every load on the bench, and no floating node behind it. */
export const OPEN_OHM = 1e9;
/** Twin contact of the same armature: a coil so thin that it adds a thousandth to the coil current. */
const TWIN_COIL_FACTOR = 1000;

/** Copies `netlist` with the fault's edits made. @throws RangeError when an edit names what is not there. */
export function applyFault(netlist: Netlist, fault: Pick<Fault, 'id' | 'edits'>): Netlist {
  return fault.edits.reduce(
    (edited, edit, index) => applyEdit(edited, edit, `${fault.id}-${index}`),
    netlist,
  );
}

function applyEdit(netlist: Netlist, edit: FaultEdit, mark: string): Netlist {
  switch (edit.do) {
    case 'series': {
      const old = nodeAt(netlist, edit.at);
      const joint = `${old}~${mark}`;
      const moved = withNode(netlist, edit.at, joint);
      return added(moved, {
        kind: 'resistor',
        id: mark,
        a: old,
        b: joint,
        resistanceOhm: edit.resistanceOhm,
      });
    }
    case 'series-throw': {
      const joint = `${edit.node}~${mark}`;
      const moved = replaced(netlist, edit.element, (element) =>
        withThrow(element, edit.pole, edit.node, joint),
      );
      return added(moved, {
        kind: 'resistor',
        id: mark,
        a: edit.node,
        b: joint,
        resistanceOhm: edit.resistanceOhm,
      });
    }
    case 'bridge':
      return added(netlist, {
        kind: 'resistor',
        id: mark,
        a: edit.a,
        b: edit.b,
        resistanceOhm: edit.resistanceOhm,
      });
    case 'exchange': {
      const first = nodeAt(netlist, edit.first);
      const second = nodeAt(netlist, edit.second);
      return withNode(withNode(netlist, edit.first, second), edit.second, first);
    }
    case 'land':
      return withNode(netlist, edit.at, edit.node);
    case 'set':
      return replaced(netlist, edit.element, (element) => ({ ...element, ...edit.values }) as CircuitElement);
    case 'scale':
      return replaced(netlist, edit.element, (element) => scaled(element, edit.key, edit.factor));
    case 'double-make':
      return doubleMake(netlist, edit.relay);
  }
}

function scaled(element: CircuitElement, key: string, factor: number): CircuitElement {
  const value = (element as unknown as Record<string, unknown>)[key];
  if (typeof value !== 'number') throw new RangeError(`scale: ${element.id} has no number ${key}`);
  return { ...element, [key]: value * factor } as CircuitElement;
}

function doubleMake(netlist: Netlist, id: string): Netlist {
  const relay = find(netlist, id);
  if (relay.kind !== 'relay') throw new RangeError(`double-make: ${id} is no relay`);
  const { '87a': rest, ...others } = relay.terminals;
  if (rest === undefined) throw new RangeError(`double-make: ${id} has no 87a`);
  const twin: RelayElement = {
    ...relay,
    id: `${id}~twin`,
    terminals: { '30': others['30'], '85': others['85'], '86': others['86'], '87': rest },
    coilResistanceOhm: relay.coilResistanceOhm * TWIN_COIL_FACTOR,
    coilInductanceH: relay.coilInductanceH * TWIN_COIL_FACTOR,
    pullInCurrentA: relay.pullInCurrentA / TWIN_COIL_FACTOR,
    dropOutCurrentA: relay.dropOutCurrentA / TWIN_COIL_FACTOR,
    suppression: { kind: 'none' },
  };
  return added(
    replaced(netlist, id, () => ({ ...relay, terminals: others })),
    twin,
  );
}

function added(netlist: Netlist, element: CircuitElement): Netlist {
  return { elements: [...netlist.elements, element] };
}

function find(netlist: Netlist, id: string): CircuitElement {
  const element = netlist.elements.find((each) => each.id === id);
  if (element === undefined) throw new RangeError(`applyFault: no element ${id} in the netlist`);
  return element;
}

function replaced(
  netlist: Netlist,
  id: string,
  change: (element: CircuitElement) => CircuitElement,
): Netlist {
  find(netlist, id);
  return { elements: netlist.elements.map((element) => (element.id === id ? change(element) : element)) };
}

function nodeAt(netlist: Netlist, at: TerminalRef): string {
  let seen: string | undefined;
  withTerminal(find(netlist, at.element), at.terminal, (node) => {
    seen = node;
    return node;
  });
  if (seen === undefined) throw new RangeError(`applyFault: ${at.element} has no terminal ${at.terminal}`);
  return seen;
}

function withNode(netlist: Netlist, at: TerminalRef, node: string): Netlist {
  return replaced(netlist, at.element, (element) => withTerminal(element, at.terminal, () => node));
}

function withThrow(element: CircuitElement, poleId: string, from: string, to: string): CircuitElement {
  if (element.kind !== 'switch') throw new RangeError(`series-throw: ${element.id} is no switch`);
  const poles = element.poles.map((pole) => {
    if (pole.id !== poleId) return pole;
    const throws = Object.entries(pole.throws).map(([name, node]) => [name, node === from ? to : node]);
    return { ...pole, throws: Object.fromEntries(throws) };
  });
  return { ...element, poles };
}

function withTerminal(
  element: CircuitElement,
  terminal: string,
  change: (node: string) => string,
): CircuitElement {
  if (element.kind === 'relay') {
    const node = element.terminals[terminal as keyof typeof element.terminals];
    if (node === undefined) throw new RangeError(`applyFault: ${element.id} has no terminal ${terminal}`);
    return { ...element, terminals: { ...element.terminals, [terminal]: change(node) } };
  }
  if (element.kind === 'switch') {
    const swap = (node: string): string => (node === terminal ? change(node) : node);
    const poles = element.poles.map((pole) => ({
      ...pole,
      common: swap(pole.common),
      throws: Object.fromEntries(Object.entries(pole.throws).map(([name, node]) => [name, swap(node)])),
    }));
    return { ...element, poles };
  }
  const node = (element as unknown as Record<string, unknown>)[terminal];
  if (typeof node !== 'string') throw new RangeError(`applyFault: ${element.id} has no terminal ${terminal}`);
  return { ...element, [terminal]: change(node) } as CircuitElement;
}
