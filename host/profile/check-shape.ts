// Holds a YAML file against a schema and turns the first fault into one plain sentence with its line.

import type * as z from 'zod';
import { itemAt } from '../arrays/index.js';
import { known } from '../fields/index.js';
import { nearestName } from '../input/index.js';
import { listed } from '../tell/index.js';
import { alternatives, type JsonSchema, jsonSchemaOf, keysAt, nodesAt } from './json-schema.js';
import { implausible, rangeText, unitOf } from './plausible.js';
import { numberMend } from './written-number.js';
import type { KeyPath, YamlFile } from './yaml-file.js';

type Issue = z.core.$ZodIssue;

/** The value of the file in the schema's shape. @throws InputError naming the key, its line and the mend. */
export function checkShape<S extends z.ZodType>(schema: S, file: YamlFile): z.output<S> {
  const value = file.value();
  const result = schema.safeParse(value);
  const tree = jsonSchemaOf(schema);
  if (result.success) {
    const beyond = implausible(value, tree);
    if (beyond) throw file.fault(beyond.path, beyond.what, beyond.mend);
    return result.data;
  }
  const issues = result.error.issues.map((issue) => innermost(issue, value));
  // A misspelt key also leaves the right one missing: the misspelling is the cause.
  const issue = issues.find(({ code }) => code === 'unrecognized_keys') ?? itemAt(issues, 0);
  const { path, what, mend } = describe(issue, value, tree);
  throw file.fault(path, what, mend);
}

/** Of a union that fits nowhere, the issue of the branch that came nearest. */
function innermost(issue: Issue, top: unknown): Issue {
  if (issue.code !== 'invalid_union' || issue.errors.length === 0) return issue;
  const value = at(top, issue.path);
  const branches = issue.errors
    .filter((branch) => branch.length > 0)
    // A branch that wanted another type of value altogether says nothing.
    .filter((branch) => !branch.some((inner) => inner.code === 'invalid_type' && inner.path.length === 0));
  const nearestBranch = branches.sort((a, b) => a.length - b.length)[0];
  if (!nearestBranch || value === undefined) return issue;
  const inner = nearestBranch.find(({ code }) => code === 'unrecognized_keys') ?? itemAt(nearestBranch, 0);
  return innermost({ ...inner, path: [...issue.path, ...inner.path] } as Issue, top);
}

function describe(
  issue: Issue,
  top: unknown,
  tree: JsonSchema,
): { path: KeyPath; what: string; mend?: string } {
  const path = issue.path.map((step) => (typeof step === 'symbol' ? String(step) : step));
  const value = at(top, path);
  switch (issue.code) {
    case 'unrecognized_keys': {
      const [key] = issue.keys as [string];
      if (isAfterComma(key, at(top, [...path, key])))
        return {
          path: [...path, key],
          what: 'a comma parts this number, and its end is read as a key',
          mend: `write it with a decimal point, such as 0.${key}`,
        };
      const names = keysAt(tree, path);
      const near = nearestName(key, names);
      return {
        path: [...path, key],
        what: 'unknown key',
        mend: near ? `did you mean ${near}?` : `known here: ${someOf(names)}`,
      };
    }
    case 'invalid_type':
    case 'invalid_union': {
      const discriminator = 'discriminator' in issue ? issue.discriminator : undefined;
      if (typeof discriminator === 'string') return unknownKind(path, discriminator, top, tree);
      const wanted = choices(tree, path);
      if (value === undefined) return { path, what: 'is missing', mend: `write ${wanted}` };
      const number = nodesAt(tree, path).find(isNumber);
      if (number && typeof value === 'string') return { path, ...notNumber(value, number) };
      const isNone = typeof value === 'number' && !Number.isFinite(value);
      return {
        path,
        what: `${show(value)} is not ${isNone ? 'a number' : wanted}`,
        ...known({ mend: number && rangeText(number) }),
      };
    }
    case 'invalid_value': {
      const allowed = issue.values.map(String);
      if (value === undefined) return { path, what: 'is missing', mend: `write ${listed(allowed, 'or')}` };
      const near = typeof value === 'string' ? nearestName(value, allowed) : undefined;
      return {
        path,
        what: `${show(value)} is not known`,
        mend: near && allowed.length > 1 ? `did you mean ${near}?` : `write ${listed(allowed, 'or')}`,
      };
    }
    case 'too_small':
    case 'too_big': {
      const number = typeof value === 'number' ? nodesAt(tree, path).find(isNumber) : undefined;
      const unit = number ? unitOf(number) : '';
      return {
        path,
        what: `${show(value)}${unit} is ${issue.code === 'too_small' ? 'too small' : 'too large'}`,
        mend: (number && rangeText(number)) ?? limit(issue),
      };
    }
    case 'invalid_format':
      return { path, what: `${show(value)} does not fit`, mend: issue.message };
    case 'custom': {
      // Our own schemas write `fault: mend`.
      const cut = issue.message.lastIndexOf(': ');
      return cut === -1
        ? { path, what: issue.message }
        : { path, what: issue.message.slice(0, cut), mend: issue.message.slice(cut + 2) };
    }
    default:
      return { path, what: `${show(value)} does not fit`, mend: issue.message };
  }
}

