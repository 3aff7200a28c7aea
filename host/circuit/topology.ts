// Refuses circuits that have no sensible solution, before solving: parts without a way to ground, loops of ideal
// sources, and inductive currents that a contact can cut with nowhere else to go.

import { type CircuitElement, GROUND, type Netlist } from './netlist.js';
import { CircuitError, type CircuitProblem } from './transient.js';

/** Node pairs that an element joins: always, or only while a contact stands so. */
interface Link {
  a: string;
  b: string;
  isAlways: boolean;
  isInductive: boolean;
  element: string;
}

function linksOf(element: CircuitElement): Link[] {
  const link = (a: string, b: string, isAlways = true, isInductive = false): Link => {
    return { a, b, isAlways, isInductive, element: element.id };
  };
  switch (element.kind) {
    case 'supply':
      return [link(element.plus, element.minus)];
    case 'diode':
    case 'clamp':
      return [link(element.anode, element.cathode)];
    case 'inductor':
      return [link(element.a, element.b, true, true)];
    case 'motor': {
      const winding = link(element.a, element.b, true, element.inductanceH > 0);
      return element.suppressionCapacitorF ? [winding, link(element.a, element.b)] : [winding];
    }
    case 'contact':
    case 'limit':
      return [link(element.a, element.b, element.stuck === 'closed')];
    case 'switch':
      return element.poles.flatMap((pole) =>
        Object.values(pole.throws).map((node) => link(pole.common, node, false)),
      );
    case 'relay': {
      const t = element.terminals;
      const contacts = [t['87'], t['87a']].filter((node) => node !== undefined);
      // The coil carries its own loss path, so cutting it is no cut.
      return [link(t['86'], t['85']), ...contacts.map((node) => link(t['30'], node, false))];
    }
    case 'fuse':
      return [link(element.a, element.b, !element.blown)];
    default:
      return [link(element.a, element.b)];
  }
}

class Groups {
  readonly #parent = new Map<string, string>();
  of(node: string): string {
    const parent = this.#parent.get(node) ?? node;
    if (parent === node) return node;
    const root = this.of(parent);
    this.#parent.set(node, root);
    return root;
  }
  join(a: string, b: string): boolean {
    const [rootA, rootB] = [this.of(a), this.of(b)];
    if (rootA === rootB) return false;
    this.#parent.set(rootA, rootB);
    return true;
  }
}

function refuse(problem: CircuitProblem): never {
  throw new CircuitError(problem);
}

/** @throws CircuitError with code floating-node, source-loop or inductor-cut. */
export function checkTopology(netlist: Netlist): void {
  const links = netlist.elements.flatMap(linksOf);
  checkGround(links);
  checkSources(netlist);
  checkInductors(links);
}

function checkGround(links: readonly Link[]): void {
  const groups = new Groups();
  for (const { a, b } of links) groups.join(a, b);
  const grounded = groups.of(GROUND);
  const nodes = [...new Set(links.flatMap(({ a, b }) => [a, b]))];
  const floating = nodes.filter((node) => groups.of(node) !== grounded);
  if (floating.length === 0) return;
  const elements = [...new Set(links.filter(({ a }) => floating.includes(a)).map(({ element }) => element))];
  const sentence = `No way leads from ${floating.join(', ')} (${elements.join(', ')}) to ${GROUND}: connect one of them to it.`;
  refuse({ code: 'floating-node', sentence, nodes: floating, elements });
}

function checkSources(netlist: Netlist): void {
  const groups = new Groups();
  const ideal: string[] = [];
  for (const element of netlist.elements) {
    if (element.kind !== 'supply' || element.sourceResistanceOhm > 0) continue;
    ideal.push(element.id);
    if (groups.join(element.plus, element.minus)) continue;
    const nodes = [element.plus, element.minus];
    const sentence = `Supplies ${ideal.join(', ')} form a loop over ${nodes.join(', ')} with no resistance in it: give one a source resistance.`;
    refuse({ code: 'source-loop', sentence, nodes, elements: ideal });
  }
}

function checkInductors(links: readonly Link[]): void {
  for (const winding of links.filter(({ isInductive }) => isInductive)) {
    const { a, b, element } = winding;
    const always = new Groups();
    const ever = new Groups();
    for (const link of links) {
      if (link === winding) continue;
      ever.join(link.a, link.b);
      if (link.isAlways) always.join(link.a, link.b);
    }
    if (always.of(a) === always.of(b) || ever.of(a) !== ever.of(b)) continue;
    const contacts = [...new Set(links.filter((link) => !link.isAlways).map((link) => link.element))];
    const sentence = `${contacts.join(', ')} can cut the current of ${element} between ${a} and ${b} with nowhere else to go: add what carries it on (load resistor, clamp or capacitor).`;
    refuse({ code: 'inductor-cut', sentence, nodes: [a, b], elements: [element, ...contacts] });
  }
}
