// Names, units and uncertainties of what a motor fit tells; leaves out, with a sentence, what the capture cannot tell.
// Temperature correction to 25 C by the coefficients of the circuit model (copper 0.00393/K, ferrite -0.2 %/K).

import { copperFactor, ferriteFactor } from '../../circuit/index.js';
import { amount, milli } from '../../tell/index.js';
import { type Budgets, budgetOf, clockUncertainty } from '../budget.js';
import type { QuantityName } from '../quantities.js';
import { type Component, quantityOf } from '../quantity.js';
import type { Told } from '../reading.js';
import { backEmfConstant, type Gradient } from './motor-constant.js';
import type { FitMotorOptions } from './motor-fit.js';
import { CONDUCTANCE, COULOMB, DROP, electricalOf, LN_C, LN_L, LN_R } from './motor-parameters.js';
import type { Response } from './motor-response.js';
import type { RunningRipple } from './motor-ripple.js';
import { CLOSED, MODEL_PART, type MotorRows } from './motor-rows.js';

export interface QuantityInput {
  parameters: Float64Array;
  covariance: Float64Array;
  size: number;
  freedom: number;
  rows: MotorRows;
  response: Response;
  options: FitMotorOptions;
  budgets: Budgets;
  speed: boolean;
  running: readonly RunningRipple[];
  priorDropSpreadV: number;
  /** Sentences are added here. */
  notes: string[];
}

/** Beyond this relative deviation a parameter counts as not told. */
const UNTOLD = 0.3;
/** L/R in samples below which noise of the voltage, not inductance, rules the lag that the fit sees. */
const SLOWEST_SAMPLES = 3.5;
/** Straight lines between conversions bend the lag that L / R makes: by about so much of (sample / (L / R)) squared. */
const LAG_PART = 0.3;
/** kt falls short of ke by iron and brush losses: catalogue motors show 3 to 17 %. */
const RATIO_UNTOLD = 0.05;
const RATIO_TOLD = 0.01;
/** A drop that is constant is an idealisation; what is left of the terminal voltage after it bends by about so much. */
const SHAPE_PART = 0.0014;
/**
 * What commutation ripple leaves in a parameter beside what the fit takes of it: seen on motors whose truth is known,
 * with the ripple of a rectified sine of 8 to 14 segments (tests/accuracy).
 */
const RIPPLE_PART = { resistance: 0.0025, friction: 0.006, backEmf: 0.0013, runUp: 0.001 };
const TEMPERATURE_C = 3;
const REFERENCE_C = 25;

/** How a quantity scales with the gains of voltage and current, and with the clock. */
type Scaling = readonly [voltage: number, current: number, time: number];

