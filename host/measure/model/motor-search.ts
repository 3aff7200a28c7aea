// The parameters that explain the rows best: from the first guess, from others where that holds no good, and once more
// with the ripple that the run shows.

import { sampleAt } from '../../arrays/index.js';
import type { Budgets } from '../budget.js';
import { type LeastSquaresFit, leastSquares } from './least-squares.js';
import { entriesOf, entryPrior, freesEmf } from './motor-entries.js';
import type { FitMotorOptions } from './motor-fit.js';
import type { MotorElectrical } from './motor-parameters.js';
import { CONDUCTANCE, COULOMB, DROP, LN_C, LN_KE, LN_L, LN_R } from './motor-parameters.js';
import { motorPriors } from './motor-priors.js';
import { motorResponse, type Response, type ResponseSetup, residualCount } from './motor-response.js';
import { type RunningRipple, rippleStretches, throwRipples } from './motor-ripple.js';
import { CLOSED, MODEL_PART, type MotorRows, RESTART } from './motor-rows.js';
import type { Speed } from './motor-speed.js';
import { RIPPLE_PARTS, type RippleStretch } from './ripple-course.js';

const USUAL_KNEE_A = 0.2;
/** Mean square of weighted residuals above which other starts are tried; noise and ripple stay near 1. */
const SUSPICIOUS = 2;
/** Factors on inductance, constant friction and capacitance of the first guess. */
const OTHER_STARTS = [
  [1, 1, 0.5],
  [1, 1, 0.25],
  [0.4, 0.3, 1],
  [2, 1.5, 0.6],
  [0.2, 1, 1.6],
] as const;
/** Of the voltage that a beginning motor's back-EMF may lack. */
const BEGINNINGS = [1, 0.5] as const;
const RIPPLE_ROUNDS = 2;
/** A fit that another follows need not arrive. */
const ARRIVED = { tolerance: 1e-7, flatness: 1e-8 };
const NEAR = { tolerance: 1e-4, flatness: 1e-5 };

export interface SearchInput {
  rows: MotorRows;
  budgets: Budgets;
  options: FitMotorOptions;
  guess: MotorElectrical;
  speed: Speed | undefined;
  running: readonly RunningRipple[];
}

export interface Found {
  setup: ResponseSetup;
  fit: LeastSquaresFit;
  response: Response;
  /** Rows of readings; priors stand behind them. */
  dataRows: number;
  /** Rows in all. */
  total: number;
  /** The same once more from here, each row trusted to its own deviation. */
  refit: (deviation: Float64Array, slack: Float64Array) => Found;
}

