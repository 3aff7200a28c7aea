// What the rig read in a training run, beside what the nominal unit reads: a table of three columns, nothing judged.

import { nominalInput, simulatePlan } from '../../circuit/index.js';
import { known } from '../../fields/index.js';
import { type Measured, measure, type QuantityName, readingOf, runStretch } from '../../measure/index.js';
import type { ResolvedUnit } from '../../profile/index.js';

export const COLUMNS = ['rest', 'forward', 'reverse'] as const;

export interface Cell {
  value: number;
  /** Of the unit with every parameter at its nominal; absent where it reads nothing. */
  usual?: number;
  unit: string;
  /** Read through the limited feed: the full one never came. */
  limited?: true;
}

export interface ReadingsRow {
  label: string;
  cells: Partial<Record<(typeof COLUMNS)[number], Cell>>;
}

const ROWS: readonly (readonly [label: string, what: readonly QuantityName[]])[] = [
  ['Lead A', ['leadAVoltageV']],
  ['Lead B', ['leadBVoltageV']],
  ['Start current', ['inrushPeakA']],
  ['Motor current', ['runningCurrentA', 'motorCurrentA']],
  ['Feed current', ['feedCurrentA']],
  ['Coil current', ['coilCurrentA']],
  ['Supply', ['supplyVoltageV']],
];

/** The first full throw of each way, else the limited one; rows that nothing fills are left out. */
export function readingsTable(measured: Measured, usual: Measured): ReadingsRow[] {
  return ROWS.flatMap(([label, what]): ReadingsRow[] => {
    const cells: ReadingsRow['cells'] = {};
    for (const column of COLUMNS) {
      const cell = cellOf(column, what, measured, usual);
      if (cell) cells[column] = cell;
    }
    return Object.keys(cells).length > 0 ? [{ label, cells }] : [];
  });
}

function cellOf(
  position: (typeof COLUMNS)[number],
  quantities: readonly QuantityName[],
  measured: Measured,
  usual: Measured,
): Cell | undefined {
  for (const feed of ['full', 'limited'] as const) {
    const of = runStretch(feed, position);
    for (const what of quantities) {
      const found = readingOf(measured, what, of);
      if (!found) continue;
      const good = readingOf(usual, what, of)?.value;
      const limited = feed === 'limited' ? (true as const) : undefined;
      return known({ value: found.value, unit: found.unit, usual: good, limited });
    }
  }
  return undefined;
}

/** The nominal unit through its own plan. */
export function usualReadings(unit: ResolvedUnit): Measured {
  return measure(simulatePlan(nominalInput(unit), unit.plan), {
    rig: unit.rig,
    nominalVoltageV: unit.motor.nominalVoltageV,
    ripple: false,
  }).measured;
}
