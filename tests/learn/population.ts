// Populations of good units with a truth that learning never sees: readings drawn from a few hidden causes, so that
// quantities and directions hang together as those of real motors do.

import type { SeededRandom } from '../../host/circuit/index.js';
import type { GoodRun } from '../../host/learn/index.js';
import {
  keyOf,
  type Measured,
  QUANTITIES,
  type QuantityName,
  REST,
  type Reading,
  type RunStretch,
  runStretch,
} from '../../host/measure/index.js';

const WAYS = [runStretch('full', 'forward'), runStretch('full', 'reverse')];

/** How the logarithm of a reading goes with those of resistance, flux, friction and inertia (steady motor, textbook). */
const GOES: Partial<
  Record<QuantityName, { centre: number; with: readonly [number, number, number, number] }>
> = {
  inrushPeakA: { centre: 14, with: [-0.8, 0, 0, 0] },
  runningCurrentA: { centre: 3.4, with: [0, -1, 1, 0] },
  settleS: { centre: 0.055, with: [1, -2, 0, 1] },
  releaseBackEmfV: { centre: 10, with: [-0.2, 0.2, -0.2, 0] },
};
const NAMES = Object.keys(GOES) as QuantityName[];

/** Hidden: no function but those of this file looks into it. */
export interface Population {
  /** Spread of the four causes between units, of a way's own, and of one start, as parts. */
  causes: readonly [number, number, number, number];
  ofWay: number;
  ofStart: number;
}

export function population(random: SeededRandom): Population {
  const between = (low: number, high: number): number => low + (high - low) * random.uniform();
  return {
    causes: [between(0.01, 0.06), between(0.01, 0.04), between(0.03, 0.12), between(0.01, 0.05)],
    ofWay: between(0.002, 0.03),
    ofStart: between(0.002, 0.03),
  };
}

interface Asked {
  /** Starts of this unit. */
  starts?: number;
  /** By so many times the causes' spread this unit is off in a quantity. */
  shift?: Partial<Record<QuantityName, number>>;
  /** What is wrong with it: resistance, flux, friction and inertia times so much. */
  times?: readonly [number, number, number, number];
}

/** All starts of one further unit. */
export function startsOf(
  truth: Population,
  unit: string,
  random: SeededRandom,
  asked: Asked = {},
): GoodRun[] {
  const causes = truth.causes.map((spread, i) => spread * random.normal() + Math.log(asked.times?.[i] ?? 1));
  const own = WAYS.map(() => NAMES.map(() => truth.ofWay * random.normal()));
  return Array.from({ length: asked.starts ?? 1 }, (_, start) => {
    const readings = WAYS.flatMap((of, way) =>
      NAMES.map((what, k): [string, Reading] => {
        const goes = GOES[what];
        if (goes === undefined) throw new RangeError(`${what} goes with nothing`);
        const far = Math.hypot(...truth.causes.map((spread, i) => spread * (goes.with[i] ?? 0)));
        const log =
          causes.reduce((sum, cause, i) => sum + cause * (goes.with[i] ?? 0), 0) +
          (own[way]?.[k] ?? 0) +
          truth.ofStart * random.normal() +
          far * (asked.shift?.[what] ?? 0);
        return [keyOf(what, of), reading(what, goes.centre * Math.exp(log), of)];
      }),
    );
    const measured: Measured = Object.fromEntries([
      ...readings,
      [keyOf('supplyVoltageV', REST), reading('supplyVoltageV', 13, REST)],
    ]);
    const temperatureC = { from: 17, to: 23, told: true };
    return { unit, run: `${unit}-${start + 1}`, sha256: '', measured, temperatureC };
  });
}

export function runOf(truth: Population, unit: string, random: SeededRandom, asked: Asked = {}): GoodRun {
  const [run] = startsOf(truth, unit, random, { ...asked, starts: 1 });
  if (run === undefined) throw new RangeError('a unit without a start');
  return run;
}

/** Exact: what a rig misreads is no part of these populations. */
const reading = (what: QuantityName, value: number, of: RunStretch): Reading => ({
  ...{ what, of, value, unit: QUANTITIES[what].unit },
  ...{ standardUncertainty: 0, expandedUncertainty: 0, degreesOfFreedom: Number.POSITIVE_INFINITY },
});
