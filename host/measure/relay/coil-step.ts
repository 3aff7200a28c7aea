// The coil's current after it is switched on: i(t) = end - fall exp(-(t - t0) / tau) while the armature stands still.
// The jump at t0 is what does not flow through the winding: a resistor across the coil.

import { itemAt, sampleAt } from '../../arrays/index.js';
import { leastSquares } from '../model/index.js';
import { summarise } from '../statistics.js';

export interface CoilStep {
  /** Reading the exponential starts from and the one it ends at, A. */
  startA: number;
  endA: number;
  tauS: number;
  /** Standard uncertainties from the residuals of the fit. */
  startU: number;
  endU: number;
  tauU: number;
  degreesOfFreedom: number;
}

export interface StepWindow {
  timeS: Float64Array;
  currentA: Float64Array;
  from: number;
  to: number;
  /** When the coil was switched on. */
  onS: number;
  /** Where the current ends, when it is known from a later stretch. */
  endA?: number;
}

/** Below this the coil channel's amplifier may stand on its rail (20 counts of 1 mA). */
const RAIL_A = 0.022;
const START_TAU_S = 0.0015;
const LEAST_POINTS = 8;

/** Fit of one step; undefined when there are too few samples or it does not look like one. */
export function coilStep({ timeS, currentA, from, to, onS, endA }: StepWindow): CoilStep | undefined {
  const times: number[] = [];
  const values: number[] = [];
  const tail = summarise(currentA, Math.max(from, to - Math.ceil((to - from) / 3)), to);
  const end = endA ?? tail.mean;
  if (!(end > 2 * RAIL_A)) return undefined;
  const stepS = (sampleAt(timeS, to - 1) - sampleAt(timeS, from)) / Math.max(1, to - 1 - from);
  for (let i = from; i < to; i++) {
    // The first samples stand on a line drawn from before the step.
    if (
      sampleAt(timeS, i) - onS < stepS ||
      Number.isNaN(sampleAt(currentA, i)) ||
      sampleAt(currentA, i) < RAIL_A
    )
      continue;
    times.push(sampleAt(timeS, i) - onS);
    values.push(sampleAt(currentA, i));
  }
  if (times.length < LEAST_POINTS) return undefined;
  const isFixed = endA !== undefined;
  const count = isFixed ? 2 : 3;
  const rows = times.length;
  const fit = leastSquares({
    rows,
    start: isFixed ? [end, START_TAU_S] : [end - itemAt(values, 0), START_TAU_S, end],
    damping: 1,
    maximumIterations: 60,
    evaluate(p, residuals, jacobian) {
      const [fall, tau] = [sampleAt(p, 0), sampleAt(p, 1)];
      const last = isFixed ? end : sampleAt(p, 2);
      for (let i = 0; i < rows; i++) {
        const decay = Math.exp(-itemAt(times, i) / tau);
        residuals[i] = tau > 0 ? last - fall * decay - itemAt(values, i) : Number.NaN;
        if (!jacobian) continue;
        jacobian[i] = -decay;
        jacobian[rows + i] = (-fall * decay * itemAt(times, i)) / (tau * tau);
        if (!isFixed) jacobian[2 * rows + i] = 1;
      }
    },
  });
  if (!fit.converged) return undefined;
  const [fall, tauS] = [sampleAt(fit.parameters, 0), sampleAt(fit.parameters, 1)];
  const last = isFixed ? end : sampleAt(fit.parameters, 2);
  const s = fit.residualDeviation;
  const covariance = (i: number, j: number): number => s * s * sampleAt(fit.unitCovariance, i * count + j);
  const fallVariance = covariance(0, 0);
  const endVariance = isFixed ? 0 : covariance(2, 2);
  const shared = isFixed ? 0 : covariance(0, 2);
  if (!(tauS > 0) || tauS > 1) return undefined;
  return {
    startA: last - fall,
    endA: last,
    tauS,
    startU: Math.sqrt(Math.max(0, fallVariance + endVariance - 2 * shared)),
    endU: Math.sqrt(endVariance),
    tauU: Math.sqrt(covariance(1, 1)),
    degreesOfFreedom: Math.max(1, fit.degreesOfFreedom),
  };
}
