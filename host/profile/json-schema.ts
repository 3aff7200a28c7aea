// A schema as JSON Schema (2020-12), for editors, for messages and for printing; and the way to a place in it.

import * as z from 'zod';
import type { KeyPath } from './yaml-file.js';

/** With `unit` and `why` beside the bounds of a number (ranges.ts). */
export type JsonSchema = z.core.JSONSchema.BaseSchema;

const made = new WeakMap<z.ZodType, JsonSchema>();

/** JSON Schema (2020-12) of what may stand in the file, for editors and other programs. */
export function jsonSchemaOf(schema: z.ZodType): JsonSchema {
  const known = made.get(schema);
  if (known) return known;
  const tree = z.toJSONSchema(schema, { io: 'input' });
  made.set(schema, tree);
  return tree;
}

/** Keys that may stand in the mapping at `path`. */
export function keysAt(tree: JsonSchema, path: KeyPath): string[] {
  return [...new Set(nodesAt(tree, path).flatMap((node) => Object.keys(node.properties ?? {})))];
}

/** Every alternative of the schema that a path can lead to. */
export function nodesAt(tree: JsonSchema, path: KeyPath): JsonSchema[] {
  let nodes = withAlternatives(tree, tree);
  for (const step of path) nodes = nodes.flatMap((node) => nodesBelow(node, step, tree));
  return nodes;
}

/** What may stand at one step below a node. */
export function nodesBelow(node: JsonSchema, step: string | number, tree: JsonSchema): JsonSchema[] {
  const below =
    typeof step === 'number'
      ? [node.prefixItems?.[step] ?? node.items]
      : [own(node.properties, step) ?? node.additionalProperties];
  return below
    .filter((inner): inner is JsonSchema => typeof inner === 'object' && !Array.isArray(inner))
    .flatMap((inner) => withAlternatives(inner, tree));
}

const own = <T>(fields: Record<string, T> | undefined, name: string): T | undefined =>
  fields !== undefined && Object.hasOwn(fields, name) ? fields[name] : undefined;

export function withAlternatives(node: JsonSchema, tree: JsonSchema, depth = 0): JsonSchema[] {
  if (depth > 8) return [];
  if (node.$ref?.startsWith('#/$defs/')) {
    const target = (tree.$defs as Record<string, JsonSchema> | undefined)?.[
      node.$ref.slice('#/$defs/'.length)
    ];
    return target ? withAlternatives(target, tree, depth + 1) : [];
  }
  return [node, ...alternatives(node).flatMap((inner) => withAlternatives(inner, tree, depth + 1))];
}

export function alternatives(node: JsonSchema): JsonSchema[] {
  return [...(node.anyOf ?? []), ...(node.oneOf ?? []), ...(node.allOf ?? [])].filter(
    (inner): inner is JsonSchema => typeof inner === 'object',
  );
}
