// What a YAML document may not hold, whatever it is to be: keys twice, nesting without end, aliases that hold
// themselves, characters that steer a terminal. Walked without recursion, so that no file can exhaust the stack.

import { isAlias, isMap, isNode, isPair, isScalar, isSeq } from 'yaml';
import { steeringIn } from '../input/index.js';

/** Levels within each other; the deepest profile has eight. */
export const DEEPEST = 40;
/** Keys and items of one file; the longest profile has some hundreds. */
const MOST_ENTRIES = 12_000;

export interface DocumentFault {
  /** Place in the text, characters from its beginning. */
  at: number;
  what: string;
  mend: string;
}

export const TOO_DEEP = {
  what: `lists and mappings lie within each other more than ${DEEPEST} deep`,
  mend: 'close the brackets, or check that this is the right file',
} as const;

/**
 * What the bare text shows before it is taken apart, which costs a time that grows with entries and depth; undefined
 * where nothing is wrong.
 */
export function tooMuch(text: string): Pick<DocumentFault, 'what' | 'mend'> | undefined {
  let entries = 0;
  let depth = 0;
  for (let at = 0; at < text.length; at++) {
    const character = text[at];
    if (character === '[' || character === '{') depth++;
    else if (character === ']' || character === '}') depth = Math.max(0, depth - 1);
    else if (
      (character === ':' || character === '-' || character === ',') &&
      /^\s?$/.test(text[at + 1] ?? '')
    )
      entries++;
    // Brackets in the words of titles and comments count too, hence the wide margin.
    if (depth > 10 * DEEPEST) return TOO_DEEP;
  }
  if (entries <= MOST_ENTRIES) return undefined;
  return {
    what: `has about ${entries} keys and items`,
    mend: 'a profile has some hundreds: check that this is the right file',
  };
}

/** The first such fault below `contents`; undefined where there is none. */
export function documentFault(contents: unknown): DocumentFault | undefined {
  const waiting: { node: unknown; within: readonly unknown[] }[] = [{ node: contents, within: [] }];
  for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
    const { node, within } = next;
    const at = isNode(node) ? (node.range?.[0] ?? 0) : 0;
    if (within.length > DEEPEST) return { at, ...TOO_DEEP };
    if (isScalar(node)) {
      const fault = textFault(node.value);
      if (fault) return { at, ...fault };
    } else if (isAlias(node)) {
      if (within.some((outer) => isNode(outer) && 'anchor' in outer && outer.anchor === node.source))
        return { at, what: `*${node.source} stands within itself`, mend: 'write the value out' };
    } else if (isMap(node)) {
      const fault = twice(node.items);
      if (fault) return fault;
      for (const { key, value } of node.items.toReversed()) {
        waiting.push({ node: value, within: [...within, node] }, { node: key, within: [...within, node] });
      }
    } else if (isSeq(node)) {
      for (const item of node.items.toReversed()) {
        if (isPair(item)) waiting.push({ node: item.value, within: [...within, node] });
        else waiting.push({ node: item, within: [...within, node] });
      }
    }
  }
  return undefined;
}

function textFault(value: unknown): Pick<DocumentFault, 'what' | 'mend'> | undefined {
  if (typeof value !== 'string') return undefined;
  const steering = steeringIn(value);
  if (steering === undefined) return undefined;
  return steering === '\\u000a'
    ? { what: 'the text runs over several lines', mend: 'write it in one line, or fold it with >-' }
    : { what: `the text holds ${steering}, which is no letter`, mend: 'take that character out' };
}

function twice(pairs: readonly { key: unknown }[]): DocumentFault | undefined {
  const seen = new Set<string>();
  for (const { key } of pairs) {
    const name = String(isScalar(key) ? key.value : key);
    const at = isNode(key) ? (key.range?.[0] ?? 0) : 0;
    if (seen.has(name))
      return { at, what: 'a key stands twice in the same mapping', mend: 'keep one of the two' };
    seen.add(name);
  }
  return undefined;
}
