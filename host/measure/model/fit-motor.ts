// A motor fitted to what a capture shows of it: the measured terminal voltage drives the model, current (and back-EMF
// when the contact is open, and speed when it was read) is held against it. Knows no profile limits and no verdict.

import { type Capture, sliceCapture } from '../../capture/index.js';
import { budgetOf, budgetsOf } from '../budget.js';
import { withLeadInZero } from '../lead-in.js';
import { roundingUncertainty } from '../rounding.js';
import { FEED_STANDS_IN, feedAsMotor } from './feed-as-motor.js';
import { type LeastSquaresFit, leastSquares } from './least-squares.js';
import { motorCovariance } from './motor-covariance.js';
import type { FitMotorOptions, MotorFit } from './motor-fit.js';
import {
  CONDUCTANCE,
  COULOMB,
  CURRENT_OFFSET,
  DROP,
  electricalOf,
  GAIN_GAP,
  LN_C,
  LN_KE,
  LN_L,
  LN_R,
  VOLTAGE_OFFSET,
} from './motor-parameters.js';
import { motorQuantities } from './motor-quantities.js';
import { motorResponse, type Response, type ResponseSetup, residualCount } from './motor-response.js';
import { type RippleStretch, rippleStretches, runningRipples, throwRipples } from './motor-ripple.js';
import { BLIND, CLOSED, MODEL_PART, type MotorRows, motorRows, OPEN, RESTART } from './motor-rows.js';
import { speedOf } from './motor-speed.js';
import { ELECTRICAL_SPREAD, firstGuess, USUAL_ELECTRICAL_S } from './motor-start.js';
import { testResiduals } from './residual-test.js';

/** Drop of a pair of carbon brushes on copper (common practice: 0.3 to 1 V), when nothing is told. */
const USUAL_DROP_V = 0.5;
const USUAL_DROP_SPREAD_V = 0.4;
/** Standard uncertainty of a told drop. */
export const BRUSH_SPREAD_V = 0.15;
const USUAL_KNEE_A = 0.2;
/** Offsets of an unknown instrument. */
const UNKNOWN_OFFSET = { voltageV: 0.03, currentA: 0.05, gain: 0.003 };
/** Structure beyond noise, as a part of the current, from which a motor counts as not described. */
const STRUCTURE_LIMIT = 0.03;
const NAMES = [
  'resistanceOhm',
  'inductanceH',
  'inertiaAsCapacitanceF',
  'viscousConductanceS',
  'brushDropV',
  'coulombCurrentA',
  'voltageOffsetV',
  'gainGap',
  'currentOffsetA',
  'backEmfVsPerRad',
];
const MOST_ENTRIES = 24;
/** Mean square of weighted residuals above which other starts are tried; noise and ripple stay near 1. */
const SUSPICIOUS = 2;
/** Factors on inductance, constant friction and capacitance of the first guess. */
const OTHER_STARTS = [
  [0.4, 0.3, 1],
  [2, 1.5, 0.6],
  [0.2, 1, 1.6],
] as const;

/** Relative size of ripple before any is seen: a rectified sine of six segments has 7 %. */
const RIPPLE_SPREAD = 0.1;
const RIPPLE_ROUNDS = 2;

interface Attempt {
  setup: ResponseSetup;
  fit: LeastSquaresFit;
  response: Response;
  dataRows: number;
  total: number;
}

const cannot = (note: string): MotorFit => ({
  model: {},
  correlation: { names: [], matrix: [] },
  describes: 'cannot-tell',
  notes: [note],
});

