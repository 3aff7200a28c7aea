// A motor fitted to what a capture shows of it: the measured terminal voltage drives the model, current (and back-EMF
// when the contact is open, and speed when it was read) is held against it. Knows no profile limits and no verdict.

import { sampleAt } from '../../arrays/index.js';
import { type Capture, sliceCapture } from '../../capture/index.js';
import { amount, fixed } from '../../tell/index.js';
import { budgetsOf, fineBudgets } from '../budget.js';
import { withLeftHum, withoutHum } from '../hum.js';
import { instrumentBudgets, isCutOff } from '../instrument.js';
import { withLeadInZero } from '../lead-in.js';
import { FEED_STANDS_IN, feedAsMotor } from './feed-as-motor.js';
import { motorCovariance } from './motor-covariance.js';
import type { FitMotorOptions, MotorFit } from './motor-fit.js';
import { CURRENT_OFFSET, electricalOf, GAIN_GAP, LN_KE, VOLTAGE_OFFSET } from './motor-parameters.js';
import { dropBefore } from './motor-priors.js';
import { motorQuantities } from './motor-quantities.js';
import { runningRipples } from './motor-ripple.js';
import { CLOSED, MODEL_PART, motorRows, OPEN } from './motor-rows.js';
import { type Found, searchMotor } from './motor-search.js';
import { speedOf } from './motor-speed.js';
import { firstGuess } from './motor-start.js';
import { excessOf, type ResidualTest, testResiduals } from './residual-test.js';
import { CHOPPED, choppedLeads } from './told-columns.js';

/** Structure beyond noise, as a part of the current, from which a motor counts as not described. */
const STRUCTURE_LIMIT = 0.03;
/** A fifth of a second of coast is enough to see its shape. Choice of this program, no source. */
const COAST_BLOCKS = 20;
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

const cannot = (note: string): MotorFit => ({
  model: {},
  correlation: { names: [], matrix: [] },
  describes: 'cannot-tell',
  notes: [note],
});

/** Pure; bounded work. What cannot be told is absent from `model` and named in `notes`. */
export function fitMotor(capture: Capture, options: FitMotorOptions = {}): MotorFit {
  if (capture.timeS.length < 50) return cannot('The capture holds fewer than fifty samples.');
  // The rest of the curve fits a larger resistance as well: 0.8 Ohm too much on a start of 17 A cut off at 12 A.
  const channel = capture.channels.motorCurrentA ? 'motorCurrentA' : 'feedCurrentA';
  if (isCutOff(capture, channel, budgetsOf(options.rig)))
    return cannot(
      'The motor was not fitted: its current ran beyond the range of the instrument. Take a wider range and repeat.',
    );
  // Of an instrument that is no rig: a swing that is there with nothing driven is nobody's current. It goes before the zero
  // does, which is a mean over whole and broken periods of it.
  const still = capture.feed ? undefined : withoutHum(capture);
  const leadIn = withLeadInZero(
    still?.capture ?? capture,
    withLeftHum(instrumentBudgets(capture, fineBudgets(capture, options.rig), options), still?.left),
  );
  const isFeed = options.feedIsMotorCurrent === true && !capture.channels.motorCurrentA;
  const { capture: read, budgets } =
    (isFeed ? feedAsMotor(leadIn.capture, leadIn.budgets) : undefined) ?? leadIn;
  const chopped = choppedLeads(read);
  const fed = fullyFed(chopped ?? read);
  if (!fed) return cannot('The motor was thrown through the limited feed only: too little to fit it by.');
  const rows = motorRows(fed, budgets);
  if (typeof rows === 'string') return cannot(rows);
  const drop = dropBefore(options);
  const guess = firstGuess(rows, drop.dropV);
  if (!guess) return cannot('No current flows that a motor could be seen in.');
  const speed = speedOf(capture, rows);
  const own = speed ? 10 : 9;
  const running = runningRipples(rows);
  const first = searchMotor({ rows, budgets, options, guess, speed, running }, own);
  const found = withoutShape(first, own) ?? first;
  const { setup, fit, response, dataRows, total } = found;
  const residuals = testCurrent(found, own);
  if (!fit.converged)
    return {
      ...cannot(
        `The motor is not told: the fit did not settle, with ${amount(100 * residuals.structure, '%', 1)} of the current left over.`,
      ),
      residuals,
    };
  const covariance = motorCovariance({
    setup,
    response,
    jacobian: fit.jacobian,
    stride: total,
    priorsFrom: dataRows,
    unitCovariance: fit.unitCovariance,
    perKe: speed ? Math.exp(-sampleAt(fit.parameters, LN_KE)) : 0,
  });
  // Structure that the model lacks is not noise, but the least that can be said is that it is as large as it shows.
  const widening = excessOf(residuals);
  const size = fit.parameters.length;
  const scaled = covariance.map((value) => value * widening);
  const notes: string[] = [...(isFeed ? [FEED_STANDS_IN] : []), ...(chopped ? [CHOPPED] : [])];
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
    widening,
    priorDropSpreadV: drop.spreadV,
    notes,
  });
  const isStructured =
    residuals.reducedChiSquared > residuals.chiSquaredLimit && residuals.structure > STRUCTURE_LIMIT;
  const describes = residuals.blocks < 3 * own ? 'cannot-tell' : isStructured ? 'no' : 'yes';
  if (isStructured) {
    notes.push(
      `This model does not describe the motor: ${amount(100 * residuals.structure, '%', 1)} of the current is left over with a pattern (chi-squared ${fixed(residuals.reducedChiSquared, 1)} where noise stays below ${fixed(residuals.chiSquaredLimit, 2)}, lag-1 ${fixed(residuals.lag1, 2)}, runs ${amount(residuals.runsDeviation, 'deviations', 1)}).`,
    );
  }
  const names = NAMES.slice(0, own);
  const matrix = names.map((_, i) =>
    names.map((_, j) => {
      const spread = Math.sqrt(sampleAt(scaled, i * size + i) * sampleAt(scaled, j * size + j));
      return spread > 0 ? sampleAt(scaled, i * size + j) / spread : i === j ? 1 : 0;
    }),
  );
  return { model, correlation: { names, matrix }, describes, residuals, notes };
}

