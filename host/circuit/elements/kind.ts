// What a kind of element states of itself, in one file each: what may stand in a netlist and in a scenario, what its
// numbers may be, where it is joined, what it joins, and how it is made to stamp.

import * as z from 'zod';
import type { Layout } from '../solver/layout.js';
import type { Part } from './part.js';

/** What a number may be, for files and for the solver's own check alike. */
interface Rule {
  holds(value: unknown): boolean;
  /** What would be right, in words. */
  right: string;
}

const RULES = new Map<z.ZodType, Rule>();

function ruled<S extends z.ZodType>(schema: S, right: string, holds: Rule['holds']): S {
  RULES.set(schema, { right, holds });
  return schema;
}

const ruledNumber = <S extends z.ZodType>(schema: S, right: string, holds: (value: number) => boolean): S =>
  ruled(schema, right, (value) => typeof value === 'number' && Number.isFinite(value) && holds(value));

export const anyNumber = ruledNumber(z.number(), 'a finite number', () => true);
export const positive = ruledNumber(z.number().positive(), 'a number above 0', (value) => value > 0);
export const nonNegative = ruledNumber(
  z.number().nonnegative(),
  'a number of 0 or more',
  (value) => value >= 0,
);
export const share = ruledNumber(z.number().min(0).max(1), '0 to 1', (value) => value >= 0 && value <= 1);

/** Instants after first closing at which a contact opens and closes again, alternating, s. */
export const bounces = ruled(
  z.array(positive).readonly(),
  'an even count of rising times above 0, so that the contact ends closed',
  (value) =>
    Array.isArray(value) &&
    value.length % 2 === 0 &&
    value.every((v, i) => Number.isFinite(v) && v > (i === 0 ? 0 : value[i - 1])),
);

/** Time function of a source or load: linear between points, held after the last. */
export type Waveform = readonly (readonly [timeS: number, value: number])[];

/** A constant, or points [time s, value] joined by straight lines and held after the last. */
function waveformOf(value: typeof anyNumber, right: string) {
  const points = z
    .array(z.tuple([z.number(), value]).readonly())
    .min(1)
    .readonly();
  const isRight = (given: unknown): boolean => RULES.get(value)?.holds(given) === true;
  const rises = (given: Waveform): boolean =>
    given.every(([timeS], i) => Number.isFinite(timeS) && timeS >= (given[i - 1]?.[0] ?? -Infinity));
  return ruled(z.union([value, points]), right, (given) =>
    Array.isArray(given)
      ? given.length > 0 && given.every((point) => isRight(point[1])) && rises(given)
      : isRight(given),
  );
}
export const anyWaveform = waveformOf(
  anyNumber,
  'a finite number, or [time, value] points of finite numbers whose times do not fall',
);
export const nonNegativeWaveform = waveformOf(
  nonNegative,
  'a number of 0 or more, or [time, value] points of such whose times do not fall',
);

/** A place that elements are joined at. Names are free text; `ground` is the reference. */
export const node = z.string().min(1);
/** Two ends, in the order in which current counts as positive through the element. */
export const ends = { a: node, b: node };

/** Node pairs that an element joins: always, or only while a contact stands so. */
export interface Link {
  a: string;
  b: string;
  isAlways?: boolean;
  isInductive?: boolean;
}

/** A value that the element cannot have. */
export interface Wrong {
  quantity: string;
  value: unknown;
  right: string;
}

/** What may be asked of an element of a kind. */
export interface KindOf<E> {
  /** Numbers of the element by field; where it has none of that name it may do without. */
  values: readonly { name: string; rule: Rule; isOptional: boolean }[];
  /** What its numbers may not be together, or inside its lists. */
  together(element: E): Wrong | undefined;
  /** The element with each terminal's node put through `change`. A switch's terminals are called as their nodes. */
  joinedAt(element: E, change: (node: string, terminal: string) => string): E;
  links(element: E): Link[];
  /** What stamps it; a motor with a suppression capacitor is two parts. */
  parts(element: E, layout: Layout): Part[];
}

/** Fields of an element; those that are `node` are its terminals, in this order. */
export const elementSchema = <K extends string, F extends z.ZodRawShape>(kind: K, fields: F) =>
  z.strictObject({ kind: z.literal(kind), id: z.string().min(1), ...fields });

/** An element that is joined at its first two terminals, unless `how` tells otherwise. */
export function elementKind<S extends z.ZodObject>(
  schema: S,
  how: Pick<KindOf<z.output<S>>, 'parts'> & Partial<KindOf<z.output<S>>>,
): KindOf<z.output<S>> & { schema: S } {
  const fields: [string, unknown][] = Object.entries(schema.shape);
  const terminals = fields.flatMap(([name, field]) => (field === node ? [name] : []));
  const [first = '', second = ''] = terminals;
  type E = z.output<S>;
  const at = (element: E, name: string): string => String((element as Record<string, unknown>)[name]);
  return {
    schema,
    values: fields.flatMap(([name, field]) => {
      const isOptional = field instanceof z.ZodOptional;
      const rule = RULES.get((isOptional ? field.unwrap() : field) as z.ZodType);
      return rule === undefined ? [] : [{ name, rule, isOptional }];
    }),
    together: () => undefined,
    joinedAt: (element, change) => {
      const moved: Record<string, unknown> = { ...element };
      for (const name of terminals) moved[name] = change(at(element, name), name);
      return moved as E;
    },
    links: (element) => [{ a: at(element, first), b: at(element, second) }],
    ...how,
  };
}
