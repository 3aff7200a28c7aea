// Charts of one quantity of one unit over time: individuals with their moving range (NIST/SEMATECH e-Handbook 6.3.2.2), and
// an exponentially weighted moving average, which sees a slow drift sooner (6.3.2.4). The first runs, taken while all was
// well, give centre and spread; those after them are held against it.

import { itemAt } from '../arrays/index.js';

/** Mean range of two normal readings in standard deviations, and the largest such range (NIST: 1.128 and 3.267). */
const D2 = 1.128;
const D4 = 3.267;
/** Either side of the centre, in standard deviations. */
const REACH = 3;
/** Weight of the newest reading; usual choice of the handbook. */
const NEWEST = 0.3;

/** How a chart shows that something moved. */
export type DriftRule = 'beyond-limit' | 'moving-range' | 'weighted-average';

export interface ControlChart {
  centre: number;
  /** Standard deviation, by the mean moving range of the first runs. */
  spread: number;
  lower: number;
  upper: number;
  /** The most by which two runs in a row may differ. */
  rangeUpper: number;
  /** After each run. */
  average: number[];
  averageLower: number;
  averageUpper: number;
  /** Runs by their place, from 0. */
  trips: { rule: DriftRule; first: number; since: number; places: number[] }[];
}

export interface ChartFrom {
  centre: number;
  spread: number;
  /** Runs that gave them, at the front; they are not judged. */
  base: number;
}

/** Centre and spread of the first `base` readings, at least two. */
export function chartFrom(values: readonly number[], base: number): ChartFrom {
  if (base < 2 || base > values.length)
    throw new RangeError(`base ${base} should be 2 to the ${values.length} readings`);
  const first = values.slice(0, base);
  const ranges = first.slice(1).map((value, k) => Math.abs(value - itemAt(first, k)));
  const meanOf = (all: readonly number[]): number => all.reduce((sum, value) => sum + value, 0) / all.length;
  return { centre: meanOf(first), spread: meanOf(ranges) / D2, base };
}

/** @param values in the order of the runs */
export function controlChart(values: readonly number[], { centre, spread, base }: ChartFrom): ControlChart {
  const reach = REACH * spread;
  const averageReach = reach * Math.sqrt(NEWEST / (2 - NEWEST));
  const rangeUpper = D4 * D2 * spread;
  const average: number[] = [];
  values.forEach((value, k) => {
    // The first runs made the centre; what they were says nothing of where the unit went.
    const before = k <= base ? centre : itemAt(average, k - 1);
    average.push(k < base ? centre : NEWEST * value + (1 - NEWEST) * before);
  });
  const judged = values.map((_, k) => k).filter((k) => k >= base);
  const beyond = judged.filter((k) => Math.abs(itemAt(values, k) - centre) > reach);
  const jumps = judged.filter(
    (k) => k > 0 && Math.abs(itemAt(values, k) - itemAt(values, k - 1)) > rangeUpper,
  );
  const drifted = judged.filter((k) => Math.abs(itemAt(average, k) - centre) > averageReach);
  return {
    ...{ centre, spread, lower: centre - reach, upper: centre + reach, rangeUpper, average },
    ...{ averageLower: centre - averageReach, averageUpper: centre + averageReach },
    trips: [
      ...tripOf('beyond-limit', beyond, (k) => k),
      ...tripOf('moving-range', jumps, (k) => k),
      ...tripOf('weighted-average', drifted, (k) => leftCentre(average, centre, k, base)),
    ],
  };
}

/** From where on the average stayed on the side on which it went out: when it began, as near as the chart can tell. */
function leftCentre(average: readonly number[], centre: number, out: number, base: number): number {
  const side = Math.sign(itemAt(average, out) - centre);
  let since = out;
  while (since > base && Math.sign(itemAt(average, since - 1) - centre) === side) since--;
  return since;
}

function tripOf(
  rule: DriftRule,
  places: readonly number[],
  sinceOf: (place: number) => number,
): ControlChart['trips'] {
  const [first] = places;
  return first === undefined ? [] : [{ rule, first, since: sinceOf(first), places: [...places] }];
}
