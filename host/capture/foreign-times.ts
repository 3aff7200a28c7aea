// Which column of a foreign table tells the time and in what, or what stands in for one: a rate, or a step that the
// lines above the table tell.

import { editDistance } from '../input/index.js';
import { isDateCell, stampS } from './cells.js';
import type { Columns } from './csv-header.js';
import { readDecimal } from './decimal.js';
import { columnNamed, type ForeignTable } from './foreign-table.js';
import { isDateName, isIndexName, isTimeName, saysOf } from './headings.js';
import { stepsIn } from './preamble.js';
import type { Unit } from './units.js';

interface Times {
  times: Columns['times'];
  used: number[];
  notes: string[];
}

/** Seconds since 1970 are above this, and no bench runs so long. */
const EPOCH = 1e9;
/** With so few rows nothing is concluded from whole numbers. */
const FEW_ROWS = 20;
const SECONDS: Unit = { kind: 'time', name: 's', up: 1, down: 1 };

/** @throws InputError where nothing tells the times, or two things do. */
export function foreignTimes(table: ForeignTable): Times {
  const { layout, options, free, fault, titles } = table;
  const rateHz = options.sampleRateHz;
  const steps = stepsIn(layout.told);
  const [step, ...others] = steps;
  const strange = others.find(({ stepS }) => Math.abs(stepS / (step?.stepS ?? stepS) - 1) > 1e-3);
  const choice = timeColumns(table);
  const chosen = choice.length === 0 ? undefined : choice;
  const [first] = chosen ?? [];
  const drop = (): void => {
    for (const c of chosen ?? []) free.delete(c);
  };
  if (chosen !== undefined && first !== undefined && !countsSamples(table, first, step?.stepS)) {
    if (rateHz !== undefined)
      throw fault(
        `column ${titles[first]} tells the times already`,
        'leave --sample-rate out, or say --time-column none',
      );
    drop();
    return toldTimes(table, chosen, step?.stepS);
  }
  drop();
  if (rateHz !== undefined) return { times: { rateHz }, used: [], notes: [] };
  if (step !== undefined && strange !== undefined)
    throw fault(
      `the lines above say ${step.stepS} s a sample ('${step.told.key}') and ${strange.stepS} s ('${strange.told.key}')`,
      'say --sample-rate',
    );
  if (step !== undefined) {
    const note = `The time of a sample, ${Number((1e3 * step.stepS).toPrecision(6))} ms, was taken from line ${step.told.line} ('${step.told.key}').`;
    return { times: { rateHz: 1 / step.stepS }, used: first === undefined ? [] : [first], notes: [note] };
  }
  if (chosen !== undefined && first !== undefined) {
    if (isIndexName(titles[first] ?? '')) throw noTimes(table);
    throw fault(
      'counts 0, 1, 2 …: it may be seconds, milliseconds or the number of the sample',
      'say --time-scale s or ms; or --time-column none with --sample-rate',
      titles[first],
    );
  }
  throw noTimes(table);
}

function noTimes({ fault, titles }: ForeignTable): Error {
  const near = titles.find((title) => /^t\w{0,2}me/i.test(title) && /_s$/.test(title));
  return fault(
    'no column time_s',
    near
      ? `rename column '${near}' to time_s`
      : 'name the times with --time-column, or give --sample-rate for a file without times',
  );
}

/** The columns that tell the time: one, or a date and a time of day; none. @throws InputError between two. */
function timeColumns(table: ForeignTable): number[] {
  const { headings, titles, options, free, layout, fault } = table;
  if (options.timeColumn?.toLowerCase() === 'none') {
    for (const c of [...free])
      if (isTimeName(headings[c]?.name ?? '') || headings[c]?.unit?.kind === 'time') free.delete(c);
    return [];
  }
  if (options.timeColumn !== undefined) return [columnNamed(table, options.timeColumn)];
  const own = titles.findIndex((title) => title.toLowerCase() === 'time_s');
  if (own >= 0) return [own];
  const cellsOf = (c: number): string[] => layout.rows.slice(0, 5).map((row) => row[c] ?? '');
  const dates = [...free].filter((c) => cellsOf(c).every((cell) => isDateCell(cell)));
  const all = [...free].filter((c) => {
    const heading = headings[c];
    if (heading === undefined || dates.includes(c)) return false;
    // A misspelt heading of this program's own is told, not taken.
    if (
      !isTimeName(heading.name) &&
      heading.unit?.name === 's' &&
      editDistance(heading.text.toLowerCase(), 'time_s') === 1
    )
      return false;
    if (layout.kinds[c] === 'stamp') return true;
    if (heading.unit !== undefined) return heading.unit.kind === 'time';
    return isTimeName(heading.name) || saysOf(heading.name) === 'time';
  });
  const named = all.filter((c) => isTimeName(headings[c]?.name ?? '') || isTimeName(titles[c] ?? ''));
  const times = named.length === 1 ? named : all;
  const [first, second] = times;
  if (first !== undefined && second !== undefined)
    throw fault(
      `'${titles[first]}' and '${titles[second]}' may both be the time`,
      `say which: --time-column '${titles[first]}' or --time-column '${titles[second]}'`,
    );
  if (first !== undefined) {
    const [date] = dates;
    return date !== undefined && layout.kinds[first] === 'stamp' ? [date, first] : [first];
  }
  const dated = dates.find((c) => isDateName(headings[c]?.name ?? ''));
  if (dated !== undefined) free.delete(dated);
  // Without headings the first of several columns is the time where it rises from row to row.
  const numeric = [...free];
  if (!layout.hasHeader && options.sampleRateHz === undefined && numeric.length >= 2) {
    const [c] = numeric;
    if (c !== undefined && rises(numbersOf(table, c))) return [c];
  }
  const index = numeric.find((c) => isIndexName(headings[c]?.name ?? '') && headings[c]?.unit === undefined);
  return index === undefined ? [] : [index];
}

