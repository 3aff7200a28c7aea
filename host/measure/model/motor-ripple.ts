// Commutation ripple where a motor runs up or is braked: slow there, and large against what tells the winding. Its
// pitch is known from the run (ripple goes with back-EMF), its size and phase are fitted: two numbers a stretch.

import { sampleAt } from '../../arrays/index.js';
import type { Quantity } from '../quantity.js';
import { rippleOf } from '../ripple.js';
import { runsWhere } from '../runs.js';
import { commandedStretches } from '../trace.js';
import type { Response } from './motor-response.js';
import { CLOSED, type MotorRows } from './motor-rows.js';
import type { RipplePart, RippleStretch } from './ripple-course.js';

/** Where one throw shows its ripple: late, when it runs. */
export interface RunningRipple {
  frequency: Quantity;
  /** Of the stretch that it was read on. */
  fromS: number;
  toS: number;
  throwFromS: number;
}

/** The same with the motor's state there: back-EMF with its sign, current, half sum of the leads. */
export interface ThrowRipple extends RunningRipple {
  emfV: number;
  currentA: number;
  commonV: number;
}

/** Run-ups and brakings of two throws each way; more tell nothing new. */
const MOST_STRETCHES = 8;
/** Below this the shaft has hardly turned by a ripple. */
const LEAST_TURN_RAD = 2 * Math.PI;

/** Of each throw that shows one. */
export function runningRipples({ trace }: MotorRows): RunningRipple[] {
  const { timeS, stepS } = trace;
  const current = trace.channels.motorCurrentA;
  if (!current) return [];
  return commandedStretches(trace.position).flatMap(({ position, from, to }) => {
    if (position === 'rest') return [];
    const end = to - Math.ceil(0.003 / Math.max(stepS, 1e-6));
    const begin = Math.max(from, Math.floor((from + end) / 2));
    const frequency = rippleOf({ current, timeS, stepS, from: begin, to: end }).rippleHz;
    if (frequency?.fromS === undefined || frequency.toS === undefined) return [];
    return [{ frequency, fromS: frequency.fromS, toS: frequency.toS, throwFromS: sampleAt(timeS, from) }];
  });
}

/** With what the fitted motor did there. */
export function throwRipples(
  rows: MotorRows,
  response: Response,
  running: readonly RunningRipple[],
): ThrowRipple[] {
  return running.flatMap((ripple) => {
    let [emf, amperes, common, weight] = [0, 0, 0, 0];
    for (let k = 0; k < rows.count; k++) {
      if (sampleAt(rows.timeS, k) < ripple.fromS || sampleAt(rows.timeS, k) > ripple.toS) continue;
      emf += sampleAt(response.emfV, k) * sampleAt(rows.samples, k);
      amperes += sampleAt(response.currentA, k) * sampleAt(rows.samples, k);
      common += sampleAt(rows.commonV, k) * sampleAt(rows.samples, k);
      weight += sampleAt(rows.samples, k);
    }
    if (weight === 0 || emf === 0) return [];
    return [{ ...ripple, emfV: emf / weight, currentA: amperes / weight, commonV: common / weight }];
  });
}

/** Where single rows follow a contact that closed on a motor that turns; empty when no throw shows its ripple. */
export function rippleStretches(
  rows: MotorRows,
  response: Response,
  throws: readonly ThrowRipple[],
): RippleStretch[] {
  const [first] = throws;
  if (!first) return [];
  const isSingle = (row: number): boolean => rows.mode[row] === CLOSED && rows.samples[row] === 1;
  return runsWhere(0, rows.count, isSingle)
    .flatMap((run) => {
      const startS = sampleAt(rows.timeS, run.from);
      const way = throws.findLast(({ throwFromS }) => throwFromS <= startS) ?? first;
      return stretchOf(rows, response, run, (2 * Math.PI * way.frequency.value) / Math.abs(way.emfV)) ?? [];
    })
    .slice(0, MOST_STRETCHES);
}

function stretchOf(
  rows: MotorRows,
  { emfV, currentA }: Response,
  { from, to }: { from: number; to: number },
  radPerVs: number,
): RippleStretch | undefined {
  // One row more on either side, where nothing is added.
  const size = to - from + 2;
  const partOf = (): RipplePart => ({ emfV: new Float64Array(size), torqueA: new Float64Array(size) });
  const [inPhase, behind] = [partOf(), partOf()];
  let phase = 0;
  for (let n = 1; n + 1 < size; n++) {
    const k = from + n - 1;
    const e = sampleAt(emfV, k);
    const i = sampleAt(currentA, k);
    if (n > 1) phase += (radPerVs * Math.abs(e + sampleAt(emfV, k - 1)) * sampleAt(rows.stepS, k)) / 2;
    const [cosine, sine] = [Math.cos(phase), Math.sin(phase)];
    inPhase.emfV[n] = e * cosine;
    behind.emfV[n] = e * sine;
    inPhase.torqueA[n] = i * cosine;
    behind.torqueA[n] = i * sine;
  }
  return phase > LEAST_TURN_RAD ? { from: from - 1, to: to + 1, inPhase, behind } : undefined;
}
