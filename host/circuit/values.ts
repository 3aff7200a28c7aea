// Refuses numbers that no element can have, naming element, quantity and what would be right.

import { ELEMENT_KINDS, kindOf } from './elements/index.js';
import type { Wrong } from './elements/kind.js';
import type { CircuitElement, Netlist } from './netlist.js';
import { CircuitError } from './transient.js';

/** @throws CircuitError with code bad-value. */
export function checkValues(netlist: Netlist): void {
  const seen = new Set<string>();
  for (const element of netlist.elements) {
    if (seen.has(element.id)) {
      const right = 'every element an id of its own';
      refuse(element, { quantity: 'the id of another element,', value: element.id, right });
    }
    seen.add(element.id);
    const wrong = wrongValue(element);
    if (wrong !== undefined) refuse(element, wrong);
  }
}

/** The first value that the element cannot have, and what would be right. */
export function wrongValue(element: CircuitElement): Wrong | undefined {
  if (!ELEMENT_KINDS.includes(element.kind)) {
    const right = `one of ${ELEMENT_KINDS.join(', ')}`;
    return { quantity: 'the unknown kind', value: element.kind, right };
  }
  const kind = kindOf(element);
  const stated: Readonly<Record<string, unknown>> = { ...element };
  for (const { name, rule, isOptional } of kind.values) {
    const value = stated[name];
    if (isOptional && value === undefined) continue;
    if (!rule.holds(value)) return { quantity: name, value, right: rule.right };
  }
  return kind.together(element);
}

function refuse({ kind, id }: CircuitElement, { quantity, value, right }: Wrong): never {
  const shown = typeof value === 'number' ? String(value) : JSON.stringify(value);
  const sentence = `${kind} ${id} has ${quantity} ${shown}: give ${right}.`;
  throw new CircuitError({ code: 'bad-value', sentence, nodes: [], elements: [id] });
}