export function motorQuantities(input: QuantityInput): Told {
  const { parameters, covariance, size, freedom, rows, response, options, budgets, notes } = input;
  const motor = electricalOf(parameters);
  const clockPart = clockUncertainty(options.rig);
  const gains = [voltageGain(rows, budgets), budgetOf(budgets, 'motorCurrentA').gain, clockPart];
  const model: Told = {};
  const stretch = { fromS: rows.timeS[0]!, toS: rows.timeS[rows.count - 1]! };
  const deviationOf = (gradient: Gradient): number => {
    let variance = 0;
    const places = Object.keys(gradient).map(Number);
    for (const i of places) {
      for (const j of places) variance += gradient[i]! * gradient[j]! * covariance[i * size + j]!;
    }
    return Math.sqrt(Math.max(0, variance));
  };
  const put = (
    name: QuantityName,
    unit: string,
    value: number,
    gradient: Gradient,
    scaling: Scaling,
    relative: readonly number[] = [],
    shape = MODEL_PART,
  ): void => {
    const components: Component[] = [
      {
        standardUncertainty: deviationOf(gradient),
        degreesOfFreedom: freedom,
        source: 'noise and offsets, by the fit',
      },
      ...scaling.map((power, n) => ({
        standardUncertainty: Math.abs(power * gains[n]! * value),
        degreesOfFreedom: Number.POSITIVE_INFINITY,
        source: ['gain of the voltage', 'gain of the current', 'clock'][n]!,
      })),
      // The model's own shape does not average out.
      ...[shape, ...relative].map((part, n) => ({
        standardUncertainty: Math.abs(part * value),
        degreesOfFreedom: Number.POSITIVE_INFINITY,
        source: n === 0 ? 'shape of the model' : 'what was told or read beside',
      })),
    ];
    model[name] = quantityOf(value, unit, components, stretch);
  };
  const { resistanceOhm: R, inductanceH: L, capacitanceF: C, conductanceS: g, coulombA, brushDropV } = motor;
  const deviation = (place: number): number => deviationOf({ [place]: 1 });
  const { temperatureC, temperatureUncertaintyC = TEMPERATURE_C } = options;

  const isResistanceTold = deviation(LN_R) < UNTOLD;
  if (isResistanceTold) {
    put('resistanceOhm', 'Ohm', R, { [LN_R]: R }, [1, -1, 0], [], RIPPLE_PART.resistance);
    if (temperatureC !== undefined) {
      const factor = copperFactor(temperatureC, REFERENCE_C);
      const perK = Math.abs(copperFactor(temperatureC, temperatureC + 1) - 1);
      put(
        'resistanceAt25COhm',
        'Ohm',
        R * factor,
        { [LN_R]: R * factor },
        [1, -1, 0],
        [perK * temperatureUncertaintyC],
      );
    }
  } else
    notes.push('The resistance is not told: no current changes far or fast enough to part it from back-EMF.');

  if (deviation(LN_L) < UNTOLD && L / R > SLOWEST_SAMPLES * rows.sampleS) {
    const lag = LAG_PART * ((rows.sampleS * R) / L) ** 2;
    put('inductanceH', 'H', L, { [LN_L]: L }, [1, -1, 1], [lag]);
    put('electricalTimeConstantS', 's', L / R, { [LN_L]: L / R, [LN_R]: -L / R }, [0, 0, 1], [lag]);
  } else
    notes.push(
      `The inductance is not told: sampling every ${milli(rows.sampleS, 's', 2)} is too slow for it, or no contact closed in the capture.`,
    );

  const isInertiaTold = deviation(LN_C) < UNTOLD;
  if (isInertiaTold) {
    put('inertiaAsCapacitanceF', 'F', C, { [LN_C]: C }, [-1, 1, 1], [], RIPPLE_PART.resistance);
    put(
      'mechanicalTimeConstantS',
      's',
      R * C,
      { [LN_C]: R * C, [LN_R]: R * C },
      [0, 0, 1],
      [],
      RIPPLE_PART.runUp,
    );
  } else notes.push('The inertia is not told: the motor does not run up or down in the capture.');

  const run = runningOf(rows, response);
  const isFrictionTold = run !== undefined && deviation(COULOMB) < 0.25 * run.currentA;
  if (run) {
    const value = coulombA + g * run.emfV;
    put('frictionAtRunA', 'A', value, { [COULOMB]: 1, [CONDUCTANCE]: run.emfV }, [0, 1, 0]);
  }
  if (isFrictionTold) {
    put('coulombCurrentA', 'A', coulombA, { [COULOMB]: 1 }, [0, 1, 0], [], RIPPLE_PART.friction);
    put('viscousConductanceS', 'S', g, { [CONDUCTANCE]: 1 }, [-1, 1, 0], [], RIPPLE_PART.friction);
    if (parameters[COULOMB]! <= 0) notes.push('Constant friction came out at nothing.');
  } else if (run)
    notes.push(
      'Constant and speed-dependent friction are not told apart: only their sum at running speed is.',
    );
  if (rows.ranForward !== rows.ranReverse)
    notes.push(
      `Only ${rows.ranForward ? 'forward' : 'reverse'} ran: constant friction holds any load that acts one way, and offsets of the rig weigh in full.`,
    );

  const highest = rows.voltageV.reduce(
    (most, value, k) => (rows.mode[k] === CLOSED ? Math.max(most, Math.abs(value)) : most),
    0,
  );
  if (deviation(DROP) < 0.6 * input.priorDropSpreadV)
    put(
      'brushDropV',
      'V',
      brushDropV,
      { [DROP]: 1 },
      [1, 0, 0],
      [(SHAPE_PART * highest) / Math.max(brushDropV, 1e-3)],
    );
  else
    notes.push(
      `The brush drop is hardly told by the capture: ${options.motor?.brushDropV === undefined ? 'the usual' : 'the profile’s'} ${amount(options.motor?.brushDropV ?? 0.5, 'V', 1)} weighs in with ±${amount(2 * input.priorDropSpreadV, 'V', 1)}.`,
    );

  const ratio = options.motor?.torqueRatio ?? 1;
  const ratioPart = options.motor?.torqueRatio === undefined ? RATIO_UNTOLD : RATIO_TOLD;
  const ke = backEmfConstant(input, ratio, ratioPart, C);
  if (!ke) {
    notes.push(
      'Back-EMF constant, inertia and torques need a speed column, a segment count with visible ripple, or a known inertia: without one only their combinations are told.',
    );
    return model;
  }
  notes.push(ke.note);
  notes.push(
    options.motor?.torqueRatio === undefined
      ? `Torque and inertia take kt equal to ke, good to ${100 * RATIO_UNTOLD} %: no torque was measured.`
      : `Torque and inertia take kt as ${ratio} of ke, as told.`,
  );
  const K = ke.value;
  const dK = ke.gradient;
  const t = ke.time;
  put('backEmfVsPerRad', 'V s/rad', K, dK, [ke.voltage, ke.current, t], ke.relative, RIPPLE_PART.backEmf);
  if (temperatureC !== undefined) {
    const factor = 1 / ferriteFactor(REFERENCE_C, temperatureC);
    const perK = Math.abs(1 - ferriteFactor(REFERENCE_C, REFERENCE_C + 1));
    put(
      'backEmfAt25CVsPerRad',
      'V s/rad',
      K * factor,
      scaled(dK, factor),
      [ke.voltage, ke.current, t],
      [...ke.relative, perK * temperatureUncertaintyC],
    );
  }
  const squared = ke.relative.map((part) => 2 * part);
  if (isInertiaTold && !ke.isFromInertia) {
    const J = C * K * K * ratio;
    put(
      'inertiaKgM2',
      'kg m2',
      J,
      added(scaled(dK, (2 * J) / K), { [LN_C]: J }),
      [1, 1, 1 + 2 * t],
      [...squared, ratioPart],
    );
  }
  if (isFrictionTold) {
    const b = g * K * K * ratio;
    put(
      'viscousNms',
      'N m s',
      b,
      added(scaled(dK, (2 * b) / K), { [CONDUCTANCE]: K * K * ratio }),
      [2 * ke.voltage - 1, 1 + 2 * ke.current, 2 * t],
      [...squared, ratioPart],
      RIPPLE_PART.friction,
    );
    const torque = coulombA * K * ratio;
    put(
      'coulombNm',
      'N m',
      torque,
      added(scaled(dK, torque / K), { [COULOMB]: K * ratio }),
      [ke.voltage, 1 + ke.current, t],
      [...ke.relative, ratioPart],
      RIPPLE_PART.friction,
    );
  }
  return model;
}

