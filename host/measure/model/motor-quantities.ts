// Names, units and uncertainties of what a motor fit tells; leaves out, with a sentence, what the capture cannot tell.
// Temperature correction to 25 C by the coefficients of the circuit model (copper 0.00393/K, ferrite -0.2 %/K).

import { itemAt, sampleAt } from '../../arrays/index.js';
import { copperFactor, ferriteFactor } from '../../circuit/index.js';
import { amount, milli } from '../../tell/index.js';
import { type Budgets, budgetOf, clockUncertainty } from '../budget.js';
import { QUANTITIES, type QuantityName } from '../quantities.js';
import { type Component, lineOf, quantityOf, spanAt } from '../quantity.js';
import type { Told } from '../reading.js';
import { largestOf } from '../statistics.js';
import { backEmfConstant, type Constant, type Gradient } from './motor-constant.js';
import type { FitMotorOptions } from './motor-fit.js';
import {
  CONDUCTANCE,
  COULOMB,
  DROP,
  electricalOf,
  LN_C,
  LN_L,
  LN_R,
  type MotorElectrical,
} from './motor-parameters.js';
import { USUAL_DROP_V } from './motor-priors.js';
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
  /** By which the variances were widened for what the fit leaves over. */
  widening: number;
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
/**
 * Iron loss lies beside the inductance and takes some of it: up to 4 % seen on motors with a loss of 60 to 300 times the
 * copper resistance across it, solved by SPICE (tests/measure/model-spice.test.ts).
 */
const IRON_PART = 0.013;
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
/** Of the running current, and of what was known of the drop before: beyond such a deviation they count as not told. */
const FRICTION_UNTOLD = 0.25;
const DROP_UNTOLD = 0.6;
/** Below this a drop is not divided by. */
const LEAST_DROP_V = 1e-3;
/** A run has at least this back-EMF. Choice of this program, no source. */
const LEAST_RUN_V = 0.5;
const TEMPERATURE_C = 3;
const REFERENCE_C = 25;

/** How a quantity scales with the gains of voltage and current, and with the clock. */
type Scaling = readonly [voltage: number, current: number, time: number];

/** A value of the fit, and what its uncertainty comes from. */
interface Derived {
  value: number;
  gradient: Gradient;
  scaling: Scaling;
  /** Relative standard uncertainties of what was told or read beside. */
  relative?: readonly number[];
  /** What the model's own shape leaves, as a part; it does not average out. */
  shape?: number;
}

export function motorQuantities(input: QuantityInput): Told {
  const telling = new Telling(input);
  telling.winding();
  telling.runUp();
  telling.friction();
  telling.brushes();
  telling.torques();
  return telling.model;
}

/** What has been told of one fitted motor so far, with what every quantity of it rests on. */
class Telling {
  readonly model: Told = {};
  private readonly motor: MotorElectrical;
  private readonly gains: readonly { source: string; part: number }[];
  private isInertiaTold = false;
  private isFrictionTold = false;

  constructor(private readonly input: QuantityInput) {
    const { budgets, options, rows } = input;
    this.motor = electricalOf(input.parameters);
    this.gains = [
      { source: 'gain of the voltage', part: voltageGain(rows, budgets) },
      { source: 'gain of the current', part: budgetOf(budgets, 'motorCurrentA').gain },
      { source: 'clock', part: clockUncertainty(options.rig) },
    ];
  }

  winding(): void {
    const { resistanceOhm: R, inductanceH: L } = this.motor;
    const { temperatureC, temperatureUncertaintyC = TEMPERATURE_C } = this.input.options;
    if (this.deviation(LN_R) < UNTOLD) {
      const shape = RIPPLE_PART.resistance;
      this.put('resistanceOhm', { value: R, gradient: { [LN_R]: R }, scaling: [1, -1, 0], shape });
      if (temperatureC !== undefined) {
        const value = R * copperFactor(temperatureC, REFERENCE_C);
        const perK = Math.abs(copperFactor(temperatureC, temperatureC + 1) - 1);
        const relative = [perK * temperatureUncertaintyC];
        this.put('resistanceAt25COhm', { value, gradient: { [LN_R]: value }, scaling: [1, -1, 0], relative });
      }
    } else
      this.note(
        `The resistance is not told: ${this.why(LN_R, 'no current changes far or fast enough to part it from back-EMF')}.`,
      );
    const { sampleS } = this.input.rows;
    if (this.deviation(LN_L) < UNTOLD && L / R > SLOWEST_SAMPLES * sampleS) {
      const relative = [LAG_PART * ((sampleS * R) / L) ** 2];
      const shape = IRON_PART;
      this.put('inductanceH', { value: L, gradient: { [LN_L]: L }, scaling: [1, -1, 1], relative, shape });
      const gradient = { [LN_L]: L / R, [LN_R]: -L / R };
      this.put('electricalTimeConstantS', { value: L / R, gradient, scaling: [0, 0, 1], relative, shape });
    } else if (!(L / R > SLOWEST_SAMPLES * sampleS))
      this.note(
        `The inductance is not told: sampling every ${milli(sampleS, 's', 2)} is too slow for L/R of about ${milli(L / R, 's', 1)}.`,
      );
    else
      this.note(
        `The inductance is not told: ${this.why(LN_L, 'no edge of the voltage shows how fast the current follows')}.`,
      );
  }

