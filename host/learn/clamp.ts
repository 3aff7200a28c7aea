// Learning and judging by one current alone, without a model: what good units read, the course of their starts, and what
// it may be where one differs. A clamp sees neither leads nor supply, so nothing of a circuit is claimed.

import type { Capture } from '../capture/index.js';
import {
  isFullThrow,
  keyOf,
  type MeasureResult,
  QUANTITIES,
  type QuantityName,
  type RunStretch,
} from '../measure/index.js';
import type { ClampOnly, LearnedQuantity } from '../profile/index.js';
import { LEAST_UNITS, quantityLimits } from './quantity-limits.js';
import type { Column } from './run.js';
import { type Stated, sharedBy } from './tolerance.js';

/** What one current alone tells of a motor, and what a reading below and above the good ones may be. Common practice, no source. */
const TAUGHT: Partial<Record<QuantityName, { low: string; high: string }>> = {
  inrushPeakA: {
    low: 'more resistance on its way (brushes, a joint, thin leads), or a lower supply',
    high: 'less resistance (shorted turns, another winding), or a higher supply',
  },
  settleS: {
    low: 'less hangs on it than on the good ones, or a higher supply',
    high: 'tighter or heavier, weaker magnets, or a lower supply',
  },
  runningCurrentA: {
    low: 'less load than on the good ones',
    high: 'more load or friction, weaker magnets, or shorted turns',
  },
  rippleHz: {
    low: 'fewer or shorted segments, or slower: more load, or a lower supply',
    high: 'faster: less load, weaker magnets, or a higher supply',
  },
  rippleAmplitudeA: {
    low: 'shorted segments, or a slower instrument than before',
    high: 'worn brushes or an uneven commutator',
  },
  runningAsymmetryPercent: {
    low: 'one way is tighter than the other, or the brushes stand off the middle',
    high: 'one way is tighter than the other, or the brushes stand off the middle',
  },
};
const COURSE = {
  low: 'the start falls sooner or begins lower',
  high: 'the start falls later or begins higher',
};
/** Instants of a start that make its course: each twice the one before, as starts settle. Choice of this program, no source. */
const COURSE_MS = [20, 40, 80] as const;
/** Around each, a mean over this part of it. */
const CELL = 0.1;

export interface ClampReading {
  key: string;
  what: QuantityName;
  of: RunStretch | undefined;
  unit: string;
  words: string;
  value: number;
  expandedUncertainty: number;
  may: { low: string; high: string };
}

/** Of one capture: quantities, and the course of each first throw. */
export function clampReadings(capture: Capture, { measured, segments }: MeasureResult): ClampReading[] {
  const readings = Object.values(measured).flatMap((reading): ClampReading[] => {
    const { what, of, value, unit, expandedUncertainty, atLeast } = reading;
    const may = TAUGHT[what];
    if (may === undefined || atLeast || !Number.isFinite(value)) return [];
    if (of !== undefined && !isFullThrow(of)) return [];
    return [
      {
        key: keyOf(what, of),
        what,
        of,
        unit,
        words: QUANTITIES[what].words,
        value,
        expandedUncertainty,
        may,
      },
    ];
  });
  const motorA = capture.channels.motorCurrentA ?? capture.channels.feedCurrentA;
  if (motorA === undefined) return readings;
  const course = segments.flatMap(({ of, fromS, toS, startUnseen }) =>
    !isFullThrow(of) || of.nth !== 1 || startUnseen
      ? []
      : courseOf(capture.timeS, motorA, { of, fromS, toS }),
  );
  const running = readings.find(({ what }) => what === 'runningCurrentA');
  return [
    ...readings,
    ...course.map((each) => ({ ...each, expandedUncertainty: running?.expandedUncertainty ?? 0 })),
  ];
}

function courseOf(
  timeS: Float64Array,
  currentA: Float64Array,
  { of, fromS, toS }: { of: RunStretch; fromS: number; toS: number },
): ClampReading[] {
  return COURSE_MS.flatMap((atMs): ClampReading[] => {
    const [from, to] = [fromS + (atMs / 1000) * (1 - CELL), fromS + (atMs / 1000) * (1 + CELL)];
    if (to > toS) return [];
    const cell = currentA.filter((value, i) => {
      const at = timeS[i] ?? Number.NaN;
      return at >= from && at <= to && Number.isFinite(value);
    });
    if (cell.length === 0) return [];
    const value = cell.reduce((sum, each) => sum + each, 0) / cell.length;
    return [
      {
        ...{ key: `${keyOf('motorCurrentA', of)}-${atMs}ms`, what: 'motorCurrentA', of, unit: 'A', value },
        ...{ words: `current ${atMs} ms after the throw`, expandedUncertainty: 0, may: COURSE },
      },
    ];
  });
}