function numbersOf({ layout }: ForeignTable, c: number): number[] {
  const point = layout.decimal === 'comma' ? 44 : 46;
  return layout.rows.map((row) => {
    const cell = row[c] ?? '';
    const value = readDecimal(cell, 0, cell.length, point);
    return Number.isFinite(value) ? value : Number.NaN;
  });
}

const rises = (values: readonly number[]): boolean =>
  values.every((value, i) => i === 0 || value > (values[i - 1] ?? Number.POSITIVE_INFINITY));

/** Whether the column only numbers the samples; told by nothing but whole steps of one and no unit. */
function countsSamples(table: ForeignTable, c: number, stepS: number | undefined): boolean {
  const { headings, options, layout, titles } = table;
  if (options.timeScale !== undefined || layout.kinds[c] === 'stamp' || headings[c]?.unit?.kind === 'time')
    return false;
  if (isIndexName(headings[c]?.name ?? '') && options.timeColumn === undefined) return true;
  if (titles[c]?.toLowerCase() === 'time_s' || options.timeColumn !== undefined) return false;
  const values = numbersOf(table, c);
  const whole = values.every((value, i) => i === 0 || value - (values[i - 1] ?? 0) === 1);
  return whole && (stepS !== undefined ? Math.abs(stepS - 1) > 1e-6 : values.length > FEW_ROWS);
}

/** Loggers that are so slow tell no start: so many rows at such steps are as likely of milliseconds. Choices of this program, no source. */
const SLOW_STEP_S = 0.05;
const MANY_ROWS = 200;

const isSlow = (rows: number, stepS: number): boolean => rows >= MANY_ROWS && stepS >= SLOW_STEP_S;

const readable = (value: number): string => String(Number(value.toPrecision(4)));

/** How a column of times is to be read. */
function toldTimes(table: ForeignTable, chosen: number[], stepS: number | undefined): Times {
  const { headings, titles, layout, options, fault } = table;
  const index = chosen.at(-1) ?? 0;
  const title = titles[index] ?? '';
  const taken = `Column '${title}' was taken as the time`;
  if (options.timeScale !== undefined)
    return {
      times: { index, unit: options.timeScale },
      used: chosen,
      notes: [`${taken}, ${options.timeScale.up / options.timeScale.down} s a unit.`],
    };
  if (layout.kinds[index] === 'stamp') {
    const cells = (row: string[]): string => chosen.map((c) => row[c] ?? '').join(' ');
    const first = layout.rows[0];
    if (first === undefined || stampS(cells(first)) === undefined)
      throw fault(
        `'${first ? cells(first) : ''}' is no date and time`,
        'say --time-column, or --time-column none with --sample-rate',
        title,
      );
    return {
      times: { index, stamps: chosen },
      used: chosen,
      notes: [`${taken} of day, from its first sample on.`],
    };
  }
  const unit = headings[index]?.unit;
  const values = numbersOf(table, index);
  const start = values.find((value) => !Number.isNaN(value)) ?? 0;
  if (start > EPOCH && unit === undefined) {
    const down = start < 1e11 ? 1 : start < 1e14 ? 1e3 : start < 1e17 ? 1e6 : 1e9;
    const epoch = {
      kind: 'time',
      name: down === 1 ? 's' : down === 1e3 ? 'ms' : down === 1e6 ? 'µs' : 'ns',
      up: 1,
      down,
    } as const;
    return {
      times: { index, unit: epoch, fromFirst: true },
      used: chosen,
      notes: [`${taken} in ${epoch.name} since 1970, from its first sample on.`],
    };
  }
  if (unit?.kind === 'time') {
    const isOwn = title.toLowerCase() === 'time_s' || /^s(?:ec(?:onds?)?)?$/i.test(title);
    const words = unit.down === 1 && unit.up === 1 ? 'in seconds' : `in ${unit.name}`;
    return {
      times: { index, unit, fromFirst: start > EPOCH },
      used: chosen,
      notes: isOwn && title.toLowerCase() === 'time_s' ? [] : [`${taken} ${words}.`],
    };
  }
  // The step told above the table tells what the numbers are in.
  const rowStep = (values.at(-1) ?? 0) - (values[0] ?? 0);
  const perRow = rowStep / Math.max(1, values.length - 1);
  if (stepS !== undefined && perRow > 0) {
    for (const [name, down] of [
      ['s', 1],
      ['ms', 1e3],
      ['µs', 1e6],
      ['ns', 1e9],
    ] as const) {
      if (down > 1 && Math.abs((stepS * down) / perRow - 1) < 0.01)
        return {
          times: { index, unit: { kind: 'time', name, up: 1, down } },
          used: chosen,
          notes: [`${taken} in ${name}, as the sample interval tells.`],
        };
    }
  }
  if (title.toLowerCase() !== 'time_s' && unit === undefined && isSlow(values.length, perRow))
    throw fault(
      `says no unit: a sample every ${readable(perRow)} s, or every ${readable(perRow)} ms`,
      'say --time-scale s or --time-scale ms',
      title,
    );
  const notes = title.toLowerCase() === 'time_s' ? [] : [`${taken} in seconds.`];
  return { times: { index, unit: SECONDS }, used: chosen, notes };
}
