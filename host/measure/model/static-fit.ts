// A motor from steady points: V = R I + ke w (+ brush drop), kt I = b w + Tc (+ load torque). Straight-line fits with
// their covariance; nothing of inductance or inertia, which steady points do not hold.

import { itemAt } from '../../arrays/index.js';
import type { QuantityName } from '../quantities.js';
import { quantityOf } from '../quantity.js';
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

/** @throws RangeError when the points do not fix R and ke (fewer than two, or all alike). */
export function fitStatic(points: readonly SteadyPoint[], options: StaticFitOptions = {}): StaticFit {
  const notes: string[] = [];
  const way = ({ speedRadS, currentA }: SteadyPoint): number => Math.sign(speedRadS) || Math.sign(currentA);
  const electrical = fitLinear(
    points.map((point) => [point.currentA, point.speedRadS, ...(options.brushDrop ? [way(point)] : [])]),
    points.map(({ voltageV }) => voltageV),
    options.voltageUncertaintyV === undefined ? undefined : points.map(() => options.voltageUncertaintyV!),
  );
  const names: [QuantityName, string][] = [
    ['resistanceOhm', 'Ohm'],
    ['backEmfVsPerRad', 'V s/rad'],
    ['brushDropV', 'V'],
  ];
  const model: Told = {};
  const put = (name: QuantityName, unit: string, value: number, variance: number, fit: LinearFit): void => {
    const degreesOfFreedom = freedomOf(fit);
    model[name] =
      degreesOfFreedom > 0
        ? quantityOf(value, unit, [{ standardUncertainty: Math.sqrt(variance), degreesOfFreedom }])
        : {
            value,
            unit,
            degreesOfFreedom,
            standardUncertainty: Number.POSITIVE_INFINITY,
            expandedUncertainty: Number.POSITIVE_INFINITY,
          };
  };
  const given = options.voltageUncertaintyV !== undefined || options.currentUncertaintyA !== undefined;
  const freedomOf = (fit: LinearFit): number => (given ? Number.POSITIVE_INFINITY : fit.degreesOfFreedom);
  electrical.parameters.forEach((value, j) => {
    put(...itemAt(names, j), value, itemAt(itemAt(electrical.covariance, j), j), electrical);
  });
  if (electrical.degreesOfFreedom === 0 && !given)
    notes.push('As many points as parameters: they fit exactly, so nothing is known of the uncertainty.');

  const turning = points.filter(({ speedRadS }) => speedRadS !== 0);
  const loaded = turning.some(({ torqueNm }) => (torqueNm ?? 0) !== 0);
  const friction = tryFriction(turning, loaded, way, options.currentUncertaintyA);
  if (!friction) {
    notes.push('Friction is not known: the turning points are too few or all of one speed.');
    return { model, electrical, notes };
  }
  put(
    'coulombCurrentA',
    'A',
    itemAt(friction.parameters, 0),
    itemAt(itemAt(friction.covariance, 0), 0),
    friction,
  );
  put(
    'viscousAPerRadS',
    'A s/rad',
    itemAt(friction.parameters, 1),
    itemAt(itemAt(friction.covariance, 1), 1),
    friction,
  );
  if (loaded) {
    // Columns in amperes: divide by the load's (1/kt) to get torques; first-order propagation (GUM 5.2.2).
    const [constant, slope, perTorque] = friction.parameters as [number, number, number];
    const c = friction.covariance;
    const ratio = (value: number, j: number): [number, number] => [
      value / perTorque,
      itemAt(itemAt(c, j), j) / perTorque ** 2 +
        (value ** 2 * itemAt(itemAt(c, 2), 2)) / perTorque ** 4 -
        (2 * value * itemAt(itemAt(c, j), 2)) / perTorque ** 3,
    ];
    put('torqueNmPerA', 'N m/A', 1 / perTorque, itemAt(itemAt(c, 2), 2) / perTorque ** 4, friction);
    put('coulombNm', 'N m', ...ratio(constant, 0), friction);
    put('viscousNms', 'N m s', ...ratio(slope, 1), friction);
  } else notes.push('No load torque is given: friction is told in amperes, not in newton metres.');
  return { model, electrical, friction, notes };
}

function tryFriction(
  turning: readonly SteadyPoint[],
  loaded: boolean,
  way: (point: SteadyPoint) => number,
  uncertaintyA: number | undefined,
): LinearFit | undefined {
  try {
    return fitLinear(
      turning.map((point) => [way(point), point.speedRadS, ...(loaded ? [point.torqueNm ?? 0] : [])]),
      turning.map(({ currentA }) => currentA),
      uncertaintyA === undefined ? undefined : turning.map(() => uncertaintyA),
    );
  } catch (error) {
    if (error instanceof RangeError) return undefined;
    throw error;
  }
}