/** Pure; bounded work. What cannot be told is absent from `model` and named in `notes`. */
export function fitMotor(capture: Capture, options: FitMotorOptions = {}): MotorFit {
  if (capture.timeS.length < 50) return cannot('The capture holds fewer than fifty samples.');
  const leadIn = withLeadInZero(capture, budgetsOf(options.rig));
  const isFeed = options.feedIsMotorCurrent === true && !capture.channels.motorCurrentA;
  const { capture: read, budgets } =
    (isFeed ? feedAsMotor(leadIn.capture, leadIn.budgets) : undefined) ?? leadIn;
  const fed = fullyFed(read);
  if (!fed) return cannot('The motor was thrown through the limited feed only: too little to fit it by.');
  const rows = motorRows(fed, budgets);
  if (typeof rows === 'string') return cannot(rows);
  const told = options.motor?.brushDropV;
  const dropV = told ?? USUAL_DROP_V;
  const guess = firstGuess(rows, dropV);
  if (!guess) return cannot('No current flows that a motor could be seen in.');

  const speed = speedOf(capture, rows);
  const own = speed ? 10 : 9;
  const entries: number[] = [];
  for (let k = 0; k + 5 < rows.count && entries.length < MOST_ENTRIES; k++) {
    const now = rows.mode[k];
    if (now !== BLIND && now !== RESTART) continue;
    if (rows.mode[k + 1] === CLOSED || rows.mode[k + 1] === OPEN) entries.push(k);
  }
  const electricalS = guess.inductanceH / guess.resistanceOhm;
  const through = rows.sampleS / (rows.sampleS + 2 * electricalS) / guess.resistanceOhm ** 2;
  const deviation = Float64Array.from({ length: rows.count }, (_, k) =>
    rows.mode[k] === CLOSED
      ? Math.sqrt(
          rows.rowNoiseA[k]! ** 2 + through * rows.rowNoiseV[k]! ** 2 + (MODEL_PART * rows.currentA[k]!) ** 2,
        )
      : Math.hypot(rows.rowNoiseV[k]!, MODEL_PART * rows.voltageV[k]!),
  );
  const setupWith = (ripple: readonly RippleStretch[]): ResponseSetup => ({
    rows,
    kneeA: options.motor?.brushKneeA ?? USUAL_KNEE_A,
    deviation,
    ...(speed ? { speedRadS: speed.speedRadS } : {}),
    speedDeviation: speed?.deviation ?? 0,
    entries,
    fixed: own + 2 * ripple.length,
    ripple,
  });

  const current = budgetOf(budgets, 'motorCurrentA');
  const lead = budgetOf(budgets, 'leadAVoltageV');
  const leadB = budgetOf(budgets, 'leadBVoltageV');
  const known = options.rig !== undefined;
  const peakA = rows.currentA.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  type Prior = { place: number; centre: number; spread: number; against?: number };
  const priorsOf = ({ fixed }: ResponseSetup): Prior[] => [
    { place: DROP, centre: dropV, spread: told === undefined ? USUAL_DROP_SPREAD_V : BRUSH_SPREAD_V },
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
    ...entries.map((row, n) => ({
      place: fixed + n,
      centre: 0,
      spread:
        rows.mode[row + 1] === OPEN ? breakSpreadV(rows, row, guess.capacitanceF) : rows.rowNoiseA[row]!,
    })),
  ];
  const running = runningRipples(rows);
  const attempt = (
    setup: ResponseSetup,
    from: Float64Array,
    maximumIterations: number,
    isLast: boolean,
  ): Attempt => {
    const priors = priorsOf(setup);
    const dataRows = residualCount(setup);
    const total = dataRows + priors.length;
    const fit = leastSquares({
      rows: total,
      start: from,
      damping: 1e-3,
      ...(isLast ? { tolerance: 1e-7, flatness: 1e-8 } : { tolerance: 1e-4, flatness: 1e-5 }),
      maximumIterations,
      evaluate: (parameters, residuals, jacobian) => {
        motorResponse(setup, parameters, residuals, jacobian, total);
        priors.forEach(({ place, against, centre, spread }, n) => {
          const row = dataRows + n;
          const value = parameters[place]! - (against === undefined ? 0 : parameters[against]!);
          residuals[row] = (value - centre) / spread;
          if (!jacobian) return;
          for (let p = 0; p < parameters.length; p++) jacobian[p * total + row] = 0;
          jacobian[place * total + row] = 1 / spread;
          if (against !== undefined) jacobian[against * total + row] = -1 / spread;
        });
      },
    });
    const response = motorResponse(setup, fit.parameters, new Float64Array(dataRows), undefined, total);
    return { setup, fit, response, dataRows, total };
  };

  const plain = setupWith([]);
  const start = new Float64Array(own + entries.length);
  start[LN_R] = Math.log(guess.resistanceOhm);
  start[LN_L] = Math.log(guess.inductanceH);
  start[LN_C] = Math.log(guess.capacitanceF);
  start[CONDUCTANCE] = guess.conductanceS;
  start[DROP] = dropV;
  start[COULOMB] = guess.coulombA;
  if (speed) start[LN_KE] = Math.log(speed.guessKe(rows, guess.resistanceOhm));
  let best = attempt(plain, start, 60, running.length === 0);
  // A bend in friction or a wrong first inductance may hold the fit in a side valley: the lowest of several starts rules.
  for (const [inductance, coulomb, capacitance] of OTHER_STARTS) {
    if (best.fit.converged && best.fit.residualSquares < SUSPICIOUS * best.total) break;
    const other = start.slice();
    other[LN_L]! += Math.log(inductance);
    other[LN_C]! += Math.log(capacitance);
    other[COULOMB]! *= coulomb;
    const again = attempt(plain, other, 25, running.length === 0);
    if (again.fit.residualSquares < best.fit.residualSquares) best = again;
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

  const { setup, fit, response, dataRows, total } = best;
  const motor = electricalOf(fit.parameters);
  const tauS = motor.inductanceH / motor.resistanceOhm;
  const slowNoise = Float64Array.from({ length: rows.count }, (_, k) =>
    Math.hypot(
      rows.rowNoiseA[k]!,
      tauS < 0.02 ? rows.rowNoiseV[k]! / motor.resistanceOhm : 0,
      MODEL_PART * rows.currentA[k]!,
    ),
  );
  let squares = 0;
  let flowing = 0;
  for (let k = 0; k < rows.count; k++) {
    if (rows.mode[k] !== CLOSED || Math.abs(rows.currentA[k]!) < 5 * rows.currentNoiseA) continue;
    squares += rows.currentA[k]! ** 2;
    flowing++;
  }
  const residuals = testResiduals({
    timeS: rows.timeS,
    residual: rows.currentA.map(
      (value, k) => value - fit.parameters[CURRENT_OFFSET]! - response.currentA[k]!,
    ),
    deviation: slowNoise,
    used: (row) => rows.mode[row] === CLOSED && rows.compared[row] === 1,
    readingRms: flowing > 0 ? Math.sqrt(squares / flowing) : 0,
    parameters: own,
  });
  const covariance = motorCovariance({
    setup,
    response,
    jacobian: fit.jacobian,
    stride: total,
    priorsFrom: dataRows,
    unitCovariance: fit.unitCovariance,
    perKe: speed ? Math.exp(-fit.parameters[LN_KE]!) : 0,
  });
  // Structure that the model lacks is not noise, but the least that can be said is that it is as large as it shows.
  const widening = Math.max(1, residuals.reducedChiSquared);
  const size = fit.parameters.length;
  const scaled = covariance.map((value) => value * widening);
  const notes: string[] = isFeed ? [FEED_STANDS_IN] : [];
  if (!fit.converged) notes.push('The fit did not settle.');
  const model = motorQuantities({
    parameters: fit.parameters,
    covariance: scaled,
    size,
    freedom: Math.max(1, dataRows - size),
    rows,
    response,
    options,
    budgets,
    speed: speed !== undefined,
    running,
    priorDropSpreadV: told === undefined ? USUAL_DROP_SPREAD_V : BRUSH_SPREAD_V,
    notes,
  });
  const isStructured =
    residuals.reducedChiSquared > residuals.chiSquaredLimit && residuals.structure > STRUCTURE_LIMIT;
  const describes =
    !fit.converged || residuals.blocks < 3 * own ? 'cannot-tell' : isStructured ? 'no' : 'yes';
  if (isStructured) {
    notes.push(
      `This model does not describe the motor: ${(100 * residuals.structure).toFixed(1)} % of the current is left over with a pattern (chi-squared ${residuals.reducedChiSquared.toFixed(1)} where noise stays below ${residuals.chiSquaredLimit.toFixed(2)}, lag-1 ${residuals.lag1.toFixed(2)}, runs ${residuals.runsDeviation.toFixed(1)} deviations).`,
    );
  }
  const names = NAMES.slice(0, own);
  const matrix = names.map((_, i) =>
    names.map((_, j) => {
      const spread = Math.sqrt(scaled[i * size + i]! * scaled[j * size + j]!);
      return spread > 0 ? scaled[i * size + j]! / spread : i === j ? 1 : 0;
    }),
  );
  return { model, correlation: { names, matrix }, describes, residuals, notes };
}

/** From where the feed is full: on an ampere the motor hardly turns, and single ripples weigh more than what it tells. */
function fullyFed(capture: Capture): Capture | undefined {
  const { feed, timeS, position } = capture;
  if (!feed?.includes('limited')) return capture;
  const startS = timeS[feed.lastIndexOf('limited') + 1];
  if (startS !== undefined && timeS.at(-1)! > startS)
    return sliceCapture(capture, startS, Number.POSITIVE_INFINITY);
  return position.some((word) => word !== 'rest') ? undefined : capture;
}

/** What the current's unseen path through a break leaves unknown of the back-EMF: any part of a sample's charge. */
function breakSpreadV({ mode, currentA, sampleS }: MotorRows, row: number, capacitanceF: number): number {
  let before = row;
  while (before > 0 && mode[before] === BLIND) before--;
  return Math.max(1e-4, (Math.abs(currentA[before]!) * sampleS) / (capacitanceF * Math.sqrt(3)));
}
