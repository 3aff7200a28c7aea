// The uncertainty budget of one measured quantity, line by line, largest first, as the GUM lays one out (JCGM 100:2008, H.1).

import {
  componentsOf,
  fedStretchWords,
  type Measured,
  QUANTITIES,
  QUANTITY_NAMES,
  type Quantity,
  type Reading,
  type Told,
} from '../measure/index.js';
import { fixed, quantityText, retold, significant } from '../tell/index.js';
import { UsageError } from './command.js';

/** @throws UsageError for a name that was not measured. */
export function budgetTextLines(measured: Measured, model: Told, name: string): string[] {
  const readings: Record<string, Quantity & Partial<Reading>> = { ...measured, ...model };
  const quantity = readings[name];
  const what = quantity?.what ?? QUANTITY_NAMES.find((each) => each === name);
  if (!quantity || !what)
    throw new UsageError(`no quantity ${JSON.stringify(name)} was measured`, {
      word: name,
      known: Object.keys(readings),
    });
  const where = quantity.of === undefined ? '' : `, ${fedStretchWords(quantity.of)}`;
  const lines = componentsOf(quantity)
    .filter(({ standardUncertainty }) => standardUncertainty > 0)
    .toSorted((a, b) => b.standardUncertainty - a.standardUncertainty);
  const whole = quantity.standardUncertainty;
  const freedom = (dof: number): string => (Number.isFinite(dof) && dof < 1e4 ? fixed(dof, 0) : 'exact');
  const named = lines.map(({ source, ...line }) => ({ source: source ?? 'other', ...line }));
  const width = Math.max(8, ...named.map(({ source }) => source.length));
  const row = (source: string, u: string, share: string, dof: string): string =>
    `  ${source.padEnd(width)}  ${u.padStart(10)}  ${share.padStart(7)}  ${dof.padStart(6)}`;
  const k = whole > 0 ? quantity.expandedUncertainty / whole : 0;
  return [
    `${retold(QUANTITIES[what].words)}${where}: ${quantityText(quantity)}`,
    row('source', `u, ${quantity.unit}`, 'share %', 'dof'),
    ...named.map(({ source, standardUncertainty: u, degreesOfFreedom }) =>
      row(source, significant(u, 2), fixed((100 * u * u) / (whole * whole), 1), freedom(degreesOfFreedom)),
    ),
    row('combined', significant(whole, 2), '', freedom(quantity.degreesOfFreedom)),
    `  95 %: k = ${fixed(k, 2)}, U = ${significant(quantity.expandedUncertainty, 2, quantity.unit)}`,
  ];
}
