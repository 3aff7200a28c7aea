// A foreign table as its columns are sorted: headings with their units, and the columns that none has taken yet.

import { InputError, nearestName } from '../input/index.js';
import { withUnitOf } from './cells.js';
import type { ReadOptions } from './csv-header.js';
import { type Heading, headingOf } from './headings.js';
import type { Layout } from './layout.js';
import { type Unit, unitOf } from './units.js';

export interface ForeignTable {
  layout: Layout;
  headings: Heading[];
  /** For messages: the heading, or the column's number. */
  titles: string[];
  file: string;
  options: ReadOptions;
  fault(what: string, mend: string, key?: string): InputError;
  /** Columns of numbers that none has taken. */
  free: Set<number>;
}

/** @throws InputError where heading and row of units contradict each other. */
export function foreignTable(layout: Layout, file: string, options: ReadOptions): ForeignTable {
  const { line, kinds } = layout;
  const fault = (what: string, mend: string, key?: string): InputError =>
    new InputError({ file, line, ...(key === undefined ? {} : { key }), what, mend });
  const titles = layout.headings.map((text, c) => text.trim() || `column ${c + 1}`);
  const seen = new Map<string, number>();
  for (const [c, title] of titles.entries()) {
    const key = title.toLowerCase();
    if (seen.has(key)) titles[c] = `${title} #${c + 1}`;
    seen.set(key, c);
  }
  const headings = layout.headings.map((text, c) => {
    const heading = headingOf(text);
    const row = layout.units[c] ?? '';
    const inCells = withUnitOf(layout.rows[0]?.[c] ?? '', layout.decimal === 'comma' ? 44 : 46)?.unit;
    const unit = row === '' ? (heading.unit ? undefined : inCells) : unitOf(row, row === row.toUpperCase());
    if (unit === undefined) return heading;
    if (heading.unit && (heading.unit.kind !== unit.kind || !sameUnit(heading.unit, unit)))
      throw fault(
        `is in ${heading.unit.name} by its heading and in ${unit.name} by the row of units`,
        `strike one of them, or say --column ROLE='${text}:${unit.name}'`,
        text,
      );
    return { ...heading, unit };
  });
  const free = new Set(
    kinds.flatMap((kind, c) => (kind === 'number' || kind === 'special' || kind === 'stamp' ? [c] : [])),
  );
  return { layout, headings, titles, file, options, fault, free };
}

export const sameUnit = (one: Unit, two: Unit): boolean => one.up / one.down === two.up / two.down;

/** The column that a person means. @throws InputError when there is none, or several of that name. */
export function columnNamed({ titles, headings, fault }: ForeignTable, name: string): number {
  const lower = name.toLowerCase().trim();
  const exact = titles.findIndex((title) => title.toLowerCase() === lower);
  if (exact >= 0) return exact;
  const short = headings.flatMap((heading, c) => (heading.name.toLowerCase() === lower ? [c] : []));
  const [only, second] = short;
  if (only !== undefined && second !== undefined)
    throw fault(
      `${name} may be '${titles[only]}' or '${titles[second]}'`,
      `give the number of the column, such as ${only + 1}`,
    );
  if (only !== undefined) return only;
  const number = /^#?(\d+)$/.exec(lower);
  if (number && Number(number[1]) >= 1 && Number(number[1]) <= titles.length) return Number(number[1]) - 1;
  const near = nearestName(name, titles);
  throw fault(`no column ${name}`, near ? `did you mean ${near}?` : `name one of ${titles.join(', ')}`);
}
