// A motor from steady points: V = R I + ke w (+ brush drop), kt I = b w + Tc (+ load torque). Straight-line fits with
// their covariance; nothing of inductance or inertia, which steady points do not hold.

import { itemAt } from '../../arrays/index.js';
import { QUANTITIES, type QuantityName } from '../quantities.js';
import { lineOf, quantityOf } from '../quantity.js';
import type { Told } from '../reading.js';
import { fitLinear, type LinearFit } from './linear-fit.js';

/** Signs as everywhere: a point driven in reverse has all three negative. */
export interface SteadyPoint {
  voltageV: number;
  currentA: number;
  speedRadS: number;
  /** Load on the shaft, without the motor's own friction, signed as the speed. */
  torqueNm?: number;
}

export interface StaticFitOptions {
  /** Fits the brushes' constant drop too: needs points of widely differing current. */
  brushDrop?: boolean;
  /** Standard uncertainty of a point's voltage and current; their scatter stands in when absent. */
  voltageUncertaintyV?: number;
  currentUncertaintyA?: number;
}

export interface StaticFit {
  model: Told;
  /** Columns R, ke, and brush drop when fitted. */
  electrical: LinearFit;
  /** Columns: constant friction, friction by speed, load by torque, of those that the points hold; in amperes. */
  friction?: LinearFit;
  notes: string[];
}

const ELECTRICAL = ['resistanceOhm', 'backEmfVsPerRad', 'brushDropV'] as const;

/** @throws RangeError when the points do not fix R and ke (fewer than two, or all alike). */
export function fitStatic(points: readonly SteadyPoint[], options: StaticFitOptions = {}): StaticFit {
  const notes: string[] = [];
  const { brushDrop, voltageUncertaintyV, currentUncertaintyA } = options;
  const electrical = fitLinear(
    points.map((point) => [point.currentA, point.speedRadS, ...(brushDrop ? [wayOf(point)] : [])]),
    points.map(({ voltageV }) => voltageV),
    voltageUncertaintyV === undefined ? undefined : points.map(() => voltageUncertaintyV),
  );
  const isGiven = voltageUncertaintyV !== undefined || currentUncertaintyA !== undefined;
  const model: Told = {};
  const put = (name: QuantityName, { value, variance }: Column, fit: LinearFit): void => {
    const { unit } = QUANTITIES[name];
    const freedom = isGiven ? Number.POSITIVE_INFINITY : fit.degreesOfFreedom;
    const whole = lineOf(freedom > 0 ? Math.sqrt(variance) : Number.POSITIVE_INFINITY, undefined, freedom);
    model[name] =
      freedom > 0
        ? quantityOf(value, unit, [whole])
        : { value, unit, ...whole, expandedUncertainty: whole.standardUncertainty };
  };
  electrical.parameters.forEach((_, j) => {
    put(itemAt(ELECTRICAL, j), columnOf(electrical, j), electrical);
  });
  if (electrical.degreesOfFreedom === 0 && !isGiven)
    notes.push('As many points as parameters: they fit exactly, so nothing is known of the uncertainty.');

  const turning = points.filter(({ speedRadS }) => speedRadS !== 0);
  const isLoaded = turning.some(({ torqueNm }) => (torqueNm ?? 0) !== 0);
  const friction = tryFriction(turning, isLoaded, currentUncertaintyA);
  if (!friction) {
    notes.push('Friction is not known: the turning points are too few or all of one speed.');
    return { model, electrical, notes };
  }
  const [constant, slope] = [columnOf(friction, 0), columnOf(friction, 1)];
  put('coulombCurrentA', constant, friction);
  put('viscousAPerRadS', slope, friction);
  if (isLoaded) {
    // Columns in amperes: divide by the load's (1/kt) to get torques; first-order propagation (GUM 5.2.2).
    const load = columnOf(friction, LOAD);
    const perLoad = ({ value, variance, withLoad }: Column): Column => ({
      value: value / load.value,
      variance:
        variance / load.value ** 2 +
        (value ** 2 * load.variance) / load.value ** 4 -
        (2 * value * withLoad) / load.value ** 3,
      withLoad: 0,
    });
    put('torqueNmPerA', perLoad({ value: 1, variance: 0, withLoad: 0 }), friction);
    put('coulombNm', perLoad(constant), friction);
    put('viscousNms', perLoad(slope), friction);
  } else notes.push('No load torque is given: friction is told in amperes, not in newton metres.');
  return { model, electrical, friction, notes };
}

/** What a fit tells of one column: its value, its variance, its covariance with the load's column, where there is one. */
interface Column {
  value: number;
  variance: number;
  withLoad: number;
}

const LOAD = 2;

function columnOf({ parameters, covariance }: LinearFit, j: number): Column {
  const row = itemAt(covariance, j);
  return { value: itemAt(parameters, j), variance: itemAt(row, j), withLoad: row[LOAD] ?? 0 };
}

const wayOf = ({ speedRadS, currentA }: SteadyPoint): number => Math.sign(speedRadS) || Math.sign(currentA);

function tryFriction(
  turning: readonly SteadyPoint[],
  isLoaded: boolean,
  uncertaintyA: number | undefined,
): LinearFit | undefined {
  try {
    return fitLinear(
      turning.map((point) => [wayOf(point), point.speedRadS, ...(isLoaded ? [point.torqueNm ?? 0] : [])]),
      turning.map(({ currentA }) => currentA),
      uncertaintyA === undefined ? undefined : turning.map(() => uncertaintyA),
    );
  } catch (error) {
    if (error instanceof RangeError) return undefined;
    throw error;
  }
}