  runUp(): void {
    const { resistanceOhm: R, capacitanceF: C } = this.motor;
    this.isInertiaTold = this.deviation(LN_C) < UNTOLD;
    if (!this.isInertiaTold) {
      const { emfV } = this.input.response;
      const runs = runsUp(this.input.rows, emfV);
      this.note(
        `The inertia is not told: ${runs ? this.why(LN_C, 'the motor runs up, but it cannot be parted from resistance and friction') : 'the motor does not run up or down in the capture'}.`,
      );
      return;
    }
    const { resistance, runUp } = RIPPLE_PART;
    const byInertia = { [LN_C]: C };
    this.put('inertiaAsCapacitanceF', {
      value: C,
      gradient: byInertia,
      scaling: [-1, 1, 1],
      shape: resistance,
    });
    const gradient = { [LN_C]: R * C, [LN_R]: R * C };
    this.put('mechanicalTimeConstantS', { value: R * C, gradient, scaling: [0, 0, 1], shape: runUp });
  }

  friction(): void {
    const { rows, response, parameters } = this.input;
    const { coulombA, conductanceS: g } = this.motor;
    const run = runningOf(rows, response);
    if (run) {
      const gradient = { [COULOMB]: 1, [CONDUCTANCE]: run.emfV };
      const shape = RIPPLE_PART.friction;
      this.put('frictionAtRunA', { value: coulombA + g * run.emfV, gradient, scaling: [0, 1, 0], shape });
    }
    this.isFrictionTold = run !== undefined && this.deviation(COULOMB) < FRICTION_UNTOLD * run.currentA;
    if (this.isFrictionTold) {
      const shape = RIPPLE_PART.friction;
      this.put('coulombCurrentA', { value: coulombA, gradient: { [COULOMB]: 1 }, scaling: [0, 1, 0], shape });
      this.put('viscousConductanceS', {
        value: g,
        gradient: { [CONDUCTANCE]: 1 },
        scaling: [-1, 1, 0],
        shape,
      });
      if (sampleAt(parameters, COULOMB) <= 0) this.note('Constant friction came out at nothing.');
    } else if (run)
      this.note(
        'Constant and speed-dependent friction are not told apart: only their sum at running speed is.',
      );
    if (rows.ranForward !== rows.ranReverse)
      this.note(
        `Only ${rows.ranForward ? 'forward' : 'reverse'} ran: constant friction holds any load that acts one way, and offsets of the rig weigh in full.`,
      );
  }

  brushes(): void {
    const { rows, options, priorDropSpreadV } = this.input;
    const value = this.motor.brushDropV;
    if (this.deviation(DROP) < DROP_UNTOLD * priorDropSpreadV) {
      const highestV = largestOf(rows.voltageV.filter((_, k) => rows.mode[k] === CLOSED));
      const relative = [(SHAPE_PART * highestV) / Math.max(value, LEAST_DROP_V)];
      this.put('brushDropV', { value, gradient: { [DROP]: 1 }, scaling: [1, 0, 0], relative });
      return;
    }
    const told = options.motor?.brushDropV;
    this.note(
      `The brush drop is hardly told by the capture: ${told === undefined ? 'the usual' : 'the profile’s'} ${amount(told ?? USUAL_DROP_V, 'V', 1)} weighs in with ±${amount(2 * priorDropSpreadV, 'V', 1)}.`,
    );
  }

  /** What needs the back-EMF constant, and that constant. */
  torques(): void {
    const { options } = this.input;
    const { capacitanceF: C, conductanceS: g, coulombA } = this.motor;
    const toldRatio = options.motor?.torqueRatio;
    const ratio = toldRatio ?? 1;
    const ratioPart = toldRatio === undefined ? RATIO_UNTOLD : RATIO_TOLD;
    const ke = backEmfConstant(this.input, ratio, ratioPart, C);
    if (!ke) {
      this.note(
        'Back-EMF constant, inertia and torques need a speed column, a segment count with visible ripple, or a known inertia: without one only their combinations are told.',
      );
      return;
    }
    this.note(ke.note);
    this.note(
      toldRatio === undefined
        ? `Torque and inertia take kt equal to ke, good to ${100 * RATIO_UNTOLD} %: no torque was measured.`
        : `Torque and inertia take kt as ${ratio} of ke, as told.`,
    );
    this.constant(ke);
    const { value: K, gradient: dK, time: t } = ke;
    const relative = [...ke.relative.map((part) => 2 * part), ratioPart];
    if (this.isInertiaTold && !ke.isFromInertia) {
      const J = C * K * K * ratio;
      const gradient = added(scaled(dK, (2 * J) / K), { [LN_C]: J });
      this.put('inertiaKgM2', { value: J, gradient, scaling: [1, 1, 1 + 2 * t], relative });
    }
    if (!this.isFrictionTold) return;
    const b = g * K * K * ratio;
    this.put('viscousNms', {
      value: b,
      gradient: added(scaled(dK, (2 * b) / K), { [CONDUCTANCE]: K * K * ratio }),
      scaling: [2 * ke.voltage - 1, 1 + 2 * ke.current, 2 * t],
      relative,
      shape: RIPPLE_PART.friction,
    });
    const torque = coulombA * K * ratio;
    this.put('coulombNm', {
      value: torque,
      gradient: added(scaled(dK, torque / K), { [COULOMB]: K * ratio }),
      scaling: [ke.voltage, 1 + ke.current, t],
      relative: [...ke.relative, ratioPart],
      shape: RIPPLE_PART.friction,
    });
  }

