// Where the motor's state is not known from the rows before: behind a contact's edge, and where a record begins or goes
// on behind lost samples. A number of its own frees the state there.

import { sampleAt } from '../../arrays/index.js';
import type { MotorElectrical } from './motor-parameters.js';
import type { Prior } from './motor-priors.js';
import { BLIND, CLOSED, type MotorRows, OPEN, RESTART } from './motor-rows.js';

const MOST_ENTRIES = 24;
/** Less voltage than this with no current to speak of: the motor stands, and its back-EMF is none. */
const STANDING_V = 0.4;
const STANDING_NOISES = 5;
/** The slope of the current at the first row comes from so many rows. */
const SLOPE_ROWS = 3;
/** A motor may turn at any speed where a record begins: a part of the voltage, as a deviation. */
const ANY_SPEED_PART = 0.5;

/** Last rows before a new state can be followed. */
export function entriesOf({ count, mode }: MotorRows): number[] {
  const entries: number[] = [];
  for (let k = 0; k + 5 < count && entries.length < MOST_ENTRIES; k++) {
    if (mode[k] !== BLIND && mode[k] !== RESTART) continue;
    if (mode[k + 1] === CLOSED || mode[k + 1] === OPEN) entries.push(k);
  }
  return entries;
}

/** Whether the entry frees the back-EMF; the current else. */
export function freesEmf(rows: MotorRows, row: number): boolean {
  if (rows.mode[row + 1] === OPEN) return true;
  return rows.mode[row] === RESTART && !stands(rows, row);
}

const stands = ({ voltageV, currentA, currentNoiseA }: MotorRows, row: number): boolean =>
  Math.abs(sampleAt(voltageV, row)) < STANDING_V &&
  Math.abs(sampleAt(currentA, row)) < STANDING_NOISES * currentNoiseA;

/** Where the entry lies before the fit, in A or V. */
export function entryPrior(rows: MotorRows, row: number, guess: MotorElectrical): Omit<Prior, 'place'> {
  if (rows.mode[row + 1] === OPEN) return { centre: 0, spread: breakSpreadV(rows, row, guess.capacitanceF) };
  if (!freesEmf(rows, row)) return { centre: 0, spread: sampleAt(rows.rowNoiseA, row) };
  // The state starts from u - R i: what the rising current takes across the inductance is no back-EMF.
  const [from, to] = [row, Math.min(row + SLOPE_ROWS, rows.count - 1)];
  const overS = sampleAt(rows.timeS, to) - sampleAt(rows.timeS, from);
  const perS = overS > 0 ? (sampleAt(rows.currentA, to) - sampleAt(rows.currentA, from)) / overS : 0;
  const volts = sampleAt(rows.voltageV, row);
  const most = Math.abs(volts - guess.resistanceOhm * sampleAt(rows.currentA, row));
  const across = Math.max(-most, Math.min(most, guess.inductanceH * perS));
  return { centre: -across, spread: Math.max(STANDING_V, ANY_SPEED_PART * Math.abs(volts)) };
}

/** What the current's unseen path through a break leaves unknown of the back-EMF: any part of a sample's charge. */
function breakSpreadV({ mode, currentA, sampleS }: MotorRows, row: number, capacitanceF: number): number {
  let before = row;
  while (before > 0 && mode[before] === BLIND) before--;
  return Math.max(1e-4, (Math.abs(sampleAt(currentA, before)) * sampleS) / (capacitanceF * Math.sqrt(3)));
}
