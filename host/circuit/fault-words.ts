// Words for places in a style, so that every fault names terminal and lead as an electrician would.

import { type CircuitStyle, type StyleElement, terminalsOf } from '../profile/index.js';
import type { Fault } from './fault.js';

/** Where no harness with a motor plug is on the bench: the rig's own terminals, and of a relay alone its sense clips. */
const BARE_RIG_WORDS: Record<NonNullable<CircuitStyle['subject']>, Record<string, string>> = {
  motor: {
    'rig.lead-a': "the rig's lead A terminal",
    'rig.lead-b': "the rig's lead B terminal",
    'rig.motor-a': "the rig's motor terminal A",
    'rig.motor-b': "the rig's motor terminal B",
  },
  relay: {
    'rig.lead-a': "the rig's lead A terminal",
    'rig.motor-a': 'the sense clip of lead A',
    'rig.motor-b': 'the sense clip of lead B',
  },
};

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

/** `87 of K1`, `a1 of the switch`, or the style's own words for a joint. */
export function placeWords(style: CircuitStyle, node: string): string {
  const own = style.nodes[node];
  if (own !== undefined) return withArticle(own);
  const [terminal, element] = terminalAt(style, node);
  if (element !== undefined) return `${terminal} of ${theWords(element)}`;
  return rigWords(style, node) ?? node.replaceAll('-', ' ');
}

function rigWords({ subject }: CircuitStyle, node: string): string | undefined {
  return (subject === undefined ? undefined : BARE_RIG_WORDS[subject][node]) ?? RIG_WORDS[node];
}

/** `from 30 to 87 of K1`: two ends, what they share said once. */
export function fromTo(style: CircuitStyle, from: string, to: string): string {
  const [terminal, element] = style.nodes[from] === undefined ? terminalAt(style, from) : [];
  const [, other] = style.nodes[to] === undefined ? terminalAt(style, to) : [];
  const start = element !== undefined && element === other ? terminal : placeWords(style, from);
  return `from ${start} to ${placeWords(style, to)}`;
}

/** Where a wire runs, unless its own name tells: ` between 30 of K1 and the motor plug`. */
export function wireRun(style: CircuitStyle, wire: Extract<StyleElement, { kind: 'wire' }>): string {
  const words = theWords(wire);
  const isNamed = [wire.a, wire.b].some(
    (node) => words.includes(placeWords(style, node)) || words.split(/[ -]/).includes(node),
  );
  if (isNamed || words.includes(' between ')) return '';
  const [a, b] = [wire.a, wire.b].map((node) =>
    style.subject === undefined && (node === 'rig.lead-a' || node === 'rig.lead-b')
      ? 'the motor plug'
      : placeWords(style, node),
  );
  return ` between ${a} and ${b}`;
}

/** A terminal that a person finds marked: of a relay by its number, of a switch by its own name. */
function terminalAt(style: CircuitStyle, node: string): [terminal: string, element?: StyleElement] {
  for (const element of style.elements) {
    if (element.kind !== 'relay' && element.kind !== 'switch') continue;
    const [terminal] = terminalsOf(element).find(([, at]) => at === node) ?? [];
    if (terminal === undefined || (element.kind === 'switch' && node.startsWith('rig.'))) continue;
    return [terminal.replaceAll('-', ' '), element];
  }
  return [node];
}

/** The marked terminals among `nodes`. */
export const marksAt = (style: CircuitStyle, ...nodes: string[]): Fault['marks'] =>
  nodes.flatMap((node) => {
    const [mark, element] = terminalAt(style, node);
    return element === undefined ? [] : [{ part: element.id, mark }];
  });

export function elementWords(element: StyleElement): string {
  return element.title ?? element.id.replaceAll('-', ' ');
}

export function theWords(element: StyleElement): string {
  return withArticle(elementWords(element));
}

/** `the feed wire`, but `motor lead A`, `output A of the switch`, `a1 of the stand-in`, `87a of the relay` and `K1` as they are. */
function withArticle(words: string): string {
  return /^(motor lead|jumper|(side|wire|input|output|terminal) [A-Z]|K\d|([abcr]\d|\d\da?) of )/.test(words)
    ? words
    : `the ${words}`;
}
