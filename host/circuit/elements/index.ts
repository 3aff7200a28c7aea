// Every kind of element. A new one is one file and one line here.

import * as z from 'zod';
import { itemAt } from '../../arrays/index.js';
import { capacitor } from './capacitor.js';
import { contact } from './contact.js';
import { clamp, diode } from './diode.js';
import { fuse } from './fuse.js';
import { inductor } from './inductor.js';
import type { KindOf } from './kind.js';
import { limit } from './limit.js';
import { motor } from './motor.js';
import { protector } from './protector.js';
import { relay } from './relay.js';
import { resistor, wire } from './resistor.js';
import { supply } from './supply.js';
import { switchKind } from './switch.js';

const KINDS = {
  supply,
  resistor,
  wire,
  inductor,
  capacitor,
  diode,
  clamp,
  contact,
  limit,
  switch: switchKind,
  relay,
  fuse,
  protector,
  motor,
};

export type ElementKind = keyof typeof KINDS;
type StatedElement = { [K in ElementKind]: z.output<(typeof KINDS)[K]['schema']> }[ElementKind];
/** Built for a unit, an element may stand for a part of it under an id of its own: `partOf` names that part. */
export type CircuitElement = StatedElement & { partOf?: string };

export const ELEMENT_KINDS: readonly string[] = Object.keys(KINDS);

const schemas = Object.values(KINDS).map(({ schema }) => schema);
/** An element as it stands in a file. */
export const elementSchema = z.discriminatedUnion('kind', [itemAt(schemas, 0), ...schemas.slice(1)]);

/** What the kind of `element`, one of ELEMENT_KINDS, states of itself. */
export function kindOf(element: CircuitElement): KindOf<CircuitElement> {
  // Each takes elements of its own kind only, which the compiler cannot follow through the look-up.
  return KINDS[element.kind] as unknown as KindOf<CircuitElement>;
}

/** Nodes that an element is joined to, in the order of its terminals. */
export function joinedNodes(element: CircuitElement): string[] {
  const nodes: string[] = [];
  kindOf(element).joinedAt(element, (node) => {
    nodes.push(node);
    return node;
  });
  return nodes;
}