/** What is left over of the current while the contact is closed. */
function testCurrent({ setup: { rows }, fit, response }: Found, own: number): ResidualTest {
  const motor = electricalOf(fit.parameters);
  const tauS = motor.inductanceH / motor.resistanceOhm;
  let squares = 0;
  let flowing = 0;
  for (let k = 0; k < rows.count; k++) {
    if (rows.mode[k] !== CLOSED || Math.abs(sampleAt(rows.currentA, k)) < 5 * rows.currentNoiseA) continue;
    squares += sampleAt(rows.currentA, k) ** 2;
    flowing++;
  }
  return testResiduals({
    timeS: rows.timeS,
    residual: rows.currentA.map(
      (value, k) => value - sampleAt(fit.parameters, CURRENT_OFFSET) - sampleAt(response.currentA, k),
    ),
    deviation: Float64Array.from({ length: rows.count }, (_, k) =>
      Math.hypot(
        sampleAt(rows.rowNoiseA, k),
        tauS < 0.02 ? sampleAt(rows.rowNoiseV, k) / motor.resistanceOhm : 0,
        MODEL_PART * sampleAt(rows.currentA, k),
      ),
    ),
    used: (row) => rows.mode[row] === CLOSED && rows.compared[row] === 1,
    readingRms: flowing > 0 ? Math.sqrt(squares / flowing) : 0,
    parameters: own,
  });
}

/**
 * Friction that sticks or that grows with the square of the speed bends the coast, which is read far more finely than
 * the current: what the coast leaves over beyond noise is taken as the least that it is trusted to, and the motor fitted
 * once more. Undefined where nothing is left over.
 */
function withoutShape({ setup, fit, response, refit }: Found, own: number): Found | undefined {
  const { rows, deviation } = setup;
  const [offsetV, gap] = [sampleAt(fit.parameters, VOLTAGE_OFFSET), sampleAt(fit.parameters, GAIN_GAP)];
  const coast = testResiduals({
    timeS: rows.timeS,
    residual: rows.voltageV.map(
      (value, k) => value + offsetV + gap * sampleAt(rows.commonV, k) - sampleAt(response.emfV, k),
    ),
    deviation,
    used: (row) => rows.mode[row] === OPEN,
    readingRms: 0,
    parameters: own,
  });
  // What opens between two contacts of a relay is no coast.
  if (coast.blocks < COAST_BLOCKS) return undefined;
  const excess = excessOf(coast);
  if (!(excess > 1)) return undefined;
  const more = (k: number, by: number): number => (rows.mode[k] === OPEN ? by : 0) * sampleAt(deviation, k);
  const slack = deviation.map((_, k) => more(k, Math.sqrt(excess - 1)));
  return refit(
    deviation.map((value, k) => Math.hypot(value, sampleAt(slack, k))),
    slack,
  );
}

/** From where the feed is full: on an ampere the motor hardly turns, and single ripples weigh more than what it tells. */
function fullyFed(capture: Capture): Capture | undefined {
  const { feed, timeS, position } = capture;
  if (!feed?.includes('limited')) return capture;
  const startS = timeS[feed.lastIndexOf('limited') + 1];
  if (startS !== undefined && sampleAt(timeS, timeS.length - 1) > startS)
    return sliceCapture(capture, startS, Number.POSITIVE_INFINITY);
  return position.some((word) => word !== 'rest') ? undefined : capture;
}
