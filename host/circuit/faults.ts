// The faults that a style can have, made from its own structure: each wire, contact, relay terminal, lead and jumper.
// What a fault does to the readings is for the solver to say; here stand only edits and words.

import { type CircuitStyle, nodesOf, type ResolvedUnit } from '../profile/index.js';
import { type Fault, OPEN_OHM } from './fault-edits.js';
import { loadFaults, motorFaultIds } from './fault-loads.js';
import { otherFaults } from './fault-others.js';
import { relayAloneFaults } from './fault-relay-alone.js';
import { relayFaults } from './fault-relays.js';
import { wireFaults } from './fault-wires.js';
import type { UnitCircuitInput } from './unit-input.js';

/**
 * Every fault of the style, ids unique and permanent, in the order of its elements; none of the rig's own parts.
 * With a known load in place of the motor, the load's in place of the motor's.
 */
export function faultsOf(style: CircuitStyle, on: 'motor' | 'load' = 'motor'): Fault[] {
  const own = { ...style, elements: style.elements.filter(({ rigOwn }) => rigOwn !== true) };
  const others = on === 'motor' ? otherFaults(own) : loadFaults(own, otherFaults(own));
  return grouped(style, [...wireFaults(own), ...relayFaults(own), ...aloneFaults(own), ...others]);
}

/** A relay with nothing but the rig around it is looked at more closely than one in a harness. */
const aloneFaults = ({ elements }: CircuitStyle): Fault[] =>
  elements.flatMap((element) =>
    element.kind === 'relay' && elements.length === 1 ? relayAloneFaults(element) : [],
  );

/** Those that what is being judged can have: a harness has no motor's faults. */
export function faultsOfUnit({ unit, style, load }: Pick<ResolvedUnit, 'unit' | 'style' | 'load'>): Fault[] {
  const faults = faultsOf(style, load === undefined ? 'motor' : 'load');
  if (unit.subject !== 'harness' || load !== undefined) return faults;
  const ofMotor = motorFaultIds(style);
  return faults.filter(({ id }) => !ofMotor.has(id));
}

/** What can be wrong with the rig's own part of the style: ruled out before anything of the unit is accused. */
export function rigFaultsOf(style: CircuitStyle): Fault[] {
  const rig = { ...style, elements: style.elements.filter(({ rigOwn }) => rigOwn === true) };
  return grouped(style, [...wireFaults(rig), ...relayFaults(rig), ...otherFaults(rig)]);
}

/** @throws RangeError naming the id and where to look. */
export function faultById(input: Pick<UnitCircuitInput, 'style' | 'load'>, id: string): Fault {
  const all = [
    ...faultsOf(input.style, input.load === undefined ? 'motor' : 'load'),
    ...rigFaultsOf(input.style),
  ];
  const fault = all.find((each) => each.id === id);
  if (fault === undefined) throw new RangeError(`circuit style ${input.style.id} has no fault ${id}`);
  return fault;
}

/**
 * Faults with the same series resistance in one unbranched path are one to every reading: same current, same two ends.
 * They get the first one's id as their group.
 */
function grouped(style: CircuitStyle, faults: readonly Fault[]): Fault[] {
  const pathOf = unbranchedPaths(style);
  const keys = faults.map((fault) => {
    const [edit, ...more] = fault.edits;
    if (edit?.do !== 'series' || more.length > 0) return undefined;
    const path = pathOf(edit.at.element, edit.at.terminal);
    return `${edit.resistanceOhm >= OPEN_OHM ? 'open' : edit.resistanceOhm} ${path}`;
  });
  return faults.map((fault, index) => {
    const key = keys[index];
    const first = keys.indexOf(key);
    const isShared = key !== undefined && keys.filter((each) => each === key).length > 1;
    return isShared ? { ...fault, group: faults[first]!.id } : fault;
  });
}

/** Names the unbranched path that a terminal lies in: joined through nodes with exactly two terminals on them. */
function unbranchedPaths(style: CircuitStyle): (element: string, terminal: string) => string {
  const ends = new Map<string, string[]>();
  const parent = new Map<string, string>();
  const root = (name: string): string => {
    const up = parent.get(name);
    return up === undefined || up === name ? name : root(up);
  };
  const join = (one: string, two: string): void => void parent.set(root(one), root(two));
  const put = (node: string, branch: string): void =>
    void ends.set(node, [...(ends.get(node) ?? []), branch]);
  for (const element of style.elements) {
    if (element.kind === 'relay') {
      const { '30': common, '85': minus, '86': plus, '87': make, '87a': rest } = element.terminals;
      put(common, `${element.id} 30`);
      for (const node of [minus, plus]) put(node, `${element.id} coil`);
      if (make !== undefined) put(make, `${element.id} 87`);
      if (rest !== undefined) put(rest, `${element.id} 87a`);
    } else if (element.kind === 'switch') {
      for (const node of nodesOf(element)) put(node, `${element.id} ${node}`);
    } else {
      for (const node of nodesOf(element)) put(node, element.id);
    }
  }
  for (const [node, branches] of ends) {
    if (!node.startsWith('rig.') && branches.length === 2) join(branches[0]!, branches[1]!);
  }
  const relays = new Set(style.elements.filter(({ kind }) => kind === 'relay').map(({ id }) => id));
  return (element, terminal) => {
    if (!relays.has(element)) return root(element);
    return root(`${element} ${terminal === '85' || terminal === '86' ? 'coil' : terminal}`);
  };
}
