// Arguments and reply fields as text: the same rules in both directions.

import type { Field } from './messages.js';

/** Undefined when `text` is not an allowed value of the field. */
export function parseField(field: Field, text: string): string | number | undefined {
  if (field.kind === 'word') return field.words.includes(text) ? text : undefined;
  if (field.kind === 'text')
    return text.length <= field.maxChars && new RegExp(field.pattern).test(text) ? text : undefined;
  if (!/^(0|[1-9][0-9]{0,9})$/.test(text)) return undefined;
  const value = Number(text);
  return value >= field.min && value <= field.max ? value : undefined;
}

/** Throws a RangeError naming field, value and what is allowed. */
export function formatField(field: Field, value: unknown): string {
  const text = String(value);
  if (parseField(field, text) !== undefined) return text;
  throw new RangeError(`${field.name} is ${text}; allowed: ${allowed(field)}`);
}

export function allowed(field: Field): string {
  if (field.kind === 'word') return field.words.join(', ');
  if (field.kind === 'text') return `text matching ${field.pattern}`;
  return `whole number ${field.min} to ${field.max}${field.unit === '1' ? '' : ` ${field.unit}`}`;
}

/**
 * Values by name. Too few words or a wrong one gives undefined; words beyond the known fields are left alone,
 * because a newer board may append fields, and fields that came with a later firmware may be missing.
 */
export function parseFields(
  fields: readonly Field[],
  words: readonly string[],
): Record<string, string | number> | undefined {
  const values: Record<string, string | number> = {};
  for (const [index, field] of fields.entries()) {
    if (words[index] === undefined && field.since !== undefined) continue;
    const value = words[index] === undefined ? undefined : parseField(field, words[index]);
    if (value === undefined) return undefined;
    values[field.name] = value;
  }
  return values;
}
