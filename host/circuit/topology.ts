// Refuses circuits that have no sensible solution, before solving: parts without a way to ground, loops of ideal
// sources, and inductive currents that a contact can cut with nowhere else to go.

import { kindOf } from './elements/index.js';
import type { Link } from './elements/kind.js';
import { Groups } from './groups.js';
import { type CircuitElement, GROUND, type Netlist } from './netlist.js';
import { CircuitError, type CircuitProblem } from './transient.js';

interface Joint extends Required<Link> {
  element: string;
}

const jointsOf = (element: CircuitElement): Joint[] =>
  kindOf(element)
    .links(element)
    .map((link) => ({
      isAlways: true,
      isInductive: false,
      ...link,
      element: element.id,
    }));

function refuse(problem: CircuitProblem): never {
  throw new CircuitError(problem);
}

/** @throws CircuitError with code floating-node, source-loop or inductor-cut. */
export function checkTopology(netlist: Netlist): void {
  const links = netlist.elements.flatMap(jointsOf);
  checkGround(links);
  checkSources(netlist);
  checkInductors(links);
}

function checkGround(links: readonly Joint[]): void {
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

function checkInductors(links: readonly Joint[]): void {
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