  private constant({ value, gradient, relative, voltage, current, time }: Constant): void {
    const { temperatureC, temperatureUncertaintyC = TEMPERATURE_C } = this.input.options;
    const scaling = [voltage, current, time] as const;
    this.put('backEmfVsPerRad', { value, gradient, scaling, relative, shape: RIPPLE_PART.backEmf });
    if (temperatureC === undefined) return;
    const factor = 1 / ferriteFactor(REFERENCE_C, temperatureC);
    const perK = Math.abs(1 - ferriteFactor(REFERENCE_C, REFERENCE_C + 1));
    this.put('backEmfAt25CVsPerRad', {
      value: value * factor,
      gradient: scaled(gradient, factor),
      scaling,
      relative: [...relative, perK * temperatureUncertaintyC],
    });
  }

  /** Why a parameter is not told: what the fit leaves over, where it would be told without; else the reason given. */
  private why(place: number, otherwise: string): string {
    const told = this.deviation(place);
    if (told / Math.sqrt(this.input.widening) < UNTOLD)
      return `what the fit leaves over makes it uncertain by ${amount(100 * told, '%', 0)}`;
    return otherwise;
  }

  private note(sentence: string): void {
    this.input.notes.push(sentence);
  }

  private put(
    name: QuantityName,
    { value, gradient, scaling, relative = [], shape = MODEL_PART }: Derived,
  ): void {
    const { freedom, rows } = this.input;
    const part = (of: number, source: string): Component => lineOf(Math.abs(of * value), source);
    const components = [
      lineOf(this.deviationOf(gradient), 'noise and offsets, by the fit', freedom),
      ...this.gains.map(({ source, part }, n) => lineOf(Math.abs(itemAt(scaling, n) * part * value), source)),
      part(shape, 'shape of the model'),
      ...relative.map((of) => part(of, 'what was told or read beside')),
    ];
    const { unit } = QUANTITIES[name];
    this.model[name] = quantityOf(value, unit, components, spanAt(rows.timeS, 0, rows.count));
  }

  private deviation(place: number): number {
    return this.deviationOf({ [place]: 1 });
  }

  private deviationOf(gradient: Gradient): number {
    const { covariance, size } = this.input;
    const slopes = Object.entries(gradient).map(([place, slope]) => ({ place: Number(place), slope }));
    let variance = 0;
    for (const a of slopes) {
      for (const b of slopes) variance += a.slope * b.slope * sampleAt(covariance, a.place * size + b.place);
    }
    return Math.sqrt(Math.max(0, variance));
  }
}

/** Back-EMF and current at the end of the longest driven stretch. */
function runningOf(rows: MotorRows, response: Response): { emfV: number; currentA: number } | undefined {
  let best = { emfV: 0, currentA: 0 };
  for (let k = 1; k < rows.count; k++) {
    if (rows.mode[k] !== CLOSED || sampleAt(rows.samples, k) < 2) continue;
    const readA = sampleAt(rows.currentA, k);
    const emfV = Math.abs(sampleAt(response.emfV, k));
    if (sampleAt(rows.voltageV, k) * readA > 0 && emfV > best.emfV)
      best = { emfV, currentA: Math.abs(readA) };
  }
  return best.emfV > LEAST_RUN_V ? best : undefined;
}

/** Between its slowest and its fastest row a motor that runs up, or down, covers so much of its speed. Choice of this program, no source. */
const RUN_UP_PART = 0.3;

function runsUp({ count }: MotorRows, emfV: Float64Array): boolean {
  let [lowest, highest] = [Number.POSITIVE_INFINITY, 0];
  for (let k = 0; k < count; k++) {
    const size = Math.abs(sampleAt(emfV, k));
    lowest = Math.min(lowest, size);
    highest = Math.max(highest, size);
  }
  return highest > LEAST_RUN_V && highest - lowest > RUN_UP_PART * highest;
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