export interface ClampRun {
  unit: string;
  run: string;
  sha256: string;
  readings: readonly ClampReading[];
}

/** Readings of one key side by side, as learning with a model has them. */
export function clampColumns(runs: readonly ClampRun[]): Column[] {
  const columns = new Map<string, Column>();
  for (const { unit, readings } of runs) {
    for (const { key, what, of, unit: symbol, words, value, expandedUncertainty } of readings) {
      const column = columns.get(key) ?? { key, what, of, unit: symbol, words, starts: [] };
      columns.set(key, column);
      column.starts.push({ unit, value, expandedUncertainty, supplyV: undefined });
    }
  }
  return [...columns.values()];
}

export type ClampLesson =
  | { quantities: Record<string, LearnedQuantity>; withoutLimits: Record<string, string> }
  | { missingUnits: number };

export function learnClamp(runs: readonly ClampRun[], stated: Stated): ClampLesson {
  const units = new Set(runs.map(({ unit }) => unit)).size;
  if (units < LEAST_UNITS) return { missingUnits: LEAST_UNITS - units };
  const columns = clampColumns(runs);
  const usable = columns.filter((column) => 'limits' in quantityLimits(column, units, stated));
  const shared = sharedBy(stated, Math.max(1, usable.length));
  const given = columns.map((column) => ({ key: column.key, it: quantityLimits(column, units, shared) }));
  return {
    quantities: Object.fromEntries(
      given.flatMap(({ key, it }) => ('limits' in it ? [[key, it.limits]] : [])),
    ),
    withoutLimits: Object.fromEntries(given.flatMap(({ key, it }) => ('why' in it ? [[key, it.why]] : []))),
  };
}

export interface ClampCheck {
  key: string;
  words: string;
  unit: string;
  lower: number | undefined;
  upper: number | undefined;
  /** Absent where this capture does not tell it. */
  value?: number;
  expandedUncertainty?: number;
  outcome: 'like the good ones' | 'too close to tell' | 'other' | 'not read';
  /** Of one that is other: by how much of the good ones' centre, and what it may be. */
  percent?: number;
  may?: string;
  /** Of start or running current, and so wide that only what is grossly off lies outside. */
  isWide?: true;
}

/** Between their limits lies no more than from half to double. Choice of this program, no source. */
const MOST_RATIO = 4;
const isWide = ({ what }: ClampReading, lower: number, upper: number): boolean =>
  (what === 'inrushPeakA' || what === 'runningCurrentA') &&
  !(Math.max(Math.abs(lower), Math.abs(upper)) <= MOST_RATIO * Math.min(Math.abs(lower), Math.abs(upper)));

/** Each limit of the file held against one capture. */
export const clampChecks = (
  { quantities }: Pick<ClampOnly, 'quantities'>,
  readings: readonly ClampReading[],
): ClampCheck[] =>
  Object.entries(quantities).map(([key, { words, unit, lower, upper, centre }]): ClampCheck => {
    const told = { key, words, unit, lower, upper };
    const reading = readings.find((each) => each.key === key);
    if (reading === undefined) return { ...told, outcome: 'not read' };
    const { value, expandedUncertainty, may } = reading;
    const [low, high] = [lower ?? Number.NEGATIVE_INFINITY, upper ?? Number.POSITIVE_INFINITY];
    const beyond = Math.max(low - value, value - high);
    const wide = isWide(reading, low, high) ? { isWide: true as const } : {};
    const at = { ...told, value, expandedUncertainty, ...wide };
    if (beyond <= 0) return { ...at, outcome: 'like the good ones' };
    if (beyond <= expandedUncertainty) return { ...at, outcome: 'too close to tell' };
    // Of a current that runs the other way the larger one is the more negative.
    const isLow = unit === '%' ? value < low : Math.abs(value) < Math.abs(centre);
    return {
      ...{ ...at, outcome: 'other', may: isLow ? may.low : may.high },
      ...(unit === '%' || centre === 0 ? {} : { percent: 100 * (Math.abs(value / centre) - 1) }),
    };
  });

export type ClampVerdict = 'pass' | 'cannot-tell';

/**
 * Passes what reads like the good ones in every limit, where those of start and running current are worth it; whatever
 * differs is *cannot tell*, since a clamp cannot know whether unit, supply or instrument differs.
 */
export const clampVerdict = (checks: readonly ClampCheck[]): ClampVerdict =>
  checks.length > 0 &&
  checks.every(({ outcome, isWide: wide }) => outcome === 'like the good ones' && wide === undefined)
    ? 'pass'
    : 'cannot-tell';
