// Holds what a file says against the plausible ranges of its schema. Apart from the shape, so that a record of old days,
// whatever it holds, can still be read.

import { type JsonSchema, nodesBelow, withAlternatives } from './json-schema.js';
import type { KeyPath } from './yaml-file.js';

export interface Implausible {
  path: KeyPath;
  what: string;
  mend: string;
}

/** The first value beyond its range; undefined where all are within. `value` must have the schema's shape. */
export const implausible = (value: unknown, tree: JsonSchema): Implausible | undefined =>
  below(value, withAlternatives(tree, tree), { path: [], tree });

function below(
  value: unknown,
  nodes: readonly JsonSchema[],
  { path, tree }: { path: KeyPath; tree: JsonSchema },
): Implausible | undefined {
  if (typeof value === 'number') return numberBeyond(value, nodes, path);
  if (typeof value === 'string') return tooLong(value, nodes, path);
  if (typeof value !== 'object' || value === null) return undefined;
  const steps: [string | number, unknown][] = Array.isArray(value)
    ? [...value.entries()]
    : Object.entries(value);
  const fitting = nodes.filter((node) => fits(value, node));
  for (const [step, inner] of steps) {
    const found = below(
      inner,
      fitting.flatMap((node) => nodesBelow(node, step, tree)),
      { path: [...path, step], tree },
    );
    if (found) return found;
  }
  return undefined;
}

/** Of several mappings that may stand here, the one that this is: it has its keys, and says its kind. */
function fits(value: object, { properties }: JsonSchema): boolean {
  if (properties === undefined) return true;
  return Object.entries(properties).every(
    ([key, inner]) =>
      typeof inner !== 'object' ||
      inner.const === undefined ||
      !(key in value) ||
      (value as Record<string, unknown>)[key] === inner.const,
  );
}

function numberBeyond(value: number, nodes: readonly JsonSchema[], path: KeyPath): Implausible | undefined {
  const node = nodes.find(({ type }) => type === 'number' || type === 'integer');
  const right = node && rangeText(node);
  if (!node || right === undefined) return undefined;
  const { minimum = Number.NEGATIVE_INFINITY, maximum = Number.POSITIVE_INFINITY } = node;
  if (value >= minimum && value <= maximum) return undefined;
  return { path, what: `${value}${unitOf(node)} is too ${value < minimum ? 'small' : 'large'}`, mend: right };
}

function tooLong(value: string, nodes: readonly JsonSchema[], path: KeyPath): Implausible | undefined {
  const node = nodes.find(({ type }) => type === 'string');
  const { minLength = 0, maxLength = Number.POSITIVE_INFINITY } = node ?? {};
  if (value.length < minLength) return { path, what: 'is empty', mend: 'write some words' };
  if (value.length <= maxLength) return undefined;
  return { path, what: `has ${value.length} characters`, mend: `write ${maxLength} or fewer` };
}

/** ` Ohm`, behind a value; nothing where it has no unit. */
export const unitOf = (node: JsonSchema): string =>
  typeof node.unit === 'string' && node.unit !== '' ? ` ${node.unit}` : '';

/** What would be right, with the reason: `write 0.02 to 100 Ohm (…)`; undefined for a number without a range. */
export function rangeText(node: JsonSchema): string | undefined {
  if (typeof node.why !== 'string') return undefined;
  return `write ${node.minimum} to ${node.maximum}${unitOf(node)} (${node.why})`;
}