/** `own` parameters are the motor's and the rig's; those of ripple and entries stand behind. */
export function searchMotor(input: SearchInput, own: number): Found {
  const { rows, budgets, options, guess, speed, running } = input;
  const entries = entriesOf(rows);
  const deviation = deviationsOf(rows, guess);
  const setupWith = (ripple: readonly RippleStretch[]): ResponseSetup => ({
    rows,
    kneeA: options.motor?.brushKneeA ?? USUAL_KNEE_A,
    deviation,
    ...(speed ? { speedRadS: speed.speedRadS } : {}),
    speedDeviation: speed?.deviation ?? 0,
    entries,
    fixed: own + RIPPLE_PARTS * ripple.length,
    ripple,
  });
  const attempt = (
    setup: ResponseSetup,
    from: Float64Array,
    maximumIterations: number,
    isLast: boolean,
  ): Found => {
    const priors = motorPriors(setup, budgets, options, guess);
    const dataRows = residualCount(setup);
    const total = dataRows + priors.length;
    const fit = leastSquares({
      rows: total,
      start: from,
      damping: 1e-3,
      ...(isLast ? ARRIVED : NEAR),
      maximumIterations,
      evaluate: (parameters, residuals, jacobian) => {
        motorResponse(setup, parameters, residuals, jacobian, total);
        priors.forEach(({ place, against, centre, spread }, n) => {
          const row = dataRows + n;
          const value =
            sampleAt(parameters, place) - (against === undefined ? 0 : sampleAt(parameters, against));
          residuals[row] = (value - centre) / spread;
          if (!jacobian) return;
          for (let p = 0; p < parameters.length; p++) jacobian[p * total + row] = 0;
          jacobian[place * total + row] = 1 / spread;
          if (against !== undefined) jacobian[against * total + row] = -1 / spread;
        });
      },
    });
    const response = motorResponse(setup, fit.parameters, new Float64Array(dataRows), undefined, total);
    const refit: Found['refit'] = (wider, slack) =>
      attempt({ ...setup, deviation: wider, slack }, fit.parameters, 40, true);
    return { setup, fit, response, dataRows, total, refit };
  };

  const plain = setupWith([]);
  const start = new Float64Array(own + entries.length);
  start[LN_R] = Math.log(guess.resistanceOhm);
  start[LN_L] = Math.log(guess.inductanceH);
  start[LN_C] = Math.log(guess.capacitanceF);
  start[CONDUCTANCE] = guess.conductanceS;
  start[DROP] = guess.brushDropV;
  start[COULOMB] = guess.coulombA;
  entries.forEach((row, n) => {
    start[own + n] = entryPrior(rows, row, guess).centre;
  });
  if (speed) start[LN_KE] = Math.log(speed.guessKe(rows, guess.resistanceOhm));
  let best = attempt(plain, start, 60, running.length === 0);
  const better = (from: Float64Array): void => {
    const again = attempt(plain, from, 25, running.length === 0);
    if (again.fit.residualSquares < best.fit.residualSquares) best = again;
  };
  // Where a record begins on a live motor nobody knows its speed: from standstill, too, and from half way up.
  const [begin] = entries;
  if (begin !== undefined && rows.mode[begin] === RESTART && freesEmf(rows, begin)) {
    const upV = sampleAt(rows.voltageV, begin) - guess.resistanceOhm * sampleAt(rows.currentA, begin);
    for (const part of BEGINNINGS) {
      const other = start.slice();
      other[own] = -part * upV;
      better(other);
    }
  }
  // A bend in friction or a wrong first inductance may hold the fit in a side valley: the lowest of several starts rules.
  for (const [inductance, coulomb, capacitance] of OTHER_STARTS) {
    if (best.fit.converged && best.fit.residualSquares < SUSPICIOUS * best.total) break;
    const other = start.slice();
    other[LN_L] = sampleAt(other, LN_L) + Math.log(inductance);
    other[LN_C] = sampleAt(other, LN_C) + Math.log(capacitance);
    other[COULOMB] = sampleAt(other, COULOMB) * coulomb;
    better(other);
  }
  // The pitch of the ripple follows from the back-EMF, which is better known with the ripple in it: twice.
  for (let round = 1; running.length > 0 && round <= RIPPLE_ROUNDS; round++) {
    const ripple = rippleStretches(rows, best.response, throwRipples(rows, best.response, running));
    const setup = setupWith(ripple);
    const from = new Float64Array(setup.fixed + entries.length);
    const { parameters } = best.fit;
    from.set(parameters.subarray(0, own));
    from.set(parameters.subarray(best.setup.fixed), setup.fixed);
    if (best.setup.fixed === setup.fixed) from.set(parameters.subarray(own, setup.fixed), own);
    best = attempt(setup, from, 25, round === RIPPLE_ROUNDS);
  }
  return best;
}

/** Of each row's current (closed) or voltage (open): noise of both readings, and what the model's shape is trusted to. */
function deviationsOf(rows: MotorRows, { inductanceH, resistanceOhm }: MotorElectrical): Float64Array {
  const through = rows.sampleS / (rows.sampleS + (2 * inductanceH) / resistanceOhm) / resistanceOhm ** 2;
  return Float64Array.from({ length: rows.count }, (_, k) =>
    rows.mode[k] === CLOSED
      ? Math.sqrt(
          sampleAt(rows.rowNoiseA, k) ** 2 +
            through * sampleAt(rows.rowNoiseV, k) ** 2 +
            (MODEL_PART * sampleAt(rows.currentA, k)) ** 2,
        )
      : Math.hypot(sampleAt(rows.rowNoiseV, k), MODEL_PART * sampleAt(rows.voltageV, k)),
  );
}
