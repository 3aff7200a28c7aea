// Places that a tip or a clip can reach, by the mark a person finds there, and the node of a netlist that each one is. A
// mark goes with its part: where wires are exchanged in a socket, 85 is where the wrong wire ends. What is broken inside
// a part lies behind its terminal.

import { elementWords, joinedNodes, type Netlist, placeNode, placeWords } from '../circuit/index.js';
import type { CircuitStyle } from '../profile/index.js';

type SwitchOf = Extract<CircuitStyle['elements'][number], { kind: 'switch' }>;

/** Where it is in the style: a marked terminal, a terminal of a switch, or a joint. */
type At =
  | { kind: 'terminal'; part: string; mark: string }
  | { kind: 'pole'; part: string; pole: string; throw?: string }
  | { kind: 'joint' };

export interface Place {
  /** Permanent within the style: its node. */
  id: string;
  /** `85 of K2`. */
  words: string;
  at: At;
}

/** Every place of the style, no node twice; the rig's ground, against which one measures, left out. */
export function placesOf(style: CircuitStyle): Place[] {
  const places = new Map<string, Place>();
  const add = (id: string, words: string, at: At): void => {
    if (id !== 'rig.ground' && !places.has(id)) places.set(id, { id, words, at });
  };
  for (const element of style.elements) {
    if (element.kind === 'relay') {
      for (const [mark, node] of Object.entries(element.terminals))
        if (node !== undefined)
          add(node, `${mark} of ${elementWords(element)}`, { kind: 'terminal', part: element.id, mark });
    } else if (element.kind === 'switch') {
      for (const { node, at } of polesOf(element)) add(node, placeWords(style, node), at);
    }
  }
  for (const element of style.elements)
    if (element.kind === 'wire' || element.kind === 'motor')
      for (const node of [element.a, element.b]) add(node, placeWords(style, node), { kind: 'joint' });
  return [...places.values()];
}

function polesOf({ id: part, poles }: SwitchOf): { node: string; at: At }[] {
  return poles.flatMap(({ id: pole, common, throws }) => [
    { node: common, at: { kind: 'pole' as const, part, pole } },
    ...Object.entries(throws).map(([to, node]) => ({
      node,
      at: { kind: 'pole' as const, part, pole, throw: to },
    })),
  ]);
}

/** The node where a tip on the place is; undefined where nothing is joined there any more, and a meter reads nothing. */
export function nodeAt({ elements }: Netlist, { id, at }: Place): string | undefined {
  const own = placeNode(id);
  const found = at.kind === 'joint' ? own : (joinedTo(elements, at) ?? own);
  // What a fault puts in series inside a part stands between its terminal and the node behind it.
  const inside = elements.find(
    (element) => element.kind === 'resistor' && element.b === found && element.a === own && found !== own,
  );
  const node = inside === undefined ? found : own;
  return elements.some((element) => joinedNodes(element).includes(node)) ? node : undefined;
}

function joinedTo(elements: Netlist['elements'], at: Exclude<At, { kind: 'joint' }>): string | undefined {
  const part = elements.find(({ id }) => id === at.part);
  if (at.kind === 'terminal') {
    if (part?.kind !== 'relay') return undefined;
    return Object.entries(part.terminals).find(([mark]) => mark === at.mark)?.[1];
  }
  if (part?.kind !== 'switch') return undefined;
  const pole = part.poles.find(({ id }) => id === at.pole);
  return at.throw === undefined ? pole?.common : pole?.throws[at.throw];
}