/** Back-EMF and current at the end of the longest driven stretch. */
function runningOf(rows: MotorRows, response: Response): { emfV: number; currentA: number } | undefined {
  let best: number | undefined;
  for (let k = 1; k < rows.count; k++) {
    if (rows.mode[k] !== CLOSED || rows.samples[k]! < 2) continue;
    if (rows.voltageV[k]! * rows.currentA[k]! <= 0) continue;
    if (best === undefined || Math.abs(response.emfV[k]!) > Math.abs(response.emfV[best]!)) best = k;
  }
  if (best === undefined || !(Math.abs(response.emfV[best]!) > 0.5)) return undefined;
  return { emfV: Math.abs(response.emfV[best]!), currentA: Math.abs(rows.currentA[best]!) };
}

/** Gain of lead A rules forward, of lead B reverse; both ways they average. */
function voltageGain(rows: MotorRows, budgets: Budgets): number {
  const a = budgetOf(budgets, 'leadAVoltageV').gain;
  const b = budgetOf(budgets, 'leadBVoltageV').gain;
  if (rows.ranForward && rows.ranReverse) return Math.hypot(a, b) / 2;
  return rows.ranReverse ? b : a;
}

function scaled(gradient: Gradient, factor: number): Record<number, number> {
  return Object.fromEntries(Object.entries(gradient).map(([place, value]) => [place, factor * value]));
}

function added(gradient: Record<number, number>, more: Record<number, number>): Record<number, number> {
  const sum = { ...gradient };
  for (const [place, value] of Object.entries(more)) sum[Number(place)] = (sum[Number(place)] ?? 0) + value;
  return sum;
}
