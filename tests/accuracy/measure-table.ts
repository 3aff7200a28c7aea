// Errors and coverage of measured quantities over many runs, by quantity; forward and reverse count alike.

import { fitMotor, isFullThrow, measure, type Quantity } from '../../host/measure/index.js';
import { backEmfAt, motorTruthOf, truthOf } from './measure-truths.js';
import type { RandomMotor } from './random-motor.js';
import type { WatchedRun } from './watched-run.js';

export interface Row {
  name: string;
  unit: string;
  /** Signed errors and the deviations stated for them. */
  errors: number[];
  truths: number[];
  stated: number[];
  expanded: number[];
}

export interface Table {
  rows: Map<string, Row>;
  /** Releases with more than 1 V of back-EMF, and how many of them were told right. */
  releases: number;
  releasesRight: number;
  wrong: string[];
}

export const emptyTable = (): Table => ({ rows: new Map(), releases: 0, releasesRight: 0, wrong: [] });

export function addRun(table: Table, { unit, told }: RandomMotor, run: WatchedRun, where: string): void {
  const { capture, truth } = run;
  const segments = unit.motor.ripple?.segments;
  const { measured, segments: stretches } = measure(capture, {
    rig: unit.rig,
    ...(segments === undefined ? {} : { ripplesPerTurn: segments }),
  });
  for (const [name, quantity] of Object.entries(measured)) {
    const key = name.replace(/^(?:forward|reverse)\d*(?=[A-Z])/, '');
    add(table, key, quantity, truthOf(name, quantity, truth));
  }
  const { model } = fitMotor(capture, told);
  for (const [name, quantity] of Object.entries(model))
    add(table, `model.${name}`, quantity, motorTruthOf(name, truth));
  const expected = releaseOf(unit.style);
  for (const { release, of, toS } of stretches) {
    if (!isFullThrow(of) || backEmfAt(truth, toS) <= 1) continue;
    table.releases++;
    if (release === expected) table.releasesRight++;
    else table.wrong.push(`${where}: ${of.position} released as ${release}, is ${expected}`);
  }
}

function releaseOf({ release, restState }: RandomMotor['unit']['style']): string {
  if (release === 'coast') return 'coast';
  return restState === 'high' ? 'brake-high' : 'brake-ground';
}

function add(table: Table, name: string, quantity: Quantity, truth: number | undefined): void {
  if (truth === undefined || Number.isNaN(truth)) return;
  const known = table.rows.get(name);
  const row = known ?? { name, unit: quantity.unit, errors: [], truths: [], stated: [], expanded: [] };
  if (!known) table.rows.set(name, row);
  row.errors.push(quantity.value - truth);
  row.truths.push(truth);
  row.stated.push(quantity.standardUncertainty);
  row.expanded.push(quantity.expandedUncertainty);
}

/** The runs of all of them in one. */
export function joined(tables: readonly Table[]): Table {
  const all = emptyTable();
  for (const { rows, releases, releasesRight, wrong } of tables) {
    for (const [name, row] of rows) {
      const sum = all.rows.get(name) ?? { ...row, errors: [], truths: [], stated: [], expanded: [] };
      all.rows.set(name, sum);
      for (const list of ['errors', 'truths', 'stated', 'expanded'] as const) sum[list].push(...row[list]);
    }
    all.releases += releases;
    all.releasesRight += releasesRight;
    all.wrong.push(...wrong);
  }
  return all;
}

/** Part of the stated 95 % intervals that hold the truth. */
export const coverageOf = ({ errors, expanded }: Row): number =>
  errors.filter((error, k) => Math.abs(error) <= expanded[k]!).length / errors.length;

/** Errors as parts of the truth, by size. */
export const relativeErrors = ({ errors, truths }: Row): number[] =>
  errors.map((error, k) => Math.abs(error / truths[k]!)).sort((a, b) => a - b);

export const quantileOf = (sorted: readonly number[], part: number): number =>
  sorted[Math.min(sorted.length - 1, Math.ceil(part * sorted.length) - 1)] ?? Number.NaN;

export function tableLines(table: Table): string[] {
  const head = `${'quantity'.padEnd(32)} ${'n'.padStart(4)}  ${'worst %'.padStart(8)} ${'95th %'.padStart(8)} ${'worst'.padStart(10)} ${'95th'.padStart(10)} unit      coverage %  bias/u  rms/u`;
  const lines = [...table.rows.values()].map((row) => {
    const relative = relativeErrors(row);
    const absolute = row.errors.map(Math.abs).sort((a, b) => a - b);
    const pulls = row.errors.map((error, k) => error / row.stated[k]!);
    const bias = pulls.reduce((sum, pull) => sum + pull, 0) / pulls.length;
    const rms = Math.sqrt(pulls.reduce((sum, pull) => sum + pull * pull, 0) / pulls.length);
    const percent = (value: number): string => (100 * value).toFixed(2).padStart(8);
    return `${row.name.padEnd(32)} ${String(row.errors.length).padStart(4)}  ${percent(relative.at(-1)!)} ${percent(quantileOf(relative, 0.95))} ${absolute.at(-1)!.toPrecision(3).padStart(10)} ${quantileOf(absolute, 0.95).toPrecision(3).padStart(10)} ${row.unit.padEnd(9)} ${(100 * coverageOf(row)).toFixed(1).padStart(10)}  ${bias.toFixed(2).padStart(6)} ${rms.toFixed(2).padStart(6)}`;
  });
  return [
    head,
    ...lines,
    `release class right: ${table.releasesRight} of ${table.releases} with more than 1 V of back-EMF`,
    ...table.wrong,
  ];
}
