// What is known of a motor and its readings before the fit: told, usual, or left by the rig's own budget.

import { type Budgets, budgetOf } from '../budget.js';
import { roundingUncertainty } from '../rounding.js';
import { entryPrior } from './motor-entries.js';
import type { FitMotorOptions } from './motor-fit.js';
import type { MotorElectrical } from './motor-parameters.js';
import {
  CONDUCTANCE,
  COULOMB,
  CURRENT_OFFSET,
  DROP,
  GAIN_GAP,
  LN_L,
  LN_R,
  VOLTAGE_OFFSET,
} from './motor-parameters.js';
import type { ResponseSetup } from './motor-response.js';
import { ELECTRICAL_SPREAD, USUAL_ELECTRICAL_S } from './motor-start.js';
import { RIPPLE_PARTS } from './ripple-course.js';

/** Drop of a pair of carbon brushes on copper (common practice: 0.3 to 1 V), when nothing is told. */
export const USUAL_DROP_V = 0.5;
const USUAL_DROP_SPREAD_V = 0.4;
/** Standard uncertainty of a told drop. */
const BRUSH_SPREAD_V = 0.15;
/** Offsets of an unknown instrument. */
const UNKNOWN_OFFSET = { voltageV: 0.03, currentA: 0.05, gain: 0.003 };
/** Relative size of ripple before any is seen: a rectified sine of six segments has 7 %. */
const RIPPLE_SPREAD = 0.1;

/** A parameter, or its difference from the one at `against`, lies around `centre` within the deviation `spread`. */
export interface Prior {
  place: number;
  against?: number;
  centre: number;
  spread: number;
}

/** Drop of the brushes before the fit, with its standard uncertainty. */
export function dropBefore({ motor }: FitMotorOptions): { dropV: number; spreadV: number } {
  const told = motor?.brushDropV;
  return told === undefined
    ? { dropV: USUAL_DROP_V, spreadV: USUAL_DROP_SPREAD_V }
    : { dropV: told, spreadV: BRUSH_SPREAD_V };
}

/** Of every parameter of `setup` that is not free. */
export function motorPriors(
  { rows, fixed, ripple, entries }: ResponseSetup,
  budgets: Budgets,
  options: FitMotorOptions,
  guess: MotorElectrical,
): Prior[] {
  const current = budgetOf(budgets, 'motorCurrentA');
  const lead = budgetOf(budgets, 'leadAVoltageV');
  const leadB = budgetOf(budgets, 'leadBVoltageV');
  const known = options.rig !== undefined;
  const peakA = rows.currentA.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  const drop = dropBefore(options);
  const own = fixed - RIPPLE_PARTS * ripple.length;
  return [
    { place: DROP, centre: drop.dropV, spread: drop.spreadV },
    {
      place: VOLTAGE_OFFSET,
      centre: 0,
      spread: known
        ? Math.hypot(
            lead.offset,
            leadB.offset,
            roundingUncertainty(Math.SQRT2 * lead.resolution, rows.scatter.voltageV),
          )
        : UNKNOWN_OFFSET.voltageV,
    },
    {
      place: GAIN_GAP,
      centre: 0,
      spread: (known ? Math.hypot(lead.gain, leadB.gain) : UNKNOWN_OFFSET.gain) || 1e-6,
    },
    {
      place: CURRENT_OFFSET,
      centre: 0,
      spread: known
        ? Math.hypot(current.offset, roundingUncertainty(current.resolution, rows.scatter.currentA))
        : UNKNOWN_OFFSET.currentA,
    },
    { place: LN_L, against: LN_R, centre: Math.log(USUAL_ELECTRICAL_S), spread: ELECTRICAL_SPREAD },
    { place: CONDUCTANCE, centre: 0, spread: 1 / guess.resistanceOhm },
    { place: COULOMB, centre: 0, spread: peakA },
    ...Array.from({ length: fixed - own }, (_, n) => ({ place: own + n, centre: 0, spread: RIPPLE_SPREAD })),
    ...entries.map((row, n) => ({ place: fixed + n, ...entryPrior(rows, row, guess) })),
  ];
}
