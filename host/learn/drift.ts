// The known good unit that is run every morning: each of its readings as a chart over the runs, at one supply. What moves is
// the unit, its leads or the rig; a chart cannot tell which.

import { itemAt } from '../arrays/index.js';
import {
  keyOf,
  LIMITED_REST,
  type Measured,
  QUANTITY_NAMES,
  type Quantity,
  REST,
  type RunStretch,
  runStretch,
} from '../measure/index.js';
import { type ControlChart, chartFrom, controlChart, type DriftRule } from './control-chart.js';
import { type Column, columnsOf } from './run.js';
import { scaled, scaleOf, unscaled } from './scale.js';

/** Common practice is 20 to 25; a workshop would wait for a month. Choice of this program, no source. */
export const USUAL_BASE = 10;
/** Throws one way of one run that are looked for. */
const MOST_THROWS = 4;

export interface MorningRun {
  run: string;
  /** Wall clock, ISO 8601. */
  startedAt: string;
  measured: Measured;
}

export interface Drift {
  column: Column;
  /** In the quantity's own unit, at the mean supply of the runs. */
  centre: number;
  lower: number;
  upper: number;
  averageLower: number;
  averageUpper: number;
  last: number;
  lastAverage: number;
  /** Runs that were charted, oldest first. */
  runs: string[];
  trips: { rule: DriftRule; since: string; runs: string[]; isUp: boolean }[];
}

/** Readings as the record keeps them, each again with what it is of. */
export function restoredMeasured(kept: Readonly<Record<string, Omit<Quantity, 'budget'>>>): Measured {
  const ways = (['forward', 'reverse'] as const).flatMap((way) =>
    Array.from({ length: MOST_THROWS }, (_, i) => runStretch('full', way, { nth: i + 1 })),
  );
  const stretches: (RunStretch | undefined)[] = [undefined, REST, LIMITED_REST, ...ways];
  return Object.fromEntries(
    QUANTITY_NAMES.flatMap((what) =>
      stretches.flatMap((of) => {
        const key = keyOf(what, of);
        const quantity = kept[key];
        return quantity ? [[key, { ...quantity, what, ...(of ? { of } : {}) }] as const] : [];
      }),
    ),
  );
}

/** @param runs of one unit, oldest first; the first `base` of them tell what it was like. Only what every run shows. */
export function driftOf(runs: readonly MorningRun[], base: number): Drift[] {
  const asUnits = runs.map(({ run, measured }) => ({
    ...{ unit: run, run, sha256: '', measured, temperatureC: { from: 0, to: 0, told: false } },
  }));
  return columnsOf(asUnits).flatMap((column): Drift[] => {
    if (column.starts.length < runs.length) return [];
    const scale = scaleOf(column);
    const values = column.starts.map((start) => scaled(scale, start));
    if (values.some((value) => !Number.isFinite(value))) return [];
    const from = chartFrom(values, base);
    if (!(from.spread > 0)) return [];
    return [driftIn(column, controlChart(values, from), values, (value) => unscaled(scale, value))];
  });
}

function driftIn(
  column: Column,
  chart: ControlChart,
  values: readonly number[],
  back: (value: number) => number,
): Drift {
  const runs = column.starts.map(({ unit }) => unit);
  const isUp = (rule: DriftRule, first: number): boolean => {
    const seen = itemAt(rule === 'weighted-average' ? chart.average : values, first);
    return back(seen) > back(rule === 'moving-range' ? itemAt(values, first - 1) : chart.centre);
  };
  const ends = (low: number, high: number): [number, number] => {
    const [a, b] = [back(low), back(high)];
    return [Math.min(a, b), Math.max(a, b)];
  };
  const [lower, upper] = ends(chart.lower, chart.upper);
  const [averageLower, averageUpper] = ends(chart.averageLower, chart.averageUpper);
  return {
    ...{ column, runs, centre: back(chart.centre), lower, upper, averageLower, averageUpper },
    last: back(itemAt(values, values.length - 1)),
    lastAverage: back(itemAt(chart.average, values.length - 1)),
    trips: chart.trips.map(({ rule, first, since, places }) => ({
      ...{ rule, since: itemAt(runs, since), isUp: isUp(rule, first) },
      runs: places.map((place) => itemAt(runs, place)),
    })),
  };
}