/** A mapping whose `kind` (or the like) is none of those that may stand there. */
function unknownKind(path: KeyPath, discriminator: string, top: unknown, tree: JsonSchema) {
  const full = path.at(-1) === discriminator ? path : [...path, discriminator];
  const kinds = nodesAt(tree, full).flatMap((node) => (typeof node.const === 'string' ? [node.const] : []));
  const value = at(top, full);
  if (value === undefined) return { path: full, what: 'is missing', mend: `write ${listed(kinds, 'or')}` };
  const near = typeof value === 'string' ? nearestName(value, kinds) : undefined;
  const mend = near ? `did you mean ${near}?` : `write ${listed(kinds, 'or')}`;
  return { path: full, what: `${show(value)} is not known`, mend };
}

const TYPE_WORDS: Record<string, string> = {
  number: 'a number',
  int: 'a whole number',
  string: 'text',
  boolean: 'true or false',
  object: 'a mapping of keys',
  record: 'a mapping of keys',
  array: 'a list',
};

function limit(issue: Extract<Issue, { code: 'too_small' | 'too_big' }>): string {
  const small = issue.code === 'too_small';
  const bound = String(small ? issue.minimum : issue.maximum);
  if (issue.origin === 'array') return `list at ${small ? 'least' : 'most'} ${bound}`;
  if (issue.origin === 'string')
    return `write at ${small ? 'least' : 'most'} ${bound} character${bound === '1' ? '' : 's'}`;
  if (issue.inclusive) return `write ${bound} or ${small ? 'more' : 'less'}`;
  return `write a value ${small ? 'above' : 'below'} ${bound}`;
}

const isNumber = ({ type }: JsonSchema): boolean => type === 'number' || type === 'integer';

/** Text where a number should stand: perhaps with a comma, a unit, or quotes. */
/** `{ nominal: 0,9 }` is a 0 and a key 9 without a value. */
const isAfterComma = (key: string, value: unknown): boolean =>
  /^\d+$/.test(key) && (value === null || value === undefined);

function notNumber(text: string, node: JsonSchema): { what: string; mend?: string } {
  const unit = typeof node.unit === 'string' ? node.unit : '';
  const what = `${show(text)} is not ${node.type === 'integer' ? 'a whole number' : 'a number'}`;
  return { what, ...known({ mend: numberMend(text, unit) ?? rangeText(node) }) };
}

/** As many names as one line bears. */
const MOST_NAMES = 8;

function someOf(names: readonly string[]): string {
  const more = names.length - MOST_NAMES;
  return more > 1 ? `${names.slice(0, MOST_NAMES).join(', ')} and ${more} more` : names.join(', ');
}

/** What a union accepts, in words. */
function choices(tree: JsonSchema, path: KeyPath): string {
  const words = nodesAt(tree, path)
    .flatMap((node) => [node, ...alternatives(node)])
    .map((node) =>
      node.properties
        ? `a mapping with ${listed(node.required ?? Object.keys(node.properties))}`
        : TYPE_WORDS[node.type === 'integer' ? 'int' : String(node.type)],
    )
    .filter((word): word is string => word !== undefined);
  return words.length > 0 ? listed([...new Set(words)], 'or') : 'of a known kind';
}

function at(top: unknown, path: readonly PropertyKey[]): unknown {
  return path.reduce<unknown>(
    (value, step) =>
      typeof value === 'object' && value !== null ? (value as Record<PropertyKey, unknown>)[step] : undefined,
    top,
  );
}

function show(value: unknown): string {
  if (typeof value === 'number') return Number.isNaN(value) ? '.nan' : String(value);
  if (Array.isArray(value)) return 'a list';
  if (typeof value === 'object' && value !== null) return 'a mapping';
  const text = String(value);
  return `'${text.length > 40 ? `${text.slice(0, 40)}…` : text}'`;
}
