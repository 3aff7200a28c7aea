// What the rig read in a training run, beside what the nominal unit reads: a table of three columns, nothing judged.

import { nominalInput, simulatePlan } from '../../circuit/index.js';
import { type Measured, measure } from '../../measure/index.js';
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

/** Ends of the measured names, by row. */
const ROWS: readonly (readonly [label: string, names: readonly string[]])[] = [
  ['Lead A', ['LeadAVoltageV']],
  ['Lead B', ['LeadBVoltageV']],
  ['Start current', ['InrushPeakA']],
  ['Motor current', ['RunningCurrentA', 'MotorCurrentA']],
  ['Feed current', ['FeedCurrentA']],
  ['Coil current', ['CoilCurrentA']],
  ['Supply', ['SupplyVoltageV']],
];

/** The last full throw of each way, else the limited one; rows that nothing fills are left out. */
export function readingsTable(measured: Measured, usual: Measured): ReadingsRow[] {
  return ROWS.flatMap(([label, ends]): ReadingsRow[] => {
    const cells: ReadingsRow['cells'] = {};
    for (const column of COLUMNS) {
      const cell = cellOf(column, ends, measured, usual);
      if (cell) cells[column] = cell;
    }
    return Object.keys(cells).length > 0 ? [{ label, cells }] : [];
  });
}

function cellOf(
  column: string,
  ends: readonly string[],
  measured: Measured,
  usual: Measured,
): Cell | undefined {
  const limited = `limited${column[0]!.toUpperCase()}${column.slice(1)}`;
  for (const stem of [column, limited]) {
    for (const end of ends) {
      const found = measured[`${stem}${end}`];
      if (!found) continue;
      const good = usual[`${stem}${end}`]?.value;
      return {
        value: found.value,
        unit: found.unit,
        ...(good === undefined ? {} : { usual: good }),
        ...(stem === limited ? { limited: true } : {}),
      };
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
