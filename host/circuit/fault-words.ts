// Words for places in a style, so that every fault names terminal and lead as an electrician would.

import type { CircuitStyle, StyleElement } from '../profile/index.js';

const RIG_WORDS: Record<string, string> = {
  'rig.feed': "the rig's feed",
  'rig.ground': "the rig's ground",
  'rig.coil-feed': "the rig's coil feed",
  'rig.trigger-forward': "the rig's forward trigger",
  'rig.trigger-reverse': "the rig's reverse trigger",
  'rig.lead-a': 'lead A of the motor plug',
  'rig.lead-b': 'lead B of the motor plug',
  'rig.motor-a': 'motor lead A',
  'rig.motor-b': 'motor lead B',
  'rig.supply': 'the supply',
};

/** `terminal 87 of K1`, `switch terminal a1`, or the style's own words for a joint. */
export function placeWords(style: CircuitStyle, node: string): string {
  const own = style.nodes[node] ?? RIG_WORDS[node];
  if (own !== undefined) return style.nodes[node] === undefined ? own : `the ${own}`;
  for (const element of style.elements) {
    if (element.kind === 'relay') {
      const terminal = Object.entries(element.terminals).find(([, at]) => at === node)?.[0];
      if (terminal !== undefined) return `terminal ${terminal} of ${elementWords(element)}`;
    }
    if (element.kind === 'switch') {
      const isHere = element.poles.some(
        ({ common, throws }) => common === node || Object.values(throws).includes(node),
      );
      if (isHere) return `${elementWords(element)} terminal ${node}`;
    }
  }
  return node.replaceAll('-', ' ');
}

export function elementWords(element: StyleElement): string {
  return element.title ?? element.id.replaceAll('-', ' ');
}

/** `the feed wire`, but `motor lead A` and `K1` as they are. */
export function theWords(element: StyleElement): string {
  const words = elementWords(element);
  return /^(motor lead|K\d)/.test(words) ? words : `the ${words}`;
}

export function capitalised(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
